"""Hold the texts of answers to the style sheet: words and counts, no grammar. A second person still reads aloud.

``python -m tests.engine.messages.lint`` shows what breaks a rule.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any, Final, NamedTuple

import pytest
from tests.bundled import bundled
from tests.goldens.record import JOBS

from latewood import answers
from latewood.catalogue import Catalogue
from latewood.job_files import read_file, with_weather
from latewood.messages import Prose, Speaker, Style, Titled
from latewood.plan import run
from latewood.provenance import Raised, Shown, written
from latewood.wire import Options

MOST_WORDS: Final = 35
#: Of a caution: words of its title, and of a line that says what to do.
MOST_IN_TITLE: Final = 8
MOST_TO_DO: Final = 20
#: Texts that only pass on what a record or a caller wrote, or the field that answers a question.
DATA: Final = frozenset({"as-recorded", "as-said", "remarks", "report-give"})
#: Lines of a report hold what is written already, in the style of that report.
REPORT: Final = "report-"
#: Titles of works, which no language translates.
CITED: Final = ("wood and fiber science",)
#: Words that the style sheet has a better one for, by language.
BANNED: Final = {
    "en": (
        *("nobody", "whoever", "somebody", "says nothing", "see that", "all the same", "askew", "reckoned", "reckon"),
        *(
            "counted as",
            "taken for",
            "was taken",
            "were taken",
            "balustrade",
            "plank",
            "planks",
            "sandpaper",
            "laid on",
        ),
        *("it forms a film", "layer", "rhythm", "shelf", "hangs on", "rests on", "the answer would"),
    ),
    "en-US": ("colour", "grey", "labour", "fibre", "litre", "litres", "neutraliser"),
    "es": ("coating", "board", "zone", "gap", "the", "of", "and", "is", "not"),
}
METRIC: Final = ("m²", "cm²", "m2", "cm2", "mm", "°C", "degC", "m/s", "g/L", "kg", "mL", "m²/L", "m2/L", "µm", "L", "m")
US: Final = (
    *("sq ft", "sq in", "ft", "ft2", "in", "°F", "degF", "mph", "lb", "gal", "us_gal", "qt", "fl oz", "mil"),
    *("pies²", "pies", "pulg", "mi/h"),
)
_ID = re.compile(r"(?<![\w/.])(?:/[a-z_]+(?:/[a-z0-9_]+)*|[a-z]+_[a-z_]+|[a-z]+\.[a-z_]{3,})(?![\w.])")
_DIGITS = re.compile(r"(?<![\d.,])(?!0[.,]0)\d+[.,]\d{4,}|\d\.\d+e[+-]\d+")
#: A quantity that is written has a no-break space before its unit; a plain one counts where no word can be meant.
_PLAIN = tuple(unit for unit in (*METRIC, *US) if unit not in ("in", "m", "L", "mil", "lb"))
_UNIT = re.compile(
    r"\d\u00a0({})(?![\w²/])|\d ({})(?![\w²/])".format(
        *("|".join(sorted(map(re.escape, units), key=len, reverse=True)) for units in ((*METRIC, *US), _PLAIN))
    )
)
#: A legal limit keeps its own unit with the one asked for beside it.
_LIMIT = re.compile(r"[^\s(]+[ \u00a0][^\s(]+ \([^()]*\)")


def faults(said: str, style: Style) -> Iterator[str]:
    """Yield the rules that a whole sentence breaks: the text of a finding, what a caution says to do."""
    if said[:1].islower():
        yield "begins with a small letter"
    if said[-1:] not in ".!?":
        yield "does not end as a sentence"
    if (words := count(said)) > MOST_WORDS:
        yield f"{words} words, {MOST_WORDS} at most"
    yield from slips(said, style)


def count(said: str) -> int:
    """Return the words of a text; a number is read with its unit."""
    return len(said.replace("\u00a0", "").split())


def slips(said: str, style: Style) -> Iterator[str]:
    """Yield the rules that any text breaks: a reason, a question, a label, part of a sentence."""
    if (words := max(map(count, re.split(r"[.;:] ", said)))) > MOST_WORDS:
        yield f"{words} words in one sentence, {MOST_WORDS} at most"
    lower = said.lower()
    for title in CITED:
        lower = lower.replace(title, "")
    for one in BANNED[style.lang] + (BANNED["en"] if style.lang.startswith("en-") else ()):
        if re.search(rf"\b{re.escape(one)}\b", lower):
            yield f"banned: {one!r}"
    if found := _ID.search(said):
        yield f"an id in prose: {found[0]!r}"
    if _DIGITS.search(said):
        yield "too many digits"
    if "  " in said:
        yield "two spaces"
    yield from units_of_others(said, style)


def units_of_others(said: str, style: Style) -> Iterator[str]:
    """Yield units and decimal marks that were not asked for; a limit has the one asked for beside its own."""
    bare = _LIMIT.sub("", said)
    wrong = METRIC if style.system == "us" else US
    for unit in _UNIT.finditer(bare):
        if (unit[1] or unit[2]) in wrong:
            yield f"unit not asked: {unit[0]!r}"
    mark = "." if style.decimal == "," else ","
    if re.search(rf"\d\{mark}\d", re.sub(r"\d+ (?:CFR|NYCRR) \S+", "", bare)):
        yield f"decimal mark not asked: {mark!r}"


def caution_faults(one: Shown, style: Style) -> Iterator[str]:
    """Yield the rules that a caution breaks: its title, why, and what to do."""
    if len(one.title.split()) > MOST_IN_TITLE:
        yield f"{len(one.title.split())} words in its title, {MOST_IN_TITLE} at most: {one.title}"
    for line in (one.title, one.message, *one.brief, *one.do):
        for fault in slips(line, style) if line == one.title else faults(line, style):
            yield f"{fault}: {line}"
    for line in (*one.brief, *one.do):
        if (words := count(line)) > MOST_TO_DO:
            yield f"{words} words to do, {MOST_TO_DO} at most: {line}"


STYLES: Final = [
    Style(lang, system, decimal)  # type: ignore[arg-type]  # one of the two
    for lang in ("en", "en-US", "es")
    for system in ("metric", "us")
    for decimal in (".", ",")
]


class Heard(NamedTuple):
    """What is written in the examples: findings and cautions, every text with its values, and every purchase."""

    findings: list[Raised]
    cautions: dict[str, Shown]
    texts: dict[str, tuple[str, dict[str, Any], Style]]
    packs: set[tuple[tuple[int, float], ...]]


def heard(lw: Catalogue) -> Heard:
    """Return all that any example writes: whole jobs as data and as text, and what each calculator shows."""
    all_of = Heard([], {}, {}, set())
    envelope, say, packs = answers.envelope, Speaker.say, Speaker.packs

    def seen(basis: Any, raised: Any, cautions: Any, speaker: Any) -> dict[str, Any]:
        kept, shown = list(raised), list(cautions)
        all_of.findings.extend(kept)
        all_of.cautions.update((one.id, one) for one in shown)
        return envelope(basis, kept, shown, speaker)

    def said(self: Speaker, id: str, values: Any) -> str:
        all_of.texts.setdefault(f"{id} {values!r}", (id, dict(values), self.style))
        return say(self, id, values)

    def bought(self: Speaker, rows: Any) -> str:
        all_of.packs.add(tuple(rows))
        return packs(self, rows)

    with pytest.MonkeyPatch.context() as patch:
        for module in (answers, run_module()):
            patch.setattr(module, "envelope", seen)
        patch.setattr(Speaker, "say", said)
        patch.setattr(Speaker, "packs", bought)
        for file in sorted(JOBS.glob("*.toml")):
            lw.plan_text(with_weather(read_file(file), JOBS), Options())
        for calculator in lw.calculators.values():
            lw.answer(calculator.id, dict(calculator.example), Options())
    return all_of


def run_module() -> Any:
    """Return the module that writes plans; the package has its function under the same name."""
    import sys

    return sys.modules[run.__module__]


def key(one: Raised) -> str:
    """Return what names the text of a finding: its id, or the record it stands in; an assumption by its finding."""
    if isinstance(one.text, Prose):
        return f"{one.text.record}/{one.text.id}/{one.text.field}"
    return one.id if one.text == "assumed" else str(one.text)


def broken(lw: Catalogue, all_of: Heard) -> dict[str, str]:
    """Return by the name of each text that breaks a rule in its own language: the first rule, and the text."""
    bad: dict[str, str] = {}

    def note(name: str, style: Style, faults: Iterable[str], said: str = "") -> None:
        for fault in faults:
            bad.setdefault(name, f"{'/'.join(style)}: {fault}: {said}")

    for style in STYLES:
        speaker = lw.shelf.texts.speaker(style)
        for one in all_of.findings:
            finding = written.finding(one, speaker)
            note(key(one), spoken(finding.language, style), faults(finding.message, style), finding.message)
        for caution in written.cautions(all_of.cautions.values(), speaker):
            note(f"caution/{caution.id}", style, caution_faults(caution, spoken(caution.language, style)))
        for id, values, first in all_of.texts.values():
            if id in DATA or (id.startswith(REPORT) and style != first):
                continue
            text = without_titles(speaker.say(id, values), values, speaker)
            note(id, style, slips(text, spoken(speaker.language_of(id, values), style)), text)
        for rows in all_of.packs:
            label = speaker.packs(rows)
            # Its blanks are plain ones, as in cells.
            note("purchase", style, slips(re.sub(r"(?<=\d) (?=[a-zA-Z])", "\u00a0", label), style), label)
    return bad


def without_titles(said: str, values: dict[str, Any], speaker: Speaker) -> str:
    """Return a text without the titles of records in it: what is sold under a name keeps its own numbers."""
    for value in values.values():
        if isinstance(value, Titled):
            said = said.replace(speaker.title(value), "…")
    return said


def spoken(language: str | None, style: Style) -> Style:
    """Return the style of a text that had to be taken from another language."""
    return style if language is None else style._replace(lang=language)


if __name__ == "__main__":
    engine = bundled()
    now = broken(engine, heard(engine))
    for one, why in sorted(now.items()):
        print(one, why)
    print(len(now))
