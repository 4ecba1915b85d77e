"""The pages without a browser: what is on them, what they allow, and that nothing sent to them becomes markup."""

from __future__ import annotations

import asyncio
import base64
import hashlib
import html
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import quote

import httpx
import pytest

from latewood.catalogue import Catalogue
from latewood.verify import Outcome
from latewood.wire import Options
from latewood_api.pages import checks as checks_page
from latewood_api.pages import interactive

Send = Callable[..., httpx.Response]
SHOWN = "/docs/coverage?area=320+ft2&species=ipe&coating=clear-penetrating-oil"


class TestWhatABrowserMayDo:
    @pytest.mark.parametrize("path", ["/", "/docs", "/docs/coverage", SHOWN, "/problems/malformed"])
    def test_nothing_inline_and_nothing_from_elsewhere(self, send: Send, path: str) -> None:
        page = send("GET", path)
        policy = page.headers["content-security-policy"]
        assert "unsafe" not in policy
        assert re.search(r"https?:|\*", policy) is None
        assert policy.startswith("default-src 'none'; ")
        assert re.search(r"<script(?! src=\"/docs/assets/)|<style|\son[a-z]+=|\sstyle=|javascript:", page.text) is None
        # Links lead away only when they are followed; nothing is loaded by them.
        assert re.findall(r"(?:src|action)=\"(?!/docs|data:image/svg)[^\"]*", page.text) == []

    @pytest.mark.parametrize("path", ["/", "/docs"])
    def test_the_style_is_one_file_of_this_server(self, send: Send, path: str) -> None:
        page = send("GET", path)
        assert re.findall(r'rel="stylesheet" href="([^"]+)"', page.text) == ["/docs/assets/pages.css"]
        assert "style-src 'self';" in page.headers["content-security-policy"]
        assert send("GET", "/docs/assets/pages.css").headers["content-type"] == "text/css; charset=utf-8"

    def test_only_the_console_has_script(self, send: Send) -> None:
        allowed = {
            path: "script-src" in send("GET", path).headers["content-security-policy"]
            for path in ("/", "/docs", "/docs/console/plan", "/docs/area", "/problems/malformed")
        }
        assert allowed == dict.fromkeys(allowed, False) | {"/docs/console/plan": True}

    @pytest.mark.parametrize("text", ["<script>x</script>", '"><img src=x>', "' onfocus='x", "&lt;b&gt;"])
    def test_what_is_sent_stays_text(self, send: Send, text: str) -> None:
        for name in ("area", text):
            page = send("GET", f"/docs/coverage?{quote(name)}={quote(text)}")
            assert page.status_code == 422
            assert "<script>" not in page.text
            assert "<img src=x" not in page.text
            assert re.search(r"<[^>]*[\s'\"]onfocus='x", page.text) is None
            assert "&lt;b&gt;" not in page.text.replace("&amp;lt;b&amp;gt;", "")


class TestInteractive:
    def test_its_files_are_those_of_the_package_they_are_from(self) -> None:
        folder = Path(interactive.__file__).parent / "swagger_ui"
        told = dict(re.findall(r"^\| (\S+) \| ([0-9a-f]{64}) \|$", (folder / "SOURCE.md").read_text(), re.MULTILINE))
        there = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.iterdir()}
        assert there.pop("SOURCE.md")
        assert told == there
        assert {"LICENSE", "NOTICE", "swagger-ui-bundle.js.LICENSE.txt"} < set(told)

    @pytest.mark.parametrize(
        ("name", "media"),
        [
            ("interactive.js", "text/javascript"),
            ("swagger-ui-bundle.js", "text/javascript"),
            ("swagger-ui.css", "text/css"),
        ],
    )
    def test_each_file_has_its_type_and_a_tag(self, send: Send, name: str, media: str) -> None:
        answer = send("GET", f"/docs/assets/{name}")
        assert answer.headers["content-type"] == f"{media}; charset=utf-8"
        assert answer.headers["x-content-type-options"] == "nosniff"
        again = send("GET", f"/docs/assets/{name}", headers={"if-none-match": answer.headers["etag"]})
        assert again.status_code == 304

    @pytest.mark.parametrize("name", ["%2e%2e", "index.html", "interactive.py", "%2e%2e%2fversion", "swagger-ui.js"])
    def test_no_other_file_is_served(self, send: Send, name: str) -> None:
        assert send("GET", f"/docs/assets/{name}").status_code == 404


