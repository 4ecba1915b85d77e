"""What is old wood washed with, how strong, how long, and what must never be done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, Literal

import msgspec

from latewood.calculators.wash.clashes import acids, oxygen, solvents
from latewood.calculators.wash.dilution import mixed, refuse, say_strengths
from latewood.calculators.wash.fields import Protection, WashStageResult, Wetting
from latewood.calculators.wash.inputs import Inputs
from latewood.calculators.wash.percent import in_weights
from latewood.calculators.wash.pressure_limits import Jet, jet
from latewood.calculators.wash.prohibitions import poisons, stopped
from latewood.calculators.wash.recipe_choice import Planned, planned
from latewood.calculators.wash.result import Result
from latewood.declare import RecordLookup, calculator
from latewood.formulas import washing
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger
from latewood.records.moisture import WettingKind
from latewood.rules.hazards import coating_seen, say_film_unnamed, there, worst, years_of
from latewood.rules.hazards_found import Found, say_found, with_frame
from latewood.rules.signs import Sign
from latewood.rules.surface_layers import covering_of
from latewood.rules.wash_chemistry import reached
from latewood.rules.waste import by_volume
from latewood.rules.weathering import told_by, weathering
from latewood.rules.work import state_film, state_mains
from latewood.uncertainty import spread

_PROTECTION: Final = {
    "plants": "Water plants and their soil before, cover leaves with sheet that breathes, uncover and water again.",
    "pond": "Dam off the run-off and lead it away; cover the pond, and take out nothing but when it is clear again.",
    "aluminium": "Tape and sheet over frames, flashings, gutters and rail fittings; rinse splashes at once.",
    "painted-surfaces": "Wet walls and trim before, sheet them down to the ground, rinse splashes at once.",
    "glass": "Wet panes before, and rinse them before anything dries on them.",
    "stone": "Wet paving and walls before, keep acid off them, rinse at once.",
    "neighbours": "Tell whoever lives there the day; shut windows and doors on that side; stop when it blows over.",
}


@calculator(
    "wash",
    "Washing, stripping and brightening",
    since="0.3",
    example={
        "area": "320 ft2",
        "species": "western-redcedar",
        "treatment": "none",
        "old_coating": "none",
        "year_built": 2011,
        "jurisdiction": "US-NY",
        "near": ["plants"],
    },
    formulas=(
        washing.wash_volume,
        washing.active_mass,
        washing.product_mass,
        washing.hypochlorite_of_chlorine,
        washing.density_between,
        washing.strength_of_liquid,
        washing.strength_of_trade_percent,
        washing.stock_volume,
        washing.dilution_water,
        washing.rinse_volume,
        waste_formulas.mass_of_volume,
    ),
)
def wash(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Say what to wash a surface with: agents in order, strength by weight per litre, dwell, rinse and pressure.

    A percentage on a label becomes a weight in a litre by the density of the liquid; what it means is said or asked.

    Chemicals that poison together, bleach or pressure on wood that may hold arsenic, and a wash after the final sanding
    are hard stops. How long the wood then takes to dry is not reckoned here: the wetting is handed on.
    """
    x, percents = in_weights(x, ledger)
    refuse(x, percents)
    if "film" in x.soil and (old := coating_seen(x.old_coating, ("film-sound",), known)) is not x.old_coating:
        say_film_unnamed(x.old_coating, "/old_coating", ledger)
        x = msgspec.structs.replace(x, old_coating=old)
    hazards = _hazards(x, ledger, known)
    arsenical, lead = hazards.arsenical, hazards.lead
    stages = planned(x, hazards, ledger, known)
    _facts(x, stages, hazards, ledger)
    solvents(x, stages, ledger, known)
    oxygen(stages, ledger)
    acids(stages, ledger)
    stop = stopped(x, stages, hazards, ledger)
    limits = Jet() if stop else jet(x, hazards, ledger, known)
    if stop or any(finding.severity == "stop" for finding in ledger.findings):
        return Result(
            verdict="stop",
            arsenical=arsenical,
            frame_arsenical=hazards.frame_arsenical,
            lead_paint=lead,
            stages=(),
            protection=(),
        )
    say_strengths(x, ledger)
    if stages:
        _say_by_hand(hazards, ledger)
    rows = tuple(mixed(number, one, x, ledger, known) for number, one in enumerate(stages, 1))
    rinse = spread.total([row.rinse_volume for row in rows])
    water = spread.total([rinse, *(row.water_volume for row in rows)])
    _say_order(x, stages, ledger)
    return Result(
        verdict="go",
        arsenical=arsenical,
        frame_arsenical=hazards.frame_arsenical,
        lead_paint=lead,
        stages=rows,
        water_volume=water,
        rinse_volume=rinse,
        pressure_start=limits.start,
        pressure_ceiling=limits.ceiling,
        fan_angle=limits.fan_angle,
        standoff=limits.standoff,
        protection=tuple(_protection(x, hazards)),
        wetting=_wetting(x, rows, ledger, known) if rows else None,
        waste=(by_volume("wash-water", water, ledger, known, hazardous=worst(hazards.arsenic_in_water, lead)),)
        if rows
        else (),
    )


