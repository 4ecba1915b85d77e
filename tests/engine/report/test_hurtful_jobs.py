"""The page of jobs that are meant to hurt: nothing fails, and nothing that may hurt someone is left out of it."""

from __future__ import annotations

import re
from typing import Any

import pytest
from tests.adversarial.cases import Case, every, read

from latewood.report import report, text
from latewood.wire import Options

PHONE, SCREEN = 46, 34
SPACES = re.compile(r"\s+")
#: Every third job, so that every hazard is among them.
JOBS = [case for case in every(read()) if case.calculator is None and "refused" not in case.expect][::3]


def flat(shown: str) -> str:
    return SPACES.sub(" ", shown).casefold()


def test_there_are_enough() -> None:
    assert len(JOBS) >= 30


#: What the line on the start says.
AT_START = ("window-opens", "nothing-opens-window")


def said_once(message: str, shown: str) -> bool:
    """Return whether a message stands, by itself or once with those that say the same of other parts."""
    return flat(message) in shown or flat(message.partition(": ")[2] or message) in shown


@pytest.mark.parametrize("case", JOBS, ids=lambda case: case.id)
@pytest.mark.parametrize("lang", ["en", "es"])
def test_all_that_may_hurt_is_on_the_page(lw: Any, case: Case, lang: str) -> None:
    options = Options(lang=lang)
    plan = lw.plan(case.tree, options)
    speaker = lw.speaker(options.or_units(plan["job"]["units"]))
    found = report(plan, speaker)
    lines = text(found, speaker, width=PHONE).splitlines()
    assert max(map(len, lines)) <= PHONE
    shown = flat("\n".join(lines))
    for one in plan["cautions"]:
        assert flat(one.title) in shown
        assert all(flat(line) in shown for line in one.brief)
    listed = {(stop["finding"], stop["id"]) for stop in plan["stopped"]}
    for one in plan["findings"]:
        by_list = one.severity == "stop" and one.places and {(one.id, at) for at in one.places} <= listed
        if one.severity in ("stop", "danger", "warning") and not by_list and one.id not in AT_START:
            assert said_once(one.message, shown)
    for said in (*found.dangers, *found.warnings):
        assert flat(said.where) in shown
    for stop in plan["stopped"]:
        assert flat(stop["why"]) in shown
    for row in plan["questions"]:
        assert flat(row["question"]) in shown
        assert flat(row["how"]) in shown
    screen = "\n".join(lines[:SCREEN])
    for row in plan["verdicts"]:
        word = speaker.word("report-verdict", f"{row['verdict']}-{row['phase']}")
        assert flat(word) in flat(screen)
    if any(row["verdict"] == "stop" for row in plan["verdicts"] if row["phase"] == "prepare"):
        # What no part may be prepared for is bought for none.
        stopped = {id for row in plan["verdicts"] if row["verdict"] == "stop" for id in row["components"]}
        assert not [row for row in plan["purchases"] if row["containers"] and {*row["places"]} & stopped]
