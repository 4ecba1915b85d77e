"""A plan asked in another language, other units or with a comma is so in all it says, not only in its findings."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

import msgspec
import pytest
from tests.engine.messages import lint
from tests.goldens.record import JOBS, leaves

from latewood.catalogue import Catalogue
from latewood.job_files import read_file, with_weather
from latewood.messages import Style
from latewood.plan import read_job
from latewood.wire import Context, Options

NAMES: Final = sorted(file.stem for file in JOBS.glob("*.toml"))
#: Texts of three words and more that are the same in English and Spanish, by the end of their path, and why.
ALIKE: Final = {"/findings/[^/]+/params/.*": "plain data for clients of before there were values: English by contract"}
#: What a plan says beside its findings, which the style sheet is held to elsewhere. A can keeps the size it is sold in.
SAID: Final = re.compile(
    r"/steps/[^/]+/why|/(?:verdicts|stopped|questions|purchases|assumptions|hours|components)/.*"
    r"(?<!/containers/.)/(?:why|message|question|how|label|assumed|output)"
)
STYLES: Final = (
    Style("es", "us", ","),
    Style("es", "metric", "."),
    Style("en", "metric", ","),
    Style("en-US", "us", "."),
)


def planned(lw: Catalogue, name: str, style: Style) -> Mapping[str, Any]:
    """Return each leaf of a plan; its job is read with points, whatever mark the answer has."""
    job = read_job(with_weather(read_file(JOBS / f"{name}.toml"), JOBS), lw.shelf, Options())
    asked = Options(lang=style.lang, units=style.system, decimal=style.decimal)
    plan = lint.run_module()._planned(lw, job, asked, Context(lw.shelf))
    return dict(leaves(msgspec.json.decode(msgspec.json.encode(plan))))


def words(text: str) -> int:
    """Count words of a sentence; ids and lists of ids have none."""
    return len(re.findall(r"(?<![\w/.-])[^\W\d_]{2,}(?![\w/-])", text)) if " " in text else 0


@pytest.mark.parametrize("name", NAMES)
def test_no_text_of_a_spanish_plan_is_the_english_one(lw: Catalogue, name: str) -> None:
    spanish, english = planned(lw, name, Style("es")), planned(lw, name, Style("en"))
    assert spanish.keys() == english.keys()
    told = {path: text for path, text in english.items() if isinstance(text, str) and words(text) > 2}
    assert len(told) > 100
    alike = [path for path, text in told.items() if spanish[path] == text]
    assert [path for path in alike if not any(re.fullmatch(where, path) for where in ALIKE)] == []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_in_a_spanish_plan_is_marked_as_english(lw: Catalogue, name: str) -> None:
    lw.shelf.texts.fell_back.clear()
    plan = planned(lw, name, Style("es"))
    assert [path for path in plan if path.endswith("/language") and path != "/job/language"] == []
    assert [id for lang, id in lw.shelf.texts.fell_back if lang == "es"] == []


@pytest.mark.parametrize("style", STYLES, ids="/".join)
def test_all_that_a_plan_says_is_in_the_units_and_the_mark_asked_for(lw: Catalogue, style: Style) -> None:
    seen, wrong = 0, {}
    for name in NAMES:
        for path, text in planned(lw, name, style).items():
            if SAID.fullmatch(path):
                seen += 1
                if faults := [one for one in lint.faults(text, style) if "not asked" in one or "id in prose" in one]:
                    wrong[f"{name}{path}"] = (faults, text)
    assert seen > 400
    assert wrong == {}


@pytest.mark.parametrize("name", NAMES)
def test_parts_are_called_by_their_labels(lw: Catalogue, name: str) -> None:
    plan = planned(lw, name, Style())
    ids = {text for path, text in plan.items() if re.fullmatch(r"/components/[^/]+/(id|faces/\d+)", path)}
    ids = {id for id in ids if "/" in id or "-" in id}
    said = {path: text for path, text in plan.items() if SAID.fullmatch(path) or path.endswith("/message")}
    assert ids
    assert {path: text for path, text in said.items() if any(re.search(rf"\b{id}\b", text.lower()) for id in ids)} == {}
