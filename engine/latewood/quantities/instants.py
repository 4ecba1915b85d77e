"""An instant as RFC 3339 writes it, or a local time that needs a time zone to become one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from latewood.problems import nearest
from latewood.quantities.refusals import UnitError

_DAY = r"(?:19|20|21)[0-9]{2}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])"
_CLOCK = r"(?:[01][0-9]|2[0-3]):[0-5][0-9](?::[0-5][0-9])?"
_OFFSET = r"(?:Z|[+-](?:0[0-9]|1[0-4]):[0-5][0-9])"
PATTERN = rf"^{_DAY}T{_CLOCK}(?:{_OFFSET})?$"
FORM = "an instant such as 2026-05-04T06:00:00-04:00"

ZONE_PATTERN = r"^[A-Za-z0-9_+\-]+(/[A-Za-z0-9_+\-]+)*$"


@dataclass(frozen=True, slots=True)
class Moment:
    """A point in time as it was written: with an offset from UTC, or as clocks of some place show it."""

    text: str
    written: datetime

    @property
    def local(self) -> bool:
        """Whether only a time zone can say which instant it is."""
        return self.written.tzinfo is None

    def instant(self, zone: ZoneInfo | None) -> datetime:
        """Return the instant in UTC.

        Raises `UnitError` for a local time without a zone, and for one that clocks of the zone skip or show twice.
        """
        if not self.local:
            return self.written.astimezone(UTC)
        if zone is None:
            expected = "an offset, such as 2026-05-04T06:00:00-04:00, or a timezone beside it"
            raise UnitError("missing", f"{self.text} is a local time, and no time zone is known", expected)
        first, second = (self.written.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
        if first.utcoffset() == second.utcoffset():
            return first.astimezone(UTC)
        # Where clocks are put forward the later reading of a skipped time lies before the earlier one.
        skipped = first.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != self.written
        what = "is skipped" if skipped else "comes twice"
        detail = f"{self.text} {what} in {zone.key}, where clocks change that day"
        raise UnitError("conflict", detail, "the time with its offset from UTC")


def read_moment(text: str) -> Moment:
    """Return the moment a text names; raise `UnitError` where it names none, or a day no calendar has."""
    if not re.fullmatch(PATTERN.removeprefix("^").removesuffix("$"), text):
        raise UnitError("bad-date", f"{text[:40]!r} is not an instant", expected=FORM)
    try:
        return Moment(text, datetime.fromisoformat(text))
    except ValueError:
        raise UnitError("out-of-range", f"{text} is on no calendar", expected=FORM) from None


@cache
def zone_of(name: str) -> ZoneInfo:
    """Return an IANA time zone; raise `UnitError` with the nearest name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        close = nearest(name, available_timezones())
        raise UnitError("unknown-id", f"there is no time zone {name!r}", nearest=close) from None
