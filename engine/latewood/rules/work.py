"""What planned work brings with it: the facts of sanding, of mains power and of films that cautions go by."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime
from typing import Final, Literal

import numpy as np

from latewood.declare import RecordLookup
from latewood.formulas import sun
from latewood.provenance import Ledger
from latewood.records import Application, Coating, SiteProtection
from latewood.rules.hazards import Suspicion
from latewood.rules.signs import PROUD_STEEL, Sign

#: Hours between which boards are read, drops are put on them and work begins. Common practice, no source.
MORNING, EVENING = 8, 19

_MINUTE: Final = 60.0


def state_coating(coating: Coating, ledger: Ledger) -> None:
    """State what cautions of a coating and of its cloths go by."""
    for fact in ("binder", "film", "wiped"):
        ledger.fact(fact, getattr(coating, fact))


def state_sanding(ledger: Ledger, *, proud: bool | None = None, wet: bool | None = None, of: str = "") -> None:
    """State that a machine sands, and where it is known whether it meets steel or wet boards."""
    ledger.fact("powered_sanding", True, of=of)
    if proud is not None:
        ledger.fact("proud_steel", proud, of=of)
    state_mains(ledger, "wet" if wet else "dry", of=of)


def state_mains(ledger: Ledger, boards: Literal["dry", "wet"], *, of: str = "") -> None:
    """State that mains power is used outdoors, and on what boards."""
    ledger.fact("mains", boards, of=of)


def state_film(ledger: Ledger, *, film: bool, lead: Suspicion, of: str = "") -> None:
    """State whether an old film, or a coating that may hold lead, comes off.

    Those who take it off may reach for a heat gun, and for an old can of stripper where it is a film.
    """
    ledger.fact("film_comes_off", film or lead != "no", of=of)
    if film:
        ledger.fact("stripper", "likely", of=of)


def proud_steel(signs: Iterable[Sign], fastener_cover: float | None) -> bool:
    """Say whether a disc would meet steel: heads that stand proud, or rust out of the boards."""
    return bool(PROUD_STEEL & set(signs)) or (fastener_cover is not None and fastener_cover < 0)


def daylight(day: date, latitude: float) -> float:
    """Return how long (s) the sun is up on a day, at a latitude (rad); to the minute or so."""
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC).timestamp()
    moments = noon + np.arange(-43_200.0, 43_200.0, _MINUTE)
    return (
        float(np.count_nonzero(np.asarray(sun.solar_elevation(time=moments, latitude=latitude, longitude=0.0)) > 0))
        * _MINUTE
    )


def state_heat(ledger: Ledger, heat_index: float) -> None:
    """State the highest heat index (K) at which people work."""
    ledger.fact("heat_index", heat_index)


def drifts(application: Application | None, known: RecordLookup) -> bool:
    """Say whether a way of putting a finish on throws drift that wind carries away."""
    if application is None or application.protection is None:
        return False
    work: SiteProtection = known.record("site-protection", application.protection)
    return work.drifts