def form(page: str) -> str:
    """Return the form of a calculator, without the search of every page."""
    return page.partition('<form id="try-form"')[2].partition("</form>")[0]


def ask(app: Any, path: str) -> httpx.Response:
    async def once() -> httpx.Response:
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://deck.example") as client:
            return await client.get(path)

    return asyncio.run(once())


class TestCalculator:
    def test_every_formula_has_its_symbols_source_and_range(self, send: Send, lw: Catalogue) -> None:
        for calculator in lw.calculators.values():
            text = plain(send("GET", f"/docs/{calculator.id}").text)
            for formula in calculator.formulas:
                assert formula.symbols in text
                assert formula.source in text
                assert formula.holds in text
                for name, symbol in formula.arguments.items():
                    assert f"{symbol.symbol} {name.replace('_', ' ')}, {symbol.unit}" in text

    def test_the_example_is_what_the_engine_computes(self, send: Send, lw: Catalogue) -> None:
        calculator = lw.calculators["coverage"]
        volume = lw.answer("coverage", dict(calculator.example), Options())["result"]["volume"]
        row = re.search(r"<tr><td><code>volume</code></td>(.*?)</tr>", send("GET", "/docs/coverage").text)
        assert row is not None
        assert re.findall(r"<td>(.*?)</td>", row[1]) == [f"{volume[key]:.9g} L" for key in ("value", "low", "high")]

    def test_the_form_has_every_field_once(self, send: Send, lw: Catalogue) -> None:
        for id in lw.calculators:
            names = re.findall(r'<(?:input|select)[^>]* name="([^"]+)"', form(send("GET", f"/docs/{id}").text))
            item = lw.item("calculators", id)
            assert sorted(names) == sorted([*(field["name"] for field in item["inputs"]), "units"])

    def test_the_form_offers_what_is_known(self, send: Send, lw: Catalogue) -> None:
        page = send("GET", "/docs/coverage").text
        for kind in ("species", "coating"):
            (offered,) = re.findall(rf'<datalist id="known-{kind}">(.*?)</datalist>', page)
            assert re.findall(r'value="([^"]+)"', offered) == [item["id"] for item in lw.items(kind)["items"]]

    def test_the_form_as_it_stands_answers_as_the_row_does(self, send: Send, lw: Catalogue) -> None:
        """Sent as a browser sends it: every field, the empty ones too."""
        for id in lw.calculators:
            page = form(send("GET", f"/docs/{id}").text)
            filled = dict(re.findall(r'<input[^>]* name="([^"]+)"[^>]* value="([^"]*)"', page))
            filled |= re.findall(
                r'<select[^>]* name="([^"]+)"[^>]*>(?:<option>[^<]*</option>)*<option selected>([^<]*)<', page
            )
            every = dict.fromkeys(re.findall(r'<(?:input|select)[^>]* name="([^"]+)"', page), "") | filled
            sent = send("GET", f"/docs/{id}", params=every)
            assert sent.status_code == 200, id
            row = send("GET", f"/v1/row/{id}", params=filled).json()
            # A calculator whose answer is all lists has no quantity of its own to compare.
            quantities = [(n, v) for n, v in row["result"].items() if isinstance(v, dict) and "value" in v]
            answer = sent.text.partition('<section id="answer">')[2].partition("</section>")[0]
            assert answer, id
            for name, first in quantities[:1]:
                assert f"<td><code>{name}</code></td><td>{first['value']:.9g} {first['unit']}</td>" in answer

    def test_faults_stand_with_their_remedy_and_the_form_keeps_what_was_typed(self, send: Send) -> None:
        page = send("GET", "/docs/coverage?area=400&speces=ipe&coating=clear-penetrating-oil&units=us")
        assert page.status_code == 422
        text = plain(page.text)
        assert "/area '400' has no unit" in text
        assert "/speces there is no field 'speces' here species" in text
        assert 'name="area" autocomplete="off" placeholder="400 ft2" value="400"' in page.text
        assert "<option selected>us</option>" in page.text

    def test_a_query_that_is_not_text_is_refused(self, send: Send) -> None:
        assert send("GET", "/docs/coverage?area=%ff").status_code == 400


