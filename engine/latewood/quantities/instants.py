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
            raise UnitError("local-time-without-zone", time=self.text)
        first, second = (self.written.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
        if first.utcoffset() == second.utcoffset():
            return first.astimezone(UTC)
        # Where clocks are put forward the later reading of a skipped time lies before the earlier one.
        skipped = first.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != self.written
        raise UnitError("time-skipped" if skipped else "time-comes-twice", time=self.text, zone=zone.key)


def read_moment(text: str) -> Moment:
    """Return the moment a text names; raise `UnitError` where it names none, or a day no calendar has."""
    if not re.fullmatch(PATTERN.removeprefix("^").removesuffix("$"), text):
        raise UnitError("not-an-instant", given=repr(text[:40]))
    try:
        return Moment(text, datetime.fromisoformat(text))
    except ValueError:
        raise UnitError("on-no-calendar", given=text) from None


@cache
def zone_of(name: str) -> ZoneInfo:
    """Return an IANA time zone; raise `UnitError` with the nearest name."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        close = nearest(name, available_timezones())
        raise UnitError("no-such-time-zone", name=repr(name[:80]), nearest=close) from None
