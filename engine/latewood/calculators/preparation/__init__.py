"""Which way to get an old surface off: sanding, washing, stripping and refreshing side by side."""

from __future__ import annotations

from latewood.calculators.preparation import facts, findings
from latewood.calculators.preparation.compute.comparison import compare
from latewood.calculators.preparation.compute.estimate import Estimator
from latewood.calculators.preparation.compute.open_questions import still_open
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolve import grade_ids, resolve
from latewood.calculators.preparation.resolve.another import Another, assume_crew, cases_of
from latewood.calculators.preparation.result import Result
from latewood.calculators.preparation.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import fastening, washing
from latewood.provenance import Ledger
from latewood.rules.sanding_work.floor_work import FORMULAS
from latewood.rules.sign_actions import effects, note_cup, note_signs
from latewood.rules.wash_chemistry import reached


@calculator(
    "preparation",
    "Preparation: which route to take",
    since="0.3",
    example={
        "area": "320 ft2",
        "species": "ipe",
        "treatment": "none",
        "old_coating": "none",
        "year_built": 2011,
        "jurisdiction": "US-NY",
        "signs": ["grey"],
        "coating": "clear-penetrating-oil",
        "temperature": "20 degC",
        "relative_humidity": "65 %",
        "crew": 2,
    },
    formulas=(
        fastening.heads_to_treat,
        fastening.share_in_sample,
        fastening.share_half_width,
        *FORMULAS,
        washing.wash_volume,
        washing.active_mass,
        washing.product_mass,
        washing.rinse_volume,
    ),
    costs=(Cost(0.1, 1024),),
    outputs={
        "preparation": "work_time",
        "drying": "drying_time",
        "ready-after": "ready_after",
    },
)
def preparation(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Compare the ways to prepare an old surface: days with drying, hours, depth, material, damage and hazards.

    A washed floor waits to dry and is sanded all the same; where no film is on it, sanding alone is usually done
    first. A hazard forbids a route with its reason, never in silence, and no route is washed after the last sanding.
    """
    check(x, grade_ids(known))
    r = resolve(x, known, ledger)
    estimator = Estimator(r, ledger)
    if ledger.again is not None:
        ledger.again = Another(x, known, estimator)
    assume_crew(x, ledger)
    compared = compare(r, cases_of(x, estimator, known), estimator.dryer)
    best, chosen, hazards = compared.best, compared.chosen, r.surface.hazards
    findings.find(x, r, compared, ledger)
    acid = reached(hazards) is None
    note_signs(x.signs, ledger, acid=acid, measured=r.measured)
    note_cup(r.measured, r.condition_rule, ledger)
    facts.state(x, r, chosen, ledger)
    asked = still_open(r, chosen)
    if chosen is not None:
        findings.find_open(chosen.route, asked, ledger)
    return Result(
        recommendation="none" if best is None else best.route.id,
        chosen="none" if chosen is None else chosen.route.id,
        arsenical=hazards.arsenical,
        frame_arsenical=hazards.frame_arsenical,
        lead_paint=hazards.lead,
        drying_time=compared.dry.wait,
        test_again_after=r.surface.beads,
        test_again_on=findings.test_again_on(r.first, r.surface.beads),
        signs=effects(
            x.signs,
            None if chosen is None else chosen.route,
            r.surface.halt,
            left=() if chosen is None else chosen.left,
            acid=acid,
            hollow=r.surface.too_hollow,
        ),
        rests_on=asked,
        routes=tuple(findings.on_condition(row, chosen, asked) for row in compared.rows),
    )


__all__ = ["Inputs", "Result", "preparation"]
