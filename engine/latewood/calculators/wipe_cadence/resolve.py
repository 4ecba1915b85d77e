"""From what was given to what the bands depend on: regime, times, paces, reach and cloths, with their defaults."""

from __future__ import annotations

from typing import Any, Final

from latewood.calculators.wipe_cadence.compute.dwell import windows
from latewood.calculators.wipe_cadence.fields import CadenceProduct
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.resolved import STANDARD, Crew, Resolved
from latewood.calculators.wipe_cadence.validation import runs_of
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import HERE, Ledger, Sourced
from latewood.records import WipingRegime
from latewood.rules.old_and_new_finish import note_pair, pair
from latewood.rules.waste import WasteRow, by_pieces, heats_itself
from latewood.rules.wiping import Span, note_raised, regime_of, second_coat_times, usual_hottest, wipe_times
from latewood.rules.work import state_coating
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Humidity of the air where none is given: that of the state times are given for.
HALF: Final = 0.5
#: Field of the inputs → task of the regime's rates.
_PACES: Final = {"laying_pace": "lay", "wiping_pace": "wipe", "edge_pace": "cut-in", "gap_pace": "gap"}
#: Boards of a cool and of a warm day, in K.
_LIKELY: Final = (288.15, 303.15)
#: What is lost in turning units, in K: a limit itself is not beyond it.
_HAIR: Final = 1e-6


def resolve(x: Inputs, ledger: Ledger, known: RecordLookup) -> Resolved:
    """Return everything with its defaults, each written down."""
    coating, product = x.coating, x.product or CadenceProduct()
    over = pair(coating, x.old_coating)
    note_pair(over, ledger, pointer="/old_coating")
    state_coating(coating, ledger)
    regime = regime_of(coating, x.species, product.regime, ledger, known)
    temperature = STANDARD if x.surface_temperature is None else x.surface_temperature
    limit = None if coating.limits is None else coating.limits.coldest
    coldest = 0.0 if limit is None else spread.value(ledger.take(limit))
    wipe, longest = wipe_times(coating, regime, ledger, wipe=product.wipe, longest=product.longest_wipe)
    tolerance = spread.central(ledger.take(regime.tolerance))
    second = second_coat_times(coating, regime, ledger, stated=product.second_coat)
    paces = _paces(x, regime, ledger, known)
    turn = spread.central(ledger.take(regime.turn_time)) if x.turn_time is None else x.turn_time
    arm = spread.central(ledger.take(regime.arm_reach)) if x.arm_reach is None else x.arm_reach
    beyond = _beyond(x, product, temperature, ledger)
    cloth = regime.cloth_area if x.applied is None else regime.cloth_volume
    resolved = Resolved(
        over=over,
        coating=coating,
        regime=regime,
        runs=runs_of(x),
        temperature=temperature,
        humidity=HALF if x.relative_humidity is None else x.relative_humidity,
        coldest=coldest,
        clock=known.model("cure-clock", coating.models["cure-clock"]),
        dwell=known.model("dwell", coating.models["dwell"]),
        wipe=_about(wipe, tolerance),
        longest=longest,
        second=None if second is None else _about(second, tolerance),
        crew=Crew(appliers=x.appliers, wipers=x.wipers or 0, cutters=x.cutters or 0),
        paces=paces,
        turn=turn,
        arm_reach=arm,
        ahead=x.edges_ahead or 0,
        asked=x.courses_per_band,
        beyond=beyond,
        applied=x.applied,
        cloth=cloth.number if beyond is not None else ledger.take(cloth),
        oil=heats_itself(coating.binder, known),
    )
    if x.surface_temperature is None:

        def by(value: Any) -> float:
            return windows(resolved, temperature if value is HERE else value)[0].by

        why = clause("temperature-of-data-sheets")
        ledger.default("surface_temperature", "23 degC", others=_LIKELY, by=by, why=why)
    return resolved


def _about(span: Span, tolerance: float) -> Span:
    """Return a span; a time that is given as one figure begins there, and does not end the same second."""
    low, high = span
    return span if high > low else (low, high * (1 + tolerance))


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
    """Say whether the pace of a task is needed at all: a default that is not used is no part of the basis."""
    if field == "gap_pace":
        return x.gap_faces == "coated"
    if field == "edge_pace":
        return any(run.edge_length or run.first_edge or run.last_edge for run in runs_of(x))
    return True


def _beyond(x: Inputs, product: CadenceProduct, temperature: float, ledger: Ledger) -> tuple[str, float] | None:
    """Return the limit of the finish that the boards are past: the family's, or the data sheet's in its place."""
    for name, wrong in (("hottest", 1), ("coldest", -1)):
        bound: float | None = getattr(product, name)
        number: Sourced | None = None if x.coating.limits is None else getattr(x.coating.limits, name)
        if bound is not None:
            ledger.use(f"input/product/{name}", clause("as-data-sheet-says"), "product-sheet")
            beyond = usual_hottest(x.coating, bound) if name == "hottest" else None
            if beyond is not None and beyond.si + _HAIR < temperature <= bound + _HAIR:
                usual = spread.value(ledger.take(beyond))
                note_raised(x.coating, usual, bound, product.wipe, ledger)
                if product.wipe is None:
                    return name, usual
        elif number is not None:
            bound = spread.value(ledger.take(number))
        if bound is not None and wrong * (temperature - bound) > _HAIR:
            return name, bound
    return None


def left(cloths: int, oil: bool, ledger: Ledger, known: RecordLookup) -> WasteRow:
    """Return the cloths as waste."""
    return by_pieces("finish-cloths", cloths, ledger, known, oil=oil)
