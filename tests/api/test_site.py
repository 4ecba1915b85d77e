"""The pages as one site: every link leads somewhere, every entry has a page, and all of it is HTML without faults."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from html import unescape

import html5lib
import httpx
import pytest

from latewood.catalogue import Catalogue
from latewood_api.pages import guide
from latewood_api.problem import KINDS

Send = Callable[..., httpx.Response]
BROWSER = {"accept": "text/html,application/xhtml+xml,*/*;q=0.8"}
FIRST = (
    "/docs",
    "/docs/plan",
    "/docs/findings",
    "/docs/console",
    "/docs/console/plan",
    "/docs/search?q=arsenic",
    "/docs/coverage?area=400",
    "/docs/catalogue/species?search=mahogany",
    "/docs/catalogue/species/southern-yellow-pine",
    "/docs/catalogue/voc-limits/us-ca-scaqmd-1113",
    "/problems",
    "/problems/unusable-input",
)


@pytest.fixture(scope="module")
def pages(lw: Catalogue) -> list[str]:
    """One page of each kind, every calculator and every guide."""
    calculators = [f"/docs/{id}" for id in lw.calculators]
    guides = [f"/docs/guide/{name}" for name in guide.files()]
    return [*FIRST, *calculators, *guides, *(f"/docs/catalogue/{kind}" for kind in lw.kinds())]


def parsed(text: str) -> list[str]:
    """Return the faults that a strict reader of HTML finds."""
    parser = html5lib.HTMLParser()
    parser.parse(text)
    return [f"{at}: {code} {values}" for at, code, values in parser.errors]


def test_a_fault_would_be_found() -> None:
    assert parsed("<!doctype html><title>x</title><p><ul></p></ul>") != []


def test_every_page_is_html_with_one_title_and_no_id_twice(send: Send, pages: list[str]) -> None:
    for path in pages:
        text = send("GET", path).text
        assert parsed(text) == [], path
        assert len(re.findall(r"<h1[ >]", text)) == 1
        assert text.startswith('<!doctype html>\n<html lang="en">')
        ids = re.findall(r' id="([^"]+)"', text)
        assert sorted(ids) == sorted(set(ids)), path


def test_every_link_and_every_anchor_leads_somewhere(send: Send, lw: Catalogue, pages: list[str]) -> None:
    links = {unescape(to) for path in pages for to in re.findall(r'href="([^"]+)"', send("GET", path).text)}
    entries = {f"/docs/catalogue/{kind}/{one['id']}" for kind in lw.kinds() for one in lw.items(kind)["items"]}
    inside = {to.partition("#")[0] for to in links if to.startswith("/")} - entries - set(pages)
    # What was refused as a page is refused as data.
    for to in sorted(inside - {"/v1/row/coverage?area=400"}):
        assert send("GET", to).status_code == 200, to
    for path in pages:
        text = send("GET", path).text
        ids = set(re.findall(r' id="([^"]+)"', text))
        assert set(re.findall(r'href="#([^"]+)"', text)) <= ids, path
        hints = {one for tied in re.findall(r'aria-describedby="([^"]+)"', text) for one in tied.split()}
        assert hints <= ids, path


def test_every_finding_and_every_record_has_its_page(send: Send, lw: Catalogue) -> None:
    for kind in lw.shelf.kinds():
        for one in lw.items(kind)["items"]:
            assert send("GET", f"/docs/catalogue/{kind}/{one['id']}").status_code == 200, one["id"]
    listed = send("GET", "/docs/findings").text
    findings = [one["id"] for one in lw.items("messages")["items"] if "severity" in one]
    assert set(re.findall(r'href="/docs/catalogue/messages/([^"]+)"', listed)) == set(findings)
    for id in (findings[0], findings[len(findings) // 2], findings[-1]):
        assert send("GET", f"/docs/catalogue/messages/{id}").status_code == 200


def test_requests_are_at_this_servers_own_address(send: Send) -> None:
    asked = {"host": "deck.example", "x-forwarded-proto": "https"}
    text = send("GET", "/docs/coverage", headers=asked).text
    assert "https://deck.example/v1/calculate/coverage" in text
    assert "127.0.0.1" not in text
    for host in ('x"><script>', "a b", "deck.example/evil?"):
        assert host not in send("GET", "/docs/coverage", headers={"host": host}).text


@pytest.mark.parametrize(
    ("path", "near"),
    [
        ("/docs/covrage", "/docs/coverage"),
        ("/docs/plam", "/docs/plan"),
        ("/coverage", "/docs/coverage"),
        ("/docs/coverage/", "/docs/coverage"),
        ("/docs/guide/operater", "/docs/guide/operator"),
    ],
)
def test_a_browser_is_told_the_nearest_page(send: Send, path: str, near: str) -> None:
    page = send("GET", path, headers=BROWSER)
    assert (page.status_code, page.headers["content-type"]) == (404, "text/html; charset=utf-8")
    assert f'Nearest page: <a href="{near}">' in page.text
    assert page.headers["content-security-policy"].startswith("default-src 'none'; ")
    assert parsed(page.text) == []
    # A program gets a problem document, and so does whoever asks for data.
    assert send("GET", path).headers["content-type"] == "application/problem+json"


def test_data_is_refused_as_data(send: Send) -> None:
    refused = send("GET", "/v1/row/covrage", headers=BROWSER)
    assert refused.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize("text", ["<script>x</script>", '"><img src=x>'])
def test_what_is_searched_for_and_what_is_not_there_stay_text(send: Send, text: str) -> None:
    assert text not in send("GET", "/docs/search", params={"q": text}).text
    assert text not in send("GET", f"/docs/{text}", headers=BROWSER).text


@pytest.mark.parametrize(
    ("text", "to"),
    [
        ("ipe", "/docs/catalogue/species/ipe"),
        ("coating volume", "/docs/coverage"),
        ("self-heating", "/docs/catalogue/caution/self-heating-waste"),
        ("rolling-restart", "/docs/guide/operator"),
        ("input cannot be used", "/problems/unusable-input"),
    ],
)
def test_a_search_finds_pages_of_every_kind(send: Send, text: str, to: str) -> None:
    assert f'<a href="{to}' in send("GET", "/docs/search", params={"q": text}).text.partition("<main>")[2]


def test_an_answer_in_another_language_says_so(send: Send) -> None:
    sent = "/docs/coverage?area=320+ft2&species=ipe&coating=clear-penetrating-oil"
    assert '<div lang="es">' in send("GET", f"{sent}&lang=es").text
    assert '<div lang="es">' not in send("GET", sent).text


def test_a_server_that_is_asked_for_no_page_imports_nothing_for_pages() -> None:
    names = "{'jinja2', 'markupsafe', 'markdown_it', 'pygal', 'importlib_metadata'}"
    script = f"import sys; import latewood_api.server, latewood_api.app; print(sorted({names} & set(sys.modules)))"
    found = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"


def test_every_problem_has_its_page(send: Send) -> None:
    listed = send("GET", "/problems").text
    for slug in KINDS:
        assert f'href="/problems/{slug}"' in listed
