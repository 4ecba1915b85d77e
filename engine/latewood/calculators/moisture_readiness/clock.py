"""Times of readings, drops, wettings and the start of coating, counted from now."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.quantities.instants import Moment, zone_of
from latewood.quantities.units import UnitError
from latewood.rules.days import built_ahead
from latewood.rules.work import EVENING, MORNING
from latewood.weather import Hours


@dataclass(frozen=True)
class Clock:
    """Now, where a date is known at all, and every time given as seconds from now; a time left out is None."""

    now: datetime | None
    taken: tuple[float | None, ...]
    wetted: tuple[float | None, ...]
    tested: tuple[float | None, ...]
    start: float | None

    def at(self, seconds: float) -> datetime | None:
        """Return the local time so long from now."""
        return None if self.now is None else self.now + timedelta(seconds=seconds)

    def by_day(self, seconds: float) -> float:
        """Return the same time from now, or the next morning where it falls into the night; nobody reads boards then.

        From eight to seven o'clock; where no date is known it stays.
        """
        at = self.at(seconds)
        if at is None or seconds <= 0 or MORNING <= at.hour < EVENING:
            return seconds
        day = at + timedelta(days=1 if at.hour >= EVENING else 0)
        morning = day.replace(hour=MORNING, minute=0, second=0, microsecond=0)
        return seconds + (morning - at).total_seconds()


def clock_of(x: Inputs, hours: Hours | None, ledger: Ledger) -> Clock:
    """Read all times; without ``now`` the last reading, drop or wetting is now, else the start of the weather."""
    zone = zone_of(x.timezone) if x.timezone is not None else None
    faults: list[Fault] = []
    taken = [_instant(r.taken, zone, f"/readings/{i}/taken", faults) for i, r in enumerate(x.readings)]
    tested = [_instant(t.taken, zone, f"/drop_tests/{i}/taken", faults) for i, t in enumerate(x.drop_tests)]
    wetted = [_instant(w.at, zone, f"/wettings/{i}/at", faults) for i, w in enumerate(x.wettings)]
    now = _instant(x.now, zone, "/now", faults)
    start = _instant(x.start, zone, "/start", faults)
    if faults:
        raise InputProblem(faults)
    if now is None:
        # A wetting after the start is a plan, and now is not after a plan.
        past = [at for at in wetted if at is not None and (start is None or at <= start)]
        now = _latest([*taken, *tested, *past]) or (None if hours is None else hours.start) or start
        if now is not None:
            ledger.use("input/now", now.isoformat(), "default", note="the last time that was given, as now was not")
    if now is not None:
        faults += [
            Fault(
                pointer=f"/{field}/{i}/taken", code="conflict", detail="it was taken after now", expected="a past time"
            )
            for field, times in (("readings", taken), ("drop_tests", tested))
            for i, at in enumerate(times)
            if at is not None and at > now
        ]
        faults += built_ahead(x.year_built, now.date())
        if start is not None and start < now:
            detail = "the planned start lies before now, or before a reading"
            faults.append(Fault(pointer="/start", code="conflict", detail=detail, expected="a time from now on"))
    if faults:
        raise InputProblem(faults)
    local = zone or (None if hours is None else hours.zone) or (None if x.now is None else x.now.written.tzinfo)
    shown = now if now is None or local is None else now.astimezone(local)

    def seconds(instant: datetime | None) -> float | None:
        return None if instant is None or now is None else (instant - now).total_seconds()

    return Clock(
        shown, tuple(map(seconds, taken)), tuple(map(seconds, wetted)), tuple(map(seconds, tested)), seconds(start)
    )


def _latest(instants: Iterable[datetime | None]) -> datetime | None:
    return max((instant for instant in instants if instant is not None), default=None)


def _instant(moment: Moment | None, zone: ZoneInfo | None, pointer: str, faults: list[Fault]) -> datetime | None:
    if moment is None:
        return None
    try:
        return moment.instant(zone)
    except UnitError as error:
        faults.append(Fault(pointer=pointer, code=error.code, detail=error.detail, expected=error.expected))
        return None
