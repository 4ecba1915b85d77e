"""The catalogue for people: lists that can be searched, and what is known of each entry."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from urllib.parse import quote

import httpx
import pytest

from latewood.catalogue import Catalogue

Send = Callable[..., httpx.Response]
WOODS = "/docs/catalogue/species"


def words(page: httpx.Response) -> str:
    """Return what a reader sees, without markup."""
    assert page.status_code == 200
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", page.text.partition("<main>")[2])).split())


def test_every_kind_has_a_list_whose_links_lead_to_pages(lw: Catalogue, send: Send) -> None:
    start = send("GET", "/docs").text
    for kind in lw.kinds():
        assert f'href="/docs/catalogue/{kind}"' in start
        page = send("GET", f"/docs/catalogue/{kind}")
        assert page.status_code == 200
        links = re.findall(r'<td><a href="(/docs/[^"]+)">', page.text)
        assert len(links) == lw.items(kind)["count"]
        # The first and the last stand for all of a kind; every record is read back in the tests of the catalogue.
        for link in {*links[:1], *links[-1:]}:
            assert send("GET", link).status_code == 200


def test_a_wood_is_shown_with_its_numbers_in_both_systems_and_how_each_is_known(send: Send) -> None:
    shown = words(send("GET", f"{WOODS}/ipe"))
    # FPL sheet Tabebuia: Janka 3,680 lb at 12 %; shrinkage 6.6, 8.0 and 13.2 %.
    assert "hardness/dry Janka side hardness, green and at 12 % 16370 N 3680 lbf published" in shown
    assert "shrinkage/tangential" in shown
    assert "8 %" in shown
    assert "850 to 970 kg/m3" in shown
    assert "Handroanthus spp. (formerly Tabebuia, lapacho group)" in shown
    assert "turns deep red in alkaline and percarbonate cleaners" in shown
    assert "judgement" in shown


def test_what_is_said_in_words_names_its_source_and_the_sources_are_linked(send: Send) -> None:
    page = send("GET", f"{WOODS}/teak")
    assert 'href="/docs/catalogue/source/haz-map-teak"' in page.text
    assert 'href="/docs/catalogue/source/teak-sheet"' in page.text
    source = words(send("GET", "/docs/catalogue/source/teak-sheet"))
    assert "species/teak" in source
    assert "not named on the copy read" in source


def test_a_list_is_searched_and_a_shared_name_is_explained(send: Send) -> None:
    shown = words(send("GET", f"{WOODS}?search=mahogany"))
    assert "Mahogany may mean several woods." in shown
    assert "Santos mahogany, not on this shelf Myroxylon balsamum flooring trade" in shown
    page = send("GET", f"{WOODS}?search=mahogany").text
    assert f'href="{WOODS}/khaya"' in page
    assert "santos-mahogany" not in page
    assert 'value="mahogany"' in page


def test_nothing_found_names_the_nearest_and_an_empty_field_lists_all(lw: Catalogue, send: Send) -> None:
    assert "Nothing goes by this name. Did you mean balau?" in words(send("GET", f"{WOODS}?search=bangkiray"))
    everything = send("GET", f"{WOODS}?search=")
    assert everything.text == send("GET", WOODS).text
    assert everything.text.count(f'<td><a href="{WOODS}/') == lw.items("species")["count"]


def test_dates_and_counts_are_shown_as_such(send: Send) -> None:
    assert "from 2010-01-01" in words(send("GET", "/docs/catalogue/voc-limits/eu-2004-42-ec"))
    assert "Coats in one working; 0 where the wood is left bare 1 " in words(
        send("GET", "/docs/catalogue/coating/clear-penetrating-oil")
    )


@pytest.mark.parametrize("path", [WOODS, f"{WOODS}?search=oak", f"{WOODS}/ipe", "/docs/catalogue/check/density-balau"])
def test_nothing_inline_and_nothing_from_elsewhere(send: Send, path: str) -> None:
    page = send("GET", path)
    policy = page.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; ")
    assert "script-src" not in policy
    assert re.search(r"<script|\son[a-z]+=|\sstyle=|javascript:", page.text) is None
    assert re.findall(r"(?:src|action)=\"(?!/docs)[^\"]*", page.text) == []


@pytest.mark.parametrize("text", ["<script>x</script>", '"><img src=x>', "' onfocus='x"])
def test_what_is_searched_for_stays_text(send: Send, text: str) -> None:
    page = send("GET", f"{WOODS}?search={quote(text)}")
    assert page.status_code == 200
    assert text not in page.text


@pytest.mark.parametrize(
    ("path", "status"),
    [
        ("/docs/catalogue/specie", 404),
        (f"{WOODS}/ippe", 404),
        (f"{WOODS}?serach=teak", 422),
        (f"{WOODS}/ipe?search=teak", 422),
        (f"{WOODS}?search={'a' * 81}", 422),
    ],
)
def test_what_is_not_there_is_refused(send: Send, path: str, status: int) -> None:
    assert send("GET", path).status_code == status
