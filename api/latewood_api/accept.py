"""Whether an Accept header takes the one representation a path has (RFC 9110, section 12.5.1)."""

from __future__ import annotations

import re

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
