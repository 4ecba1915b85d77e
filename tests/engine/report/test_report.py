"""The report of a plan: short enough for a phone, and nothing that may hurt someone is left out of it."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path
from textwrap import wrap
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.cli import main
from latewood.job_files import read_file, with_weather
from latewood.report import Report, report, text
from latewood.report.figures import quantity, tenths
from latewood.report.wrapping import wrapped
from latewood.wire import Options

#: The finding that the line on the start stands for.
AT_START = ("window-opens", "nothing-opens-window")
JOBS = sorted((Path(__file__).parents[3] / "examples" / "jobs").glob("*.toml"))
PHONE, MOST, SCREEN = 46, 120, 34
SPACES = re.compile(r"\s+")
BOARDS = {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"}
CEDAR = {
    "species": "western-redcedar",
    "treatment": "none",
    "treatment_evidence": "end-tag",
    "old_coating": "none",
    "coating": "semi-transparent-oil-stain",
    "surface": "sanded",
    "signs": ["grey"],
    "structure": "sound",
    "boards": BOARDS,
}
MAIN = {"id": "main", "length": "12 ft", "width": "10 ft", "edges": {"wall_sides": [1]}}


@cache
def planned(lw: Any, path: Path, lang: str | None) -> tuple[dict[str, Any], Report, Any]:
    options = Options(lang=lang)
    plan = lw.plan(with_weather(read_file(path), path.parent), options)
    speaker = lw.speaker(options.or_units(plan["job"]["units"]).or_lang(plan["job"]["language"]))
    return plan, report(plan, speaker), speaker


#: Names as people write them: wide letters, letters under marks, symbols joined into one, and no blank to break at.
NAMES = {
    "wide": "\u6f22\u5b57" * 40,
    "wide beside narrow": "Hof \u6f22\u5b57\u6f22 Nord " * 7,
    "marks": "e\u0301" * 50,
    "joined": "\U0001f469\u200d\U0001f467" * 30,
    "one word": "x" * 100,
}


def said_once(message: str, shown: str) -> bool:
    """Return whether a message stands, by itself or once with those that say the same of other parts."""
    return flat(message) in shown or flat(message.partition(": ")[2] or message) in shown


@pytest.mark.parametrize("name", NAMES.values(), ids=NAMES)
@pytest.mark.parametrize("width", [20, PHONE])
def test_no_line_is_wider_than_asked_whatever_the_letters(lw: Any, name: str, width: int) -> None:
    plan = lw.plan({"schema": 1, "name": name, "reference": name, "defaults": CEDAR, "zones": [MAIN]}, Options())
    speaker = lw.speaker(Options())
    lines = text(report(plan, speaker), speaker, width=width).splitlines()
    # As a screen shows them: two columns for a wide letter, none for a mark or a joiner.
    assert max(map(wide_as_shown, lines)) <= width
    assert name.replace(" ", "") in "".join(lines).replace(" ", "")


def wide_as_shown(line: str) -> int:
    shown = [letter for letter in line if unicodedata.category(letter) not in {"Mn", "Me", "Cf"}]
    return len(shown) + sum(unicodedata.east_asian_width(letter) in {"W", "F"} for letter in shown)


@settings(max_examples=300)
@given(
    words=st.lists(st.text("ab-.:", min_size=1, max_size=12), max_size=20),
    width=st.integers(14, 40),
    indent=st.sampled_from(["", "  "]),
)
def test_plain_words_break_where_the_standard_library_breaks_them(words: list[str], width: int, indent: str) -> None:
    line = " ".join(words)
    assert wrapped(line, width, indent=indent) == wrap(line, width, subsequent_indent=indent, break_on_hyphens=False)


def made(lw: Any, **job: Any) -> tuple[dict[str, Any], Report, str]:
    plan = lw.plan({"schema": 1, "defaults": CEDAR, "zones": [MAIN], **job}, Options())
    speaker = lw.speaker(Options())
    found = report(plan, speaker)
    return plan, found, text(found, speaker, width=PHONE)


def flat(shown: str) -> str:
    """One line, without case: headings are in capitals."""
    return SPACES.sub(" ", shown).casefold()


@pytest.mark.parametrize("lang", [None, "es"])
@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_line_is_wider_than_asked(lw: Any, path: Path, lang: str | None) -> None:
    _, found, speaker = planned(lw, path, lang)
    for width in (PHONE, 80):
        for full in (False, True):
            assert max(map(len, text(found, speaker, width=width, full=full).splitlines())) <= width


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_example_fits_a_phone(lw: Any, path: Path) -> None:
    _, found, speaker = planned(lw, path, None)
    lines = text(found, speaker, width=PHONE).splitlines()
    assert len(lines) <= MOST
    screen = "\n".join(lines[:SCREEN])
    assert re.search(r"^(GO|WAIT|STOP)\b", screen, re.MULTILINE)
    for label in ("Start: ", "First: ", "Danger: ", "Buy: "):
        assert re.search(rf"^{label}\S", screen, re.MULTILINE)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_danger_and_warning_stands_with_its_parts(lw: Any, path: Path) -> None:
    plan, found, speaker = planned(lw, path, None)
    shown = flat(text(found, speaker, width=PHONE))
    for one in plan["cautions"]:
        assert flat(one.title) in shown
    for one in plan["findings"]:
        if one.severity in ("warning", "danger") and one.id not in AT_START:
            assert said_once(one.message, shown)
    for one in (*found.dangers, *found.warnings):
        assert flat(one.where) in shown
    for one in plan["cautions"]:
        assert all(flat(line) in shown for line in one.brief)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_verdicts_and_questions_never_fold(lw: Any, path: Path) -> None:
    plan, found, speaker = planned(lw, path, None)
    shown = flat(text(found, speaker, width=PHONE))
    for row in plan["verdicts"]:
        assert flat(speaker.word("report-verdict", f"{row['verdict']}-{row['phase']}")) in shown
        for reason in row["reasons"]:
            assert flat(reason["message"].removeprefix("not answered yet: ").removesuffix(".")) in shown
    for row in plan["questions"]:
        assert flat(row["how"]) in shown


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_lines_of_hours_add_up_to_their_total(lw: Any, path: Path) -> None:
    plan, found, _ = planned(lw, path, None)
    if not found.work:
        assert not found.person_hours
        return
    count = lambda hours: 0 if hours.startswith("<") else round(10 * float(hours))  # noqa: E731 - of one test
    assert sum(count(one.hours) for one in found.work) == count(found.person_hours)
    for one in found.work:
        assert sum(count(row.hours) for row in one.rows) == count(one.hours)
    assert count(found.person_hours) == round(10 * plan["totals"]["person_hours"]["mean"])


def test_tenths_add_up_where_rounding_each_would_not() -> None:
    assert tenths([0.14, 0.14, 0.14], 0.42) == [2, 1, 1]
    assert tenths([1.0, 2.0], 3.0) == [10, 20]


def test_a_deck_that_is_asked_nothing_says_so_and_is_no_go(lw: Any) -> None:
    silent = {name: value for name, value in CEDAR.items() if name not in ("signs", "structure")}
    _, found, shown = made(lw, defaults=silent)
    assert {one.verdict for one in found.verdicts} == {"not-judged"}
    assert "(not judged)" in shown
    assert not re.search(r"^GO", shown, re.MULTILINE)
    assert "Give: signs, structure" in flat_case(shown)


def test_a_deck_that_waits_for_an_answer_says_which(lw: Any) -> None:
    plan, _, shown = made(lw, defaults={**CEDAR, "structure": "not-looked"})
    assert plan["questions"]
    assert re.search(r"^WAIT to prepare: answer 1\b", shown, re.MULTILINE)
    assert not re.search(r"^GO", shown, re.MULTILINE)


def test_where_no_start_works_the_first_screen_says_what_opens_one(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "sunny_days")
    plan, found, speaker = planned(lw, path, None)
    ways = next(step["result"]["proposals"] for step in plan["steps"] if step["calculator"] == "cure-windows")
    assert [one["kind"] for one in ways] == ["smaller-parts", "shade", "more-people"]
    screen = flat("\n".join(text(found, speaker, width=PHONE).splitlines()[:34]))
    assert all(flat(one["text"]) in screen for one in ways)
    assert not [one for one in found.warnings if one.id in AT_START]
    assert {one.id for one in plan["findings"]} >= {"window-opens"}


@pytest.mark.parametrize("lang", ["en", "es"])
def test_where_nothing_opens_a_window_the_reason_stands_once(lw: Any, lang: str) -> None:
    path = next(path for path in JOBS if path.stem == "sunny_days")
    job = with_weather(read_file(path), path.parent)
    hot = [{**day, "warmest": "44 degC", "coldest": "36 degC"} for day in job["weather"]["days"]]
    options = Options(lang=lang)
    plan, speaker = lw.plan({**job, "weather": {"days": hot}}, options), lw.speaker(options)
    screen = flat(text(report(plan, speaker), speaker, width=PHONE))
    coat = {"en": "first coat", "es": "la primera mano"}[lang]
    assert screen.count(flat(coat)) == 1
    assert screen.count({"en": "larger crew", "es": "ni más gente"}[lang]) == 1
    assert "coat-1" not in screen
    assert ".;" not in screen


def test_where_more_than_the_weather_stands_in_the_way_a_start_is_not_settled(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "sunny_days")
    job = with_weather(read_file(path), path.parent)
    few = {"readings": [{"zone": job["zones"][0]["id"], "reading": "14 %"}]}
    screens = [
        flat("\n".join(text(report(lw.plan({**job, **more}), speaker), speaker, width=PHONE).splitlines()[:34]))
        for speaker in [lw.speaker(Options())]
        for more in ({}, few)
    ]
    assert ["start: no date as asked" in screen for screen in screens] == [True, False]
    assert ["start: not settled. by the weather alone" in screen for screen in screens] == [False, True]


def test_a_reading_that_is_not_given_is_asked_for_in_words(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "boathouse")
    _, found, speaker = planned(lw, path, None)
    shown = text(found, speaker, width=PHONE)
    assert found.tasks[0].text == "Read the moisture of the wood with a meter."
    assert found.tasks[0].give.endswith("readings")
    assert "no usable moisture reading" in flat_case(shown)


def test_times_to_look_again_name_their_parts_in_order(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "new_pine")
    _, found, _ = planned(lw, path, None)
    assert [flat(line) for line in found.start[1:]] == [
        "read the moisture again mon, jun 22, 8 am local time (under roof)",
        "test again with drops of water sat, jul 4, 2 pm local time (open)",
        "read the moisture again sat, jul 4, 2 pm local time (open)",
    ]


def test_new_wood_is_asked_for_no_old_finish(lw: Any) -> None:
    warned = {}
    for name in ("new_pine", "mixed_boards"):
        plan, _, _ = planned(lw, next(path for path in JOBS if path.stem == name), None)
        warned[name] = {one.message for one in plan["findings"] if one.id == "implausibly-wet"}
    assert len(warned["new_pine"]) == 2
    assert not any("old finish" in one for one in warned["new_pine"])
    assert all("old finish" in one for one in warned["mixed_boards"])


def test_readings_that_are_lacking_are_the_first_task(lw: Any) -> None:
    job = read_file(next(path for path in JOBS if path.stem == "boathouse"))
    (sunny,) = [{**zone, "exposure": "roofed"} for zone in job["zones"] if zone["id"] == "sunny"]
    reading = {"zone": "sunny", "reading": "12 %", "taken": "2026-05-04T09:00"}
    moisture = {**job["moisture"], "now": "2026-05-04T10:00"}
    plan = lw.plan({**job, "zones": [sunny], "readings": [reading], "moisture": moisture}, Options())
    found = report(plan, lw.speaker(Options()))
    assert found.tasks[0].how == "2 more readings are needed per zone."
    assert found.tasks[0].give.endswith("readings")


def test_washed_wood_waits_in_the_order_of_work(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "boathouse")
    plan, found, speaker = planned(lw, path, None)
    shown = flat(text(found, speaker, width=PHONE))
    at = [shown.index(f" {word} ") for word in ("mask what lies", "check and set", "let it dry:", "vacuum after")]
    assert at == sorted(at)
    washed = [work for work in found.work if work.after]
    assert [work.label for work in washed] == ["Wash"]
    assert any("drying_time" in row for step in plan["steps"] for row in step.get("result", {}).get("routes", ()))


def test_wood_dries_once_after_its_last_water(lw: Any) -> None:
    defaults = {**CEDAR, "surface": "weathered", "signs": ["algae", "grey"], "frame": {"material": "metal"}}
    climate = {"temperature": "60 degF", "relative_humidity": "60 %"}
    plan, found, _ = made(lw, defaults=defaults, zones=[{**MAIN, "exposure": "low-clearance"}], moisture=climate)
    assert [work.label for work in found.work if work.label in ("Wash", "Neutralise")] == ["Wash", "Neutralise"]
    assert [(work.label, len(work.after)) for work in found.work if work.after] == [("Neutralise", 1)]
    # The answers of steps keep their own; a page says it once, with the wait of common practice beside it.
    told = {"wash-waits", "dry-after-wash", "wait-after-wetting"}
    assert {one.id for one in plan["findings"]} >= told
    assert not told & {one.id for one in found.notes}
    assert "3 to 4 days" in flat(next(work.after[0] for work in found.work if work.after))


def test_a_part_of_every_zone_stands_once(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "two_levels")
    _, found, speaker = planned(lw, path, None)
    shown = flat(text(found, speaker, width=PHONE))
    assert "where: frame." in shown
    assert "frame; " not in shown


def test_faces_of_one_part_stand_once(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "terrace")
    _, found, _ = planned(lw, path, None)
    for work in found.work:
        assert len({row.label for row in work.rows}) == len(work.rows)


def test_discs_keep_their_grits_on_every_page(lw: Any) -> None:
    for path in JOBS:
        plan, found, speaker = planned(lw, path, None)
        shown = flat(text(found, speaker, width=PHONE))
        for row in plan["purchases"]:
            if row["kind"] == "abrasive":
                likely, buy = row["typical_count"], row["count"]
                amount = f"{likely} ({buy})" if likely < buy else str(buy)
                assert flat(f"{row['grade_label'].removeprefix('FEPA ')} {amount}") in shown


def test_what_is_said_of_each_part_stands_once_with_all_parts(lw: Any) -> None:
    said = {"id": "a-danger", "severity": "danger", "message": "", "pointer": ""}
    plan = lw.plan({"schema": 1, "defaults": CEDAR, "zones": [MAIN, {**MAIN, "id": "north"}]}, Options())
    each = [{**said, "message": f"{id.title()}: keep off.", "places": [id]} for id in ("main", "north")]
    found = report({**plan, "findings": each}, lw.speaker(Options()))
    alone = report({**plan, "findings": each[:1]}, lw.speaker(Options()))
    named = [(one.text, one.where) for one in found.dangers if one.id == "a-danger"]
    assert named == [("Keep off.", "all parts")]
    assert [(one.text, one.where) for one in alone.dangers if one.id == "a-danger"] == [("Main: keep off.", "main")]


def test_a_deck_with_nothing_to_coat_says_so(lw: Any) -> None:
    zone = {"id": "main", "length": "12 ft", "width": "10 ft", "material": "composite"}
    plan = lw.plan({"schema": 1, "zones": [zone]}, Options())
    speaker = lw.speaker(Options())
    shown = text(report(plan, speaker), speaker, width=PHONE)
    assert not plan["verdicts"]
    assert "NO VERDICT" in shown
    assert not re.search(r"^GO", shown, re.MULTILINE)


def test_sanding_that_the_job_leaves_out_of_its_route_is_told(lw: Any) -> None:
    plan, found, _ = made(lw, defaults={**CEDAR, "surface": "weathered"})
    skipped = next(step for step in plan["steps"] if step["calculator"] == "abrasive-sequence")
    assert skipped["status"] == "skipped"
    assert skipped["why"] in {one.why for one in found.not_planned}


def test_what_is_stopped_is_said_first_and_bought_for_no_part(lw: Any) -> None:
    plan, found, shown = made(lw, zones=[{**MAIN, "structure": "failed"}])
    lines = shown.splitlines()
    assert next(line for line in lines if line.startswith(("GO", "WAIT", "STOP"))).startswith("STOP, do not prepare")
    # A reason may speak of "it": its parts stand before it.
    said = {re.sub(r"^Stopped( \(.*\))?: |\.$", "", task.text) for task in found.tasks}
    assert {row["why"] for row in plan["stopped"]} <= said
    assert "First: Stopped (frame): the person who looked found it failed." in flat_case(shown)
    assert not any("×" in one.amount for one in found.purchases if one.kind == "finish")


def test_in_full_nothing_is_left_out(lw: Any) -> None:
    path = next(path for path in JOBS if path.stem == "two_levels")
    plan, found, speaker = planned(lw, path, None)
    shown = flat(text(found, speaker, width=PHONE, full=True))
    for one in plan["cautions"]:
        assert flat(one.message) in shown
        assert all(flat(line) in shown for line in one.do)
    for one in (*found.notes, *found.waste, *found.assumed):
        assert flat(one.text) in shown
    for one in plan["purchases"]:
        assert flat(one["title"]) in shown


def test_every_text_of_a_report_is_in_spanish(lw: Any) -> None:
    assert [id for id in lw.shelf.texts.missing("es") if "report-" in id or "words.report" in id] == []


def test_a_stop_that_is_not_listed_stands_among_the_dangers(lw: Any) -> None:
    plan = lw.plan({"schema": 1, "defaults": CEDAR, "zones": [{**MAIN, "structure": "failed"}]}, Options())
    stops = [one for one in plan["findings"] if one.severity == "stop"]
    assert stops
    found = report({**plan, "stopped": []}, lw.speaker(Options()))
    assert {one.message for one in stops} <= {one.text for one in found.dangers}


def flat_case(shown: str) -> str:
    return SPACES.sub(" ", shown)


def test_the_command_takes_a_width_and_shows_all(capsys: pytest.CaptureFixture[str]) -> None:
    path = str(JOBS[0])
    assert main(["plan", path, "--width", "46"]) == 0
    short = capsys.readouterr().out.splitlines()
    assert main(["plan", path, "--width", "46", "--full"]) == 0
    full = capsys.readouterr().out.splitlines()
    assert len(short) < len(full)
    assert max(map(len, (*short, *full))) <= PHONE
    with pytest.raises(SystemExit):
        main(["plan", path, "--width", "3"])


def test_a_width_is_written_to_a_tenth_of_a_millimetre(lw: Any) -> None:
    """A board of 140 mm that swells by 2 mm: two digits called it 140 mm before and after."""
    after = {"value": 142.36, "low": 141.63, "high": 142.98, "unit": "mm"}
    assert quantity(after, lw.speaker(Options())) == "142.4 mm (141.6 to 143.0 mm)"
    assert quantity(after, lw.speaker(Options(lang="es", decimal=","))) == "142,4 mm (141,6 a 143,0 mm)"
    wide = {"value": 5.0, "low": 3.0, "high": 8.0, "unit": "mm"}
    assert flat(quantity(wide, lw.speaker(Options()))) == "5 mm (3 to 8 mm)"
