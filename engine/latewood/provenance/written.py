"""From what a calculation raised to what an answer carries: texts in one style, values as data."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from latewood.messages import Prose, Speaker
from latewood.messages.values import data
from latewood.provenance.shown import Finding, Raised, Reasoned, Remarked, Shown, Used


def findings(raised: Iterable[Raised], speaker: Speaker) -> list[Finding]:
    """Return findings with their text written and their values as data."""
    return [finding(one, speaker) for one in raised]


def finding(one: Raised, speaker: Speaker) -> Finding:
    """Return one finding with its text written."""
    language = None
    if isinstance(one.text, Prose):
        message, language = speaker.prose(one.text)
    else:
        message = speaker.say(one.text, one.values)
        language = speaker.language_of(one.text, one.values)
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
            speaker.prose(Prose("caution", one.id, f"{field}/{n}", line))[0]
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
        return _plain(used, {name: speaker.clause(one) for name, one in used.clauses.items()})
    if speaker.base is None or used.path.startswith("input/"):
        return _plain(used, {}) if isinstance(used, Remarked) else used
    told: dict[str, str] = {}
    languages: set[str | None] = set()
    if used.where:
        kind, id, field = used.path.split("/", 2)
        told["where"], language = speaker.prose(Prose(kind, id, f"{field}/where", used.where))
        languages.add(language)
    if isinstance(used, Remarked):
        told["note"] = speaker.say("remarks", {"parts": used.remarks})
        said = [one for part in used.remarks for one in part.values.values() if isinstance(one, Prose)]
        languages |= {speaker.prose(one)[1] for one in said}
    return _plain(used, {**told, "language": next((one for one in languages if one), None)})


def _plain(used: Used, said: Mapping[str, str | None]) -> Used:
    return Used(**{name: getattr(used, name) for name in Used.__struct_fields__} | dict(said))
