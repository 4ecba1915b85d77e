"""From what was given to what a rhythm depends on: paces, reach, and the windows at a temperature of the boards."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from latewood.calculators.wipe_cadence.choose import Setting
from latewood.calculators.wipe_cadence.crew_simulation import Crew, WorkRates
from latewood.calculators.wipe_cadence.dwell import STANDARD, WipeWindows, clocked
from latewood.calculators.wipe_cadence.fields import CadenceRun
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import WipingRegime
from latewood.rules.faces import WHOLE
from latewood.rules.wiping import regime_of
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Field of the inputs → task of the regime's rates.
_PACES: Final = {"laying_pace": "lay", "wiping_pace": "wipe", "edge_pace": "cut-in", "gap_pace": "gap"}
#: How much a likely other temperature of the boards changes the time to wiping: 23 to 30 °C, by the fast clock.
_WARMER: Final = 0.46


@dataclass(frozen=True)
class Settled:
    """Inputs with nothing left open."""

    runs: tuple[CadenceRun, ...]
    regime: WipingRegime
    temperature: float
    clocked: WipeWindows
    paces: dict[str, Number]
    setting: Setting


def settle(x: Inputs, ledger: Ledger, known: RecordLookup) -> Settled:
    """Return everything with its defaults, each said."""
    asked = None if x.product is None else x.product.regime
    regime = regime_of(x.coating, x.species, asked, ledger, known)
    temperature = x.surface_temperature
    if temperature is None:
        temperature = STANDARD
        why = "what times on data sheets are given for; boards in the sun are warmer, and the time is shorter"
        ledger.default("surface_temperature", "23 degC", effect=_WARMER, why=why)
    windows = clocked(x, regime, temperature, ledger, known)
    paces = _paces(x, regime, ledger, known)
    turn = spread.central(ledger.take(regime.turn_time)) if x.turn_time is None else x.turn_time
    arm = spread.central(ledger.take(regime.arm_reach)) if x.arm_reach is None else x.arm_reach
    crew = Crew(appliers=x.appliers, wipers=x.wipers or 0, cutters=x.cutters or 0)
    setting = Setting(
        crew=crew,
        typical=_tempo(paces, turn, slow=False),
        slow=_tempo(paces, turn, slow=True),
        wipe=windows.wipe,
        second=windows.second,
        arm_reach=arm,
        ahead=x.edges_ahead or 0,
        asked=x.courses_per_band,
    )
    return Settled(runs_of(x), regime, temperature, windows, paces, setting)


def runs_of(x: Inputs) -> tuple[CadenceRun, ...]:
    """Return the runs; a single one has the name of the whole."""
    if x.runs or x.course_length is None or x.pitch is None or x.courses is None:
        return x.runs
    return (
        CadenceRun(
            id=WHOLE, course_length=x.course_length, pitch=x.pitch, courses=x.courses, edge_length=x.edge_length
        ),
    )


def at_temperature(settled: Settled, x: Inputs, temperature: float, known: RecordLookup) -> Setting:
    """Return the setting on boards of another temperature."""
    other = clocked(x, settled.regime, temperature, Ledger("aside"), known)
    return replace(settled.setting, wipe=other.wipe, second=other.second)


def _paces(x: Inputs, regime: WipingRegime, ledger: Ledger, known: RecordLookup) -> dict[str, Number]:
    found: dict[str, Number] = {}
    for field, task in _PACES.items():
        given: Number | None = getattr(x, field)
        if given is None and _asked_for(field, x):
            given = ledger.take(known.record("rate", regime.rates[task]).pace)
        if given is not None:
            found[task] = given
    return found


def _asked_for(field: str, x: Inputs) -> bool:
    """Say whether the pace of a task is needed at all: a default nobody uses is no part of the basis."""
    if field == "gap_pace":
        return x.gap_faces == "coated"
    if field == "edge_pace":
        return any(run.edge_length or run.first_edge or run.last_edge for run in runs_of(x))
    return True


def _tempo(paces: dict[str, Number], turn: float, *, slow: bool) -> WorkRates:
    pick = spread.low if slow else spread.value
    return WorkRates(
        lay=pick(paces["lay"]),
        wipe=pick(paces["wipe"]),
        # Where nothing is cut in, no time goes by with it.
        cut=pick(paces["cut-in"]) if "cut-in" in paces else float("inf"),
        gap=pick(paces["gap"]) if "gap" in paces else None,
        turn=turn,
    )
