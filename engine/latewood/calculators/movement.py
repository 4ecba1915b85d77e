"""How much wider do boards get, and what becomes of the gaps between them? Shrinkage, swelling, gap."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

import msgspec

from latewood.declare import Cost, F, Q, RecordLookup, calculator
from latewood.formulas import movement as formulas
from latewood.formulas import sorption
from latewood.messages import Length, Titled, Word, clause, refusal
from latewood.problems import InputProblem
from latewood.provenance import Ledger, Sourced
from latewood.records import GapRule, Species
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Grain = Literal["flat-sawn", "quarter-sawn", "mixed"]
Rule = Literal["shrinkage", "coefficient"]

#: Fibre saturation where neither record nor caller says another: the handbook's own, ch. 13.
_FIBRE_SATURATION = 0.30
#: The lowest and the highest of the woods that have one of their own: cumaru and European ash.
_SATURATIONS = (0.22, 0.35)
#: Moisture contents between which the coefficients hold: Wood Handbook, ch. 13, eq. 13-2.
_COEFFICIENT_HOLDS = (0.06, 0.14)


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """A board, its moisture now and later, and the gap beside it."""

    species: Annotated[Species, F("Wood species", example="ipe")]
    width: Annotated[float, Q("mm", "Width of a board now", ge=10, le=400, example="140 mm")]
    thickness: Annotated[float, Q("mm", "Thickness of a board now", ge=5, le=150, example="25 mm")] | None = None
    grain: Annotated[Grain, F("How the boards are sawn; flat-sawn if left out")] | None = None
    moisture_from: Annotated[Number, Q("%", "Moisture content now", ge=0, le=100, example="12 %", uncertain=True)]
    moisture_to: (
        Annotated[Number, Q("%", "Moisture content later", ge=0, le=100, example="18 %", uncertain=True)] | None
    ) = None
    temperature: (
        Annotated[float, Q("degC", "Mean air temperature later, instead", ge=-30, le=60, example="15 degC")] | None
    ) = None
    relative_humidity: (
        Annotated[float, Q("%", "Mean relative humidity later, instead", ge=0, le=100, example="80 %")] | None
    ) = None
    gap: Annotated[float, Q("mm", "Gap between boards now", ge=0, le=50, example="5 mm")] | None = None
    gap_rule: Annotated[GapRule, F("Rule for gaps; the usual one if left out", example="usual")] | None = None
    shrinkage: (
        Annotated[
            Number,
            Q("%", "Shrinkage across the width, green to oven-dry", ge=0.1, le=30, example="8 %", uncertain=True),
        ]
        | None
    ) = None
    fibre_saturation: (
        Annotated[
            Number, Q("%", "Moisture content below which it shrinks", ge=15, le=40, example="28 %", uncertain=True)
        ]
        | None
    ) = None
    rule: (
        Annotated[
            Rule,
            F(
                "By shrinkage from green to oven-dry, or by the published coefficient for 6 to 14 %; the coefficient "
                "where it holds and the species has one, if left out"
            ),
        ]
        | None
    ) = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Changes are positive where the board grows."""

    width_change: Annotated[Number, Q("mm", "Change of a board's width")]
    width_after: Annotated[Number, Q("mm", "Width of a board later")]
    thickness_change: Annotated[Number, Q("mm", "Change of a board's thickness")] | None = None
    gap_after: Annotated[Number, Q("mm", "Gap later; less than nothing where boards press on each other")] | None = None
    moisture_to: Annotated[Number, Q("%", "Moisture content later")]
    coefficient: Annotated[Number, Q("%", "Change of width for one percentage point of moisture content, from 10 %")]
    rule: Annotated[Rule, F("The rule that was followed")]