def _hazards(x: Inputs, ledger: Ledger, known: RecordLookup) -> Found:
    """Say what is in boards, frame and coating; silence on treatment counts as unknown, for a wash may set it free."""
    years = years_of(x, known, ledger, x.as_of)
    found = with_frame(x, years)
    if x.treatment is None:
        treatment = found.wood.counted
        why = "this wood is seldom treated" if treatment == "none" else "nobody said that there is none in it"
        ledger.default("treatment", treatment, effect=None, why=why)
    say_found(found, years, ledger)
    return found


def _facts(x: Inputs, stages: Sequence[Planned], hazards: Found, ledger: Ledger) -> None:
    ledger.fact("washing", True)
    ledger.fact("material", x.material or "wood")
    hazards.state(ledger)
    hazards.state_frame(ledger)
    state_mains(ledger, "wet")
    stripped = any(one.stage.agent.role == "stripper" for one in stages)
    state_film(ledger, film=stripped and covering_of(x.old_coating) == "film", lead=hazards.lead)


def _say_order(x: Inputs, stages: Sequence[Planned], ledger: Ledger) -> None:
    """Say what has to come after: an acid after alkali, a rinse before an acid, a reading after a spot."""
    agents = [one.stage.agent for one in stages]
    alkaline = [index for index, agent in enumerate(agents) if agent.reaction == "alkaline"]
    if alkaline and not any(agent.reaction == "acid" for agent in agents[alkaline[-1] :]):
        severity: Literal["warning", "note"] = "warning" if agents[alkaline[-1]].role == "stripper" else "note"
        message = (
            f"{agents[alkaline[-1]].title} leaves the wood alkaline, which darkens it and attacks the next coat. "
            "Follow it by an acid brightener."
        )
        ledger.find("not-neutralised", severity, message, pointer="/stages")
    if poisons(stages):
        message = (
            "Rinse in full between bleach and acid or ammonia, gaps and underside too, whatever comes between: what is "
            "left of one gives off poisonous gas with the other."
        )
        ledger.find("rinse-bleach-in-full", "warning", message, pointer="/stages")
    if x.sanded:
        message = "Rinse the spot, let it dry, read its moisture again and scuff the raised grain before the coat."
        ledger.find("spot-then-scuff", "warning", message, pointer="/spot")


def _say_by_hand(hazards: Found, ledger: Ledger) -> None:
    """Say why detergent and water by hand is all there is, and what would settle it."""
    here = reached(hazards)
    if here is None:
        return
    settle = (
        "For anything else have the wood tested, or find its end tag."
        if hazards.arsenical == "suspected"
        else "For anything else have the frame tested, or give its end tag."
        if hazards.arsenical == "no" and hazards.frame_arsenical == "suspected"
        else "Use nothing else on it."
    )
    message = (
        f"{here.what}. Only detergent and water by hand are planned: catch the run-off, and keep children and pets off "
        f"the boards while they are wet. {settle}"
    )
    at = "/treatment_evidence" if hazards.arsenical != "no" else "/frame"
    ledger.find("detergent-by-hand", "danger", message, pointer=at)


def _protection(x: Inputs, hazards: Found) -> Iterator[Protection]:
    for near in dict.fromkeys(x.near):
        yield Protection(id=near, message=_PROTECTION[near])
    if reached(hazards) is not None:
        message = "Keep children and pets off the boards, and off the ground below, until they are dry."
        yield Protection(id="people", message=message)
    feared = there(arsenic=hazards.arsenic_in_water, lead=hazards.lead)
    here = reached(hazards)
    if feared or here is not None:
        why = feared.capitalize() or (here.what if here is not None else "")
        message = (
            f"{why}. Block drains first and sweep up solids. Catch all of the rinse water; let none of it into soil, a "
            "storm drain, a well or a pond."
        )
    else:
        message = (
            "Block drains first and sweep up solids. Lead the rinse water onto watered soil where local rules allow; "
            "let none of it into a storm drain, a well or a pond."
        )
    yield Protection(id="run-off", message=message)


def _wetting(x: Inputs, rows: Sequence[WashStageResult], ledger: Ledger, known: RecordLookup) -> Wetting:
    kind: WettingKind = known.record("wetting-kind", "washed")
    seen: tuple[Sign, ...] = ("grey",) if "grey" in x.soil and x.weathered is None else ()
    found = weathering(told_by(x, signs=seen), known, ledger)
    found.say(ledger, 1 - kind.depths["sound"].si / kind.depths["weathered"].si)
    depth = spread.value(ledger.take(kind.depths["weathered" if found.weathered else "sound"]))
    message = (
        "The wash wets the wood: it is sanded and coated only when it is dry again. Hand the wetting to "
        "moisture-readiness; weathered, checked boards wait days."
    )
    ledger.find("dry-after-wash", "note", message)
    return Wetting(cause=kind, wetted_depth=depth, duration=spread.total([row.dwell for row in rows]))


__all__ = ["Inputs", "Result", "wash"]
