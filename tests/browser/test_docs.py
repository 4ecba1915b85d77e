"""The pages as a browser draws them, with every name outside this machine unknown to it."""

from __future__ import annotations

import http.server
import json
import threading
import urllib.request
from collections.abc import Iterator
from typing import Any

import pytest

pytestmark = pytest.mark.browser

BAD = b"""<!doctype html><title>bad</title><body>here
<img src="http://outside.example/x.png"><script>console.error("woe"); nothing.at.all</script></body>"""


@pytest.fixture(scope="module")
def contract(base: str) -> dict[str, Any]:
    with urllib.request.urlopen(f"{base}/openapi.json") as answer:
        return json.load(answer)


@pytest.fixture
def bad_page() -> Iterator[str]:
    """Serve a page that does what ours must not."""

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.send_header("content-length", str(len(BAD)))
            self.end_headers()
            self.wfile.write(BAD)

        def log_message(self, *args: Any) -> None:
            pass

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()


def test_what_must_not_happen_would_be_seen(browser: Any, bad_page: str) -> None:
    page = browser.open(bad_page)
    with pytest.raises(AssertionError):
        page.clean()
    assert page.seen.outside == ["http://outside.example/x.png"]
    complaints = "\n".join(page.seen.complaints)
    assert "woe" in complaints
    assert "nothing is not defined" in complaints
    assert "ERR_NAME_NOT_RESOLVED" in complaints


def drawn(operation: str) -> str:
    """Say in script that an opened operation is drawn whole: until then the page knows nothing to execute."""
    return f"document.querySelector('#{operation} .responses-wrapper .response') !== null"


def console(browser: Any, base: str, tag: str) -> Any:
    page = browser.open(f"{base}/docs/console/{tag}")
    assert not [url for url in page.seen.asked if "swagger" in url], "drawn before it is asked for"
    page.click("#draw")
    page.wait("document.querySelector('#interactive .opblock') !== null")
    return page


class TestInteractive:
    def test_every_operation_is_drawn(self, browser: Any, base: str, contract: dict[str, Any]) -> None:
        operations = [one for path in contract["paths"].values() for one in path.values()]
        tags = {tag for one in operations for tag in one["tags"]}
        for tag in sorted(tags):
            of_tag = [one for one in operations if tag in one["tags"]]
            page = console(browser, base, tag)
            page.wait(f"document.querySelectorAll('#interactive .opblock').length === {len(of_tag)}")
            text = page.text()
            for operation in of_tag:
                assert operation["summary"] in text
            assert "OAS 3.1" in text
            assert "Unable to render" not in text
            page.clean()

    def test_an_operation_can_be_tried(self, browser: Any, base: str) -> None:
        page = console(browser, base, "catalogue")
        page.click("#operations-catalogue-listKinds button.opblock-summary-control")
        page.wait(drawn("operations-catalogue-listKinds"))
        page.click("#operations-catalogue-listKinds button.execute")
        page.wait("document.querySelector('#operations-catalogue-listKinds .live-responses-table') !== null")
        live = page.value("document.querySelector('#operations-catalogue-listKinds .live-responses-table').innerText")
        assert "200" in live
        assert "calculators" in live
        assert f"{base}/v1/catalogue" in page.seen.asked
        page.clean()

    def test_a_body_can_be_sent_as_it_stands(self, browser: Any, base: str) -> None:
        """The example in the contract is put in the box, and the answer comes back."""
        page = console(browser, base, "plan")
        page.click("#operations-plan-planJob button.opblock-summary-control")
        page.wait(drawn("operations-plan-planJob"))
        page.click("#operations-plan-planJob button.execute")
        page.wait("document.querySelector('#operations-plan-planJob .live-responses-table') !== null")
        live = page.value("document.querySelector('#operations-plan-planJob .live-responses-table').innerText")
        assert "200" in live
        assert '"totals"' in live
        page.clean()

    def test_without_script_it_says_where_to_go(self, browser: Any, base: str) -> None:
        page = browser.open(f"{base}/docs/console/plan", script=False)
        text = page.text()
        assert "The console needs script" in text
        assert "/v1/plan.txt" in page.value("document.querySelector('main').textContent")


class TestCalculators:
    @pytest.mark.parametrize("path", ["/", "/problems/unusable-input"])
    def test_plain_pages_are_quiet(self, browser: Any, base: str, path: str) -> None:
        page = browser.open(f"{base}{path}")
        assert page.value("document.querySelectorAll('h1').length") == 1
        page.clean()

    def test_each_has_all_its_parts(self, browser: Any, base: str) -> None:
        with urllib.request.urlopen(f"{base}/v1/catalogue/calculators") as answer:
            names = [item["id"] for item in json.load(answer)["items"]]
        assert names
        for name in names:
            page = browser.open(f"{base}/docs/{name}")
            titles = page.value("[...document.querySelectorAll('main h2')].map(h => h.innerText)")
            wanted = ["Smallest request", "Try it", "Fields", "Outputs", "Formulas", "Checks it passes", "Example"]
            assert titles == [*wanted, "From a program"], name
            assert f"{base}/v1/calculate/{name}" in page.value("document.querySelector('main').textContent")
            text = page.text()
            assert "groups of independent evidence about an answer, all met" in text, name
            assert "is not met on this server" not in text, name
            page.clean()

    @pytest.mark.parametrize("script", [True, False])
    def test_the_form_answers_with_and_without_script(self, browser: Any, base: str, *, script: bool) -> None:
        page = browser.open(f"{base}/docs/coverage", script=script)
        page.fill("area", "320 ft2")
        page.fill("units", "us")
        page.click("#try-form button")
        page.wait("document.querySelector('#answer') !== null")
        text = str(page.value("document.querySelector('#answer').innerText"))
        assert "volume" in text
        assert "us_gal" in text
        # What was given stays in the form.
        assert page.value("document.forms['try-form'].elements['area'].value") == "320 ft2"
        page.clean()

    def test_a_mistake_is_said_with_its_remedy(self, browser: Any, base: str) -> None:
        page = browser.open(f"{base}/docs/coverage?area=400&coating=clear-penetrating-oil")
        text = str(page.value("document.querySelector('#answer').innerText"))
        assert "/area" in text
        assert "has no unit" in text
        assert page.seen.outside == []
