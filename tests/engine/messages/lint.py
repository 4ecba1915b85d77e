"""Hold the texts of answers to the style sheet: words and counts, no grammar. A second person still reads aloud.

``python -m tests.engine.messages.lint`` takes off ``unlinted.txt`` what is rewritten since; it adds nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from tests.bundled import bundled
from tests.goldens.record import JOBS

from latewood import answers
from latewood.catalogue import Catalogue
from latewood.job_files import read_file, with_weather
from latewood.messages import Prose, Style
from latewood.plan import run
from latewood.provenance import Raised, written
from latewood.wire import Options

UNLINTED: Final = Path(__file__).with_name("unlinted.txt")
MOST_WORDS: Final = 35
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
_DIGITS = re.compile(r"\d+[.,]\d{4,}|\d\.\d+e[+-]\d+")
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
    """Yield the rules that the text of a finding breaks."""
    # A number is read with its unit.
    if (words := len(said.replace("\u00a0", "").split())) > MOST_WORDS:
        yield f"{words} words, {MOST_WORDS} at most"
    if said[:1].islower():
        yield "begins with a small letter"
    if said[-1:] not in ".!?":
        yield "does not end as a sentence"
    lower = said.lower()
    for one in BANNED[style.lang] + (BANNED["en"] if style.lang.startswith("en-") else ()):
        if re.search(rf"\b{re.escape(one)}\b", lower):
            yield f"banned: {one!r}"
    if found := _ID.search(said):
        yield f"an id in prose: {found[0]!r}"
    if _DIGITS.search(said):
        yield "too many digits"
    if "  " in said:
        yield "two spaces"
    bare = _LIMIT.sub("", said)
    wrong = METRIC if style.system == "us" else US
    for unit in _UNIT.finditer(bare):
        if (unit[1] or unit[2]) in wrong:
            yield f"unit not asked: {unit[0]!r}"
    mark = "." if style.decimal == "," else ","
    if re.search(rf"\d\{mark}\d", re.sub(r"\d+ (?:CFR|NYCRR) \S+", "", bare)):
        yield f"decimal mark not asked: {mark!r}"


STYLES: Final = [
    Style(lang, system, decimal)  # type: ignore[arg-type]  # one of the two
    for lang in ("en", "en-US", "es")
    for system in ("metric", "us")
    for decimal in (".", ",")
]


def raised(lw: Catalogue) -> list[Raised]:
    """Return all that is found in any example: whole jobs, and what each calculator shows."""
    found: list[Raised] = []
    envelope = answers.envelope

    def seen(basis: Any, raised: Any, cautions: Any, speaker: Any) -> dict[str, Any]:
        kept = list(raised)
        found.extend(kept)
        return envelope(basis, kept, cautions, speaker)

    with pytest.MonkeyPatch.context() as patch:
        for module in (answers, run_module()):
            patch.setattr(module, "envelope", seen)
        for file in sorted(JOBS.glob("*.toml")):
            lw.plan(with_weather(read_file(file), JOBS), Options())
        for calculator in lw.calculators.values():
            lw.answer(calculator.id, dict(calculator.example), Options())
    return found


def run_module() -> Any:
    """Return the module that writes plans; the package has its function under the same name."""
    import sys

    return sys.modules[run.__module__]


def key(one: Raised) -> str:
    """Return what names the text of a finding: its id, or the record it stands in; an assumption by its finding."""
    if isinstance(one.text, Prose):
        return f"{one.text.record}/{one.text.id}/{one.text.field}"
    return one.id if one.text == "assumed" else str(one.text)


def broken(lw: Catalogue, all_raised: list[Raised]) -> dict[str, str]:
    """Return by the name of each text that breaks a rule in its own language: the first rule, and the text."""
    bad: dict[str, str] = {}
    for style in STYLES:
        speaker = lw.shelf.texts.speaker(style)
        for one in all_raised:
            finding = written.finding(one, speaker)
            mine = style if finding.language is None else style._replace(lang=finding.language)
            for fault in faults(finding.message, mine):
                bad.setdefault(key(one), f"{'/'.join(style)}: {fault}: {finding.message}")
    return bad


def unlinted() -> list[str]:
    """Return the texts that are not rewritten yet."""
    return UNLINTED.read_text().split()


if __name__ == "__main__":
    engine = bundled()
    now = broken(engine, raised(engine))
    kept = sorted(set(unlinted()) & set(now)) if UNLINTED.exists() else sorted(now)
    UNLINTED.write_text("".join(f"{one}\n" for one in kept))
    for one, why in sorted(now.items()):
        print(one, why)
    print(len(now), len(kept))
