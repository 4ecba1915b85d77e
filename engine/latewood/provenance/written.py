"""From what a calculation raised to what an answer carries: texts in one style, values as data."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from latewood.messages import Prose, Speaker
from latewood.messages.values import data
from latewood.provenance.shown import Finding, Raised, Reasoned, Shown, Used


def findings(raised: Iterable[Raised], speaker: Speaker) -> list[Finding]:
    """Return findings with their text written and their values as data."""
    return [finding(one, speaker) for one in raised]


def finding(one: Raised, speaker: Speaker) -> Finding:
    """Return one finding with its text written."""
    language = None
    if isinstance(one.text, Prose):
        message, language = speaker.prose(one.text)
    elif one.text is None:
        message = one.message
        language = "en" if speaker.style.lang.partition("-")[0] != "en" else None
    else:
        message = speaker.say(one.text, one.values)
        language = speaker.language_of(one.text)
    system = speaker.style.system
    return Finding(
        id=one.id,
        severity=one.severity,
        message=message,
        pointer=one.pointer,
        params=one.params,
        values=data(one.values, system),
        places=one.places,
        language=language,
        step=one.step,
    )


def cautions(shown: Iterable[Shown], speaker: Speaker) -> list[Shown]:
    """Return cautions in the language asked for."""
    if speaker.base is None:
        return list(shown)
    return [_caution(one, speaker) for one in shown]


def _caution(one: Shown, speaker: Speaker) -> Shown:
    message, language = speaker.prose(Prose("caution", one.id, "message", one.message))
    title, _ = speaker.prose(Prose("caution", one.id, "title", one.title))
    lines = {
        field: tuple(
            speaker.prose(Prose("caution", one.id, f"{field}.{n}", line))[0]
            for n, line in enumerate(getattr(one, field))
        )
        for field in ("brief", "do")
    }
    return msgspec.structs.replace(one, title=title, message=message, language=language, **lines)


def basis(lines: Iterable[Used], speaker: Speaker) -> list[Used]:
    """Return the basis with its reasons written, and what records say of their numbers in the language asked for."""
    return [_used(one, speaker) for one in lines]


def _used(used: Used, speaker: Speaker) -> Used:
    if isinstance(used, Reasoned):
        plain = {name: getattr(used, name) for name in Used.__struct_fields__}
        return Used(**plain | {name: speaker.clause(one) for name, one in used.clauses.items()})
    if speaker.base is None or used.path.startswith("input/"):
        return used
    # What a record says of its number is keyed by the number's own path.
    kind, id, *field = used.path.split("/")
    told = {
        part: speaker.prose(Prose(kind, id, "/".join((*field, part)), text))[0]
        for part in ("note", "where")
        if (text := getattr(used, part))
    }
    return msgspec.structs.replace(used, **told) if told else used
