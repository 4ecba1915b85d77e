"""The page on plans: how a job is planned, what its verdicts mean, and the report of the job of the contract."""

from __future__ import annotations

from typing import Final

from latewood_api.pages.layout import HERE, Site

_ABOUT: Final = (
    "A job in JSON or TOML names the zones of a deck and what is known of them. Its plan goes through all calculators. "
    "POST /v1/plan answers it as data, POST /v1/plan.txt as a page to read, POST /v1/plan.svg as a drawing.\n\n"
    "What the job leaves out is not planned. The plan then names the field that would have it planned."
)
_VERDICTS: Final = (
    ("GO", "Nothing that was seen or measured stands against it."),
    ("WAIT", "A question is open, the wood is not dry, or the weather says no. The reason stands beside it."),
    ("WAIT (not judged)", "The job says too little to judge. This is no GO."),
    ("STOP", "A part may give way, or the work can injure people. The stop names the fields that lift it."),
)
_ORDER: Final = (
    ("Verdicts, start, first task, worst danger, what to buy", "The first 34 lines on a phone."),
    ("Do first", "Stops and open questions, with what waits for each."),
    ("Dangers, then warnings", "Each with all its parts and its brief. None is ever left out."),
    ("To buy", "Likely use, and what stands before buying."),
    ("Work, in order", "Hours of one person. The lines add up to the total."),
    ("Assumed", "Values that were not given, the one that moves the answer most first."),
    ("Notes", "As many as fit."),
    ("Not planned", "Each with the field that has it planned."),
)
_WIDTH: Final = (
    ("width", "Columns, from 20 to 400. A phone has 46, a terminal 80."),
    ("full", "true shows everything: all lines of each caution, notes, ranges and assumptions."),
    ("lang, units, decimal", "As on every request."),
)


def plan_page(site: Site, sample: str) -> bytes:
    """Return the page, with a report to look at."""
    return site.page(
        "plan",
        "Plan a job",
        about=_ABOUT,
        verdicts=_VERDICTS,
        order=_ORDER,
        parameters=_WIDTH,
        commands=[
            f"curl -s '{HERE}/v1/plan.txt?width=46' -H 'content-type: application/json' -d @job.json",
            "latewood plan job.toml --width 46 --full",
        ],
        sample=sample,
    )
