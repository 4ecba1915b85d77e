"""Every kind of page on a phone: as wide as the screen, short, usable with keys and by those who do not see it."""

from __future__ import annotations

import json
import os
import re
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[2]
KEPT = ROOT / "build" / "screenshots"
#: Screens of 844 pixels, and the widths of the narrowest phone and of most.
SCREENS = 12
HEIGHT = 844
WIDTHS = (360, 390)
SENT = (
    "/docs/coverage?area=320+ft2&species=ipe&coating=clear-penetrating-oil",
    "/docs/coverage?area=400&coating=none",
    "/docs/search?q=lead",
    "/docs/catalogue/species?search=mahogany",
)


def read(address: str) -> Any:
    with urllib.request.urlopen(address) as answer:
        return json.load(answer)


@pytest.fixture(scope="module")
def pages(base: str) -> list[str]:
    """Every page the navigation has, those sent by forms, and the longest record of each kind."""
    with urllib.request.urlopen(f"{base}/docs") as answer:
        listed = re.findall(r'<a href="(/(?:docs|problems)[^"#]*)"', answer.read().decode())
    entries = []
    for kind in read(f"{base}/v1/catalogue")["items"]:
        items = read(f"{base}/v1/catalogue/{kind['id']}")["items"]
        if items and kind["id"] != "calculators":
            longest = max(items[:40], key=lambda one: len(json.dumps(one)))
            entries.append(f"/docs/catalogue/{kind['id']}/{longest['id']}")
    return [*dict.fromkeys([*listed, *SENT, "/docs/console/plan", "/problems/unusable-input", *entries])]


@pytest.fixture
def shown(browser: Any, base: str, pages: list[str]) -> Iterator[Any]:
    """Return what opens a page and closes the one before."""
    opened: list[Any] = []

    def show(path: str, width: int) -> Any:
        while opened:
            browser.leave(opened.pop())
        opened.append(browser.open(f"{base}{path}", width=width))
        return opened[0]

    yield show
    while opened:
        browser.leave(opened.pop())


@pytest.mark.parametrize("width", WIDTHS)
def test_no_page_is_wider_than_the_screen_or_longer_than_twelve(shown: Any, pages: list[str], width: int) -> None:
    wide, heights = [], {}
    for path in pages:
        page = shown(path, width)
        across, down = page.value("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
        wide += [(path, across)] if across > width else []
        heights[path] = down
        name = re.sub(r"[^a-z0-9]+", "-", path.lower()).strip("-")
        page.keep(KEPT / str(width) / f"{name}.png")
        assert page.seen.outside == []
    long = {path: down for path, down in heights.items() if down > SCREENS * HEIGHT}
    (KEPT / f"heights-{width}.json").write_text(json.dumps(heights, indent=1, sort_keys=True))
    assert (wide, long) == ([], {})


def test_nothing_keeps_anyone_out(shown: Any, pages: list[str]) -> None:
    axe = Path(os.environ["AXE"]).read_text("utf-8") if "AXE" in os.environ else pytest.skip("AXE names no axe.min.js")
    found: list[tuple[str, ...]] = []
    for path in pages:
        page = shown(path, WIDTHS[-1])
        page.value(f"{axe};0")
        faults = page.promised("axe.run().then(r => JSON.parse(JSON.stringify(r.violations)))")
        found += [
            (path, fault["id"], fault["impact"], fault["nodes"][0]["html"][:200])
            for fault in faults
            if fault["impact"] != "minor"
        ]
    assert found == []


def test_a_form_is_filled_with_keys_alone(shown: Any, pages: list[str]) -> None:
    page = shown("/docs/coverage", WIDTHS[-1])
    assert page.value("document.activeElement === document.body")
    seen = []
    for _ in range(80):
        page.press("Tab")
        seen.append(page.value("document.activeElement.id || document.activeElement.textContent.trim()"))
        if seen[-1] == "f-area":
            break
    assert seen[0] == "Skip to the content"
    assert seen[-1] == "f-area"
    page.value("document.activeElement.select()")
    page.browser.call("Input.insertText", page.session, text="250 ft2")
    page.press("Enter", "\r")
    page.wait("document.querySelector('#answer') !== null")
    assert page.value("document.forms['try-form'].elements['area'].value") == "250 ft2"


def test_a_fault_stands_at_its_field(shown: Any, pages: list[str]) -> None:
    page = shown("/docs/coverage?area=400&coating=clear-penetrating-oil", WIDTHS[-1])
    tied = page.value(
        "document.getElementById('f-area').getAttribute('aria-describedby').split(' ')"
        ".map(id => document.getElementById(id).textContent).join(' ')"
    )
    assert "has no unit" in tied
    assert page.value("document.getElementById('f-area').getAttribute('aria-invalid')") == "true"
