"""What Accept and Accept-Language headers say of an answer (RFC 9110, sections 12.5.1 and 12.5.4)."""

from __future__ import annotations

import re
from collections.abc import Sequence

_QUALITY = re.compile(r"(?:0(?:\.[0-9]{0,3})?|1(?:\.0{0,3})?)")
_RANGE = re.compile(r"[!#$%&'*+.^_`|~0-9a-z-]+/[!#$%&'*+.^_`|~0-9a-z-]+")


def takes(header: str | None, media: str) -> bool:
    """Say whether the header accepts this media type; what it says unreadably counts as not said.

    The most specific range that matches decides, and a quality of zero excludes.
    """
    if not header:
        return True
    kind = media.partition("/")[0]
    order = (media, f"{kind}/*", "*/*")
    said: dict[str, float] = {}
    readable = False
    for one in header.lower().split(","):
        wanted, *parameters = (part.strip() for part in one.split(";"))
        quality = _quality(parameters)
        if quality is None or not _RANGE.fullmatch(wanted):
            continue
        readable = True
        if wanted in order:
            said[wanted] = max(quality, said.get(wanted, 0.0))
    if not readable:
        return True
    return next((said[wanted] > 0 for wanted in order if wanted in said), False)


def _quality(parameters: list[str]) -> float | None:
    for parameter in parameters:
        name, _, value = parameter.partition("=")
        if name.strip() == "q":
            return float(value) if _QUALITY.fullmatch(value.strip()) else None
    return 1.0


_LANGUAGE = re.compile(r"[a-z]{1,8}(?:-[a-z0-9]{1,8})*")


def language(header: str | None, known: Sequence[str]) -> str | None:
    """Return the known language that the header prefers, None where it takes any or none of them.

    A range that is not known is shortened from its end until it is: ``es-MX`` takes ``es`` (lookup of RFC 4647,
    section 3.4). What the header says unreadably counts as not said.
    """
    ranges = []
    for place, one in enumerate((header or "").lower()[:1000].split(",")):
        wanted, *parameters = (part.strip() for part in one.split(";"))
        quality = _quality(parameters)
        if quality and (wanted == "*" or _LANGUAGE.fullmatch(wanted)):
            ranges.append((-quality, place, wanted))
    ids = {id.lower(): id for id in known}
    for _, _, wanted in sorted(ranges):
        if wanted == "*":
            return None
        while wanted:
            if wanted in ids:
                return ids[wanted]
            wanted = wanted.rpartition("-")[0]
    return None