@calculator(
    "movement",
    "Movement of boards",
    since="0.2",
    example={"species": "ipe", "width": "140 mm", "moisture_from": "12 %", "moisture_to": "18 %", "gap": "5 mm"},
    formulas=(
        formulas.change_by_coefficient,
        formulas.change_by_shrinkage,
        formulas.coefficient_from_shrinkage,
        formulas.gap_after,
        sorption.equilibrium_moisture,
    ),
    costs=(Cost(0.01, 1024),),
    outputs={"movement": "width_change"},
)
def movement(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find how much boards grow or shrink between two moisture contents, and the gap that is left.

    Flat-sawn boards move tangentially in width and radially in thickness; the handbook warns that for mixed grain this
    gives too much width and too little thickness. Above fibre saturation nothing moves. Boards of one wood differ: low
    and high hold eight boards in ten, by the wood's own range where that is wider than the range of any wood.
    """
    saturation = _saturation(x, ledger)
    wanted = _later(x, ledger)
    before, after = (
        _below(x.moisture_from, saturation, "moisture_from", ledger),
        _below(wanted, saturation, "moisture_to", ledger),
    )
    across, through = _directions(x, ledger)
    boards: GapRule = known.record("gap-rule", "usual")
    shrinks = x.shrinkage if x.shrinkage is not None else _of(x.species.shrinkage, across, boards, ledger)
    rule = x.rule or _rule(x, across, before, after)
    if rule == "coefficient":
        coefficient = _of(x.species.movement, across, boards, ledger)
        change = _by_coefficient(x.width, coefficient, before, after, ledger)
    else:
        if shrinks is None:
            raise _unknown(x)
        coefficient = ledger.step(formulas.coefficient_from_shrinkage, shrinkage=shrinks, fibre_saturation=saturation)
        change = _by_shrinkage(x.width, shrinks, saturation, before, after, ledger, "width")
    if coefficient is None:
        raise _unknown(x)
    return Result(
        width_change=change,
        width_after=x.width + change,
        thickness_change=_thickness(x, through, boards, saturation, before, after, ledger),
        gap_after=_gap(x, change, ledger, known),
        moisture_to=wanted,
        coefficient=coefficient,
        rule=rule,
    )


def _saturation(x: Inputs, ledger: Ledger) -> Number:
    if x.fibre_saturation is not None:
        return x.fibre_saturation
    if x.species.fibre_saturation is not None:
        return ledger.take(x.species.fibre_saturation)
    low, high = _SATURATIONS
    wetter = max(spread.central(one) for one in (x.moisture_from, x.moisture_to) if one is not None)
    # Where the wetter moisture content lies between them, it is what moves the answer most.
    others = (low, min(max(wetter, low), high), high)
    ledger.default("fibre_saturation", "30 %", others=others, why=clause("saturation-of-handbook"))
    return _FIBRE_SATURATION


def _later(x: Inputs, ledger: Ledger) -> Number:
    climate = (x.temperature, x.relative_humidity)
    if x.moisture_to is not None and climate == (None, None):
        return x.moisture_to
    if x.moisture_to is None and x.temperature is not None and x.relative_humidity is not None:
        settled = ledger.step(
            sorption.equilibrium_moisture, temperature=x.temperature, relative_humidity=x.relative_humidity
        )
        return spread.central(settled)
    raise InputProblem([refusal("moisture-later-unclear", "/moisture_to")])


def _below(moisture: Number, saturation: Number, field: str, ledger: Ledger) -> Number:
    if spread.central(moisture) > spread.central(saturation):
        ledger.find("above-fibre-saturation", pointer=f"/{field}")
    return spread.minimum(moisture, saturation)


def _directions(x: Inputs, ledger: Ledger) -> tuple[str, str]:
    if x.grain is None and x.shrinkage is None:
        ledger.default("grain", "flat-sawn", others=("quarter-sawn",), why=clause("mostly-flat-sawn"))
    if x.grain == "mixed":
        ledger.find("mixed-grain", pointer="/grain")
    return ("radial", "tangential") if x.grain == "quarter-sawn" else ("tangential", "radial")


def _rule(x: Inputs, across: str, before: Number, after: Number) -> Rule:
    low, high = _COEFFICIENT_HOLDS
    inside = all(low <= spread.central(moisture) <= high for moisture in (before, after))
    return "coefficient" if inside and across in x.species.movement and x.shrinkage is None else "shrinkage"


def _of(table: Mapping[str, Sourced], direction: str, boards: GapRule, ledger: Ledger) -> Number | None:
    """Return what boards of a wood move in a direction: by its own range where it is wider than that of any wood."""
    number = table.get(direction)
    if number is not None and boards.variation is not None:
        low, high = formulas.of_boards(mean=number.si, variation=ledger.value(boards.variation))
        # Ends that lie closer are those of averages, not of boards.
        low, high = min(low, number.low or low), max(high, number.high or high)
        number = msgspec.structs.replace(number, low=low, high=high)
    return None if number is None else ledger.take(number)


def _unknown(x: Inputs) -> InputProblem:
    return InputProblem([refusal("shrinkage-unknown", "/shrinkage", species=Titled(x.species))])


def _by_coefficient(width: float, coefficient: Number | None, before: Number, after: Number, ledger: Ledger) -> Number:
    low, high = _COEFFICIENT_HOLDS
    if not all(low <= spread.central(moisture) <= high for moisture in (before, after)):
        ledger.find("coefficient-beyond-range", pointer="/rule")
    if coefficient is None:
        return 0.0
    return ledger.step(
        formulas.change_by_coefficient,
        "width",
        size=width,
        coefficient=coefficient,
        moisture_from=before,
        moisture_to=after,
    )


def _by_shrinkage(
    size: float, shrinkage: Number, saturation: Number, before: Number, after: Number, ledger: Ledger, about: str
) -> Number:
    return ledger.step(
        formulas.change_by_shrinkage,
        about,
        size=size,
        shrinkage=shrinkage,
        fibre_saturation=saturation,
        moisture_from=before,
        moisture_to=after,
    )


def _thickness(
    x: Inputs, through: str, boards: GapRule, saturation: Number, before: Number, after: Number, ledger: Ledger
) -> Number | None:
    shrinks = None if x.thickness is None else _of(x.species.shrinkage, through, boards, ledger)
    if x.thickness is None:
        return None
    if shrinks is None:
        direction = Word("grain-direction", through)
        ledger.find("thickness-change-unknown", pointer="/thickness", species=Titled(x.species), direction=direction)
        return None
    return _by_shrinkage(x.thickness, shrinks, saturation, before, after, ledger, "thickness")


def _gap(x: Inputs, change: Number, ledger: Ledger, known: RecordLookup) -> Number | None:
    if x.gap is None:
        return None
    rule: GapRule = x.gap_rule or known.record("gap-rule", "usual")
    left = ledger.step(formulas.gap_after, gap=x.gap, change=change)
    least, most = spread.value(ledger.take(rule.least)), spread.value(ledger.take(rule.most))
    plain = {"rule": rule.id}
    if spread.central(left) <= 0:
        ledger.find("gap-closes", pointer="/gap")
    elif spread.low(left) <= 0:
        ledger.find("gap-may-close", pointer="/gap")
    elif spread.low(left) < least:
        ledger.find("gap-too-narrow", pointer="/gap", params=plain, least=Length(least), rule=Titled(rule))
    if spread.high(left) > most:
        ledger.find("gap-too-wide", pointer="/gap", params=plain, most=Length(most), rule=Titled(rule))
    return left