class TestPictures:
    def drawn(self, send: Send, path: str) -> str:
        (source,) = re.findall(r'<img src="data:image/svg\+xml;base64,([^"]+)" alt="[^"]+"', send("GET", path).text)
        return base64.b64decode(source).decode()

    @pytest.mark.parametrize("id", ["area", "coverage", "cure-windows", "moisture-readiness"])
    def test_a_picture_runs_nothing_and_says_what_it_is(self, send: Send, id: str) -> None:
        svg = self.drawn(send, f"/docs/{id}")
        assert "<script" not in svg
        assert "<title>" in svg
        assert re.findall(r"(?:href|src)=\"(?!#)[^\"]*|url\((?!#)[^)]*|@import", svg) == []
        assert "The numbers of the picture" in send("GET", f"/docs/{id}").text

    def test_pygal_leaves_no_import_hook(self, send: Send) -> None:
        self.drawn(send, "/docs/coverage")
        assert [one for one in sys.meta_path if type(one).__module__.startswith("pygal")] == []

    def test_what_is_sent_is_what_is_drawn(self, send: Send) -> None:
        assert self.drawn(send, "/docs/coverage") != self.drawn(send, SHOWN)


def plain(page: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


class TestChecks:
    def outcome(self, number: int, **other: Any) -> Outcome:
        said: dict[str, Any] = {
            "id": f"c/{number}",
            "calculator": "coverage",
            "against": "published",
            "source": "fpl-gtr-190",
            "where": f"table {number}",
            "expected": "1 L",
            "computed": "1",
            "tolerance": "1 %",
            "reason": "printed so",
            "passed": True,
        }
        return Outcome(**{**said, **other})

    def shown(self, lw: Catalogue, outcomes: list[Outcome]) -> str:
        return plain(checks_page.checks(lw, outcomes, lw.calculators["coverage"]))

    def test_five_groups_from_outside_are_enough(self, lw: Catalogue) -> None:
        text = self.shown(lw, [self.outcome(n) for n in range(5)])
        assert text.startswith("5 groups of independent evidence about an answer, all met.")

    def test_four_are_not(self, lw: Catalogue) -> None:
        assert self.shown(lw, [self.outcome(n) for n in range(4)]).startswith("Not validated: 4 groups")

    def test_cells_of_one_table_are_one_group(self, lw: Catalogue) -> None:
        text = self.shown(lw, [self.outcome(n, where="table 1") for n in range(6)])
        assert text.startswith("Not validated: 1 groups")
        assert "6 of 6" in text

    @pytest.mark.parametrize("against", ["self", "restated", "arithmetic", "recalled", "common-practice", "reported"])
    def test_what_is_no_independent_evidence_does_not_count(self, lw: Catalogue, against: str) -> None:
        text = self.shown(lw, [self.outcome(n, against=against) for n in range(6)])
        assert text.startswith("Not validated: 0 groups")

    def test_what_is_only_reported_is_counted_beside_it(self, lw: Catalogue) -> None:
        told = [self.outcome(n, against="reported") for n in range(6)]
        assert "5 are wanted. 6 more are only reported" in self.shown(lw, told)
        assert "only reported" not in self.shown(lw, [*told, *(self.outcome(n) for n in range(6, 11))])

    def test_a_disagreement_is_shown_and_does_not_count(self, lw: Catalogue) -> None:
        apart = self.outcome(9, where="table 0", passed=False, disagrees="other trees", miss="0.3 L", computed="1.3")
        text = self.shown(lw, [*(self.outcome(n) for n in range(5)), apart])
        assert text.startswith("5 groups of independent evidence")
        assert "c/9 is not met" not in text
        assert "1 L 1.3 0.3 L other trees" in text

    def test_a_miss_is_named_and_spoils_its_group(self, lw: Catalogue) -> None:
        outcomes = [self.outcome(n) for n in range(5)]
        text = self.shown(lw, [*outcomes, self.outcome(9, where="table 0", passed=False)])
        assert text.startswith("Not validated: 4 groups")
        assert "c/9 is not met on this server." in text

    def test_those_of_its_formulas_belong_to_it_and_others_do_not(self, lw: Catalogue) -> None:
        own = self.outcome(1, calculator=f"formula:{lw.calculators['coverage'].formulas[0].id}")
        assert "table 1" in self.shown(lw, [own])
        assert "table 1" not in self.shown(
            lw, [self.outcome(1, calculator="area"), self.outcome(1, calculator="units")]
        )
