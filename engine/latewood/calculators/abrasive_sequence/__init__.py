"""Which grades does each part of a deck need, in what order? Passes, abrasive, hours and dust."""

from __future__ import annotations

from latewood.calculators.abrasive_sequence import findings, gaps, grade_choice, sign_findings
from latewood.calculators.abrasive_sequence.abrasive_grades import grade_sizes, ladder_of, named
from latewood.calculators.abrasive_sequence.answer import TrialStep
from latewood.calculators.abrasive_sequence.consumed import Consumed
from latewood.calculators.abrasive_sequence.hazards import state_hazards, state_work
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.machines import say_risks
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace, practice_of, spots
from latewood.calculators.abrasive_sequence.result import Result
from latewood.calculators.abrasive_sequence.rows import bare_row, refused, row_of
from latewood.calculators.abrasive_sequence.totals import deepest, dust_left, total_of, vacuum_time
from latewood.calculators.abrasive_sequence.validation import refuse
from latewood.calculators.abrasive_sequence.work import work
from latewood.declare import RecordLookup, calculator
from latewood.formulas import exposure, grain, pace, removal, wear
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.uncertainty import spread


@calculator(
    "abrasive-sequence",
    "Grades, passes, abrasive and dust",
    since="0.3",
    example={
        "faces": [
            {"zone": "main", "part": "field", "area": "32 m2"},
            {"zone": "main", "part": "perimeter", "area": "2.3 m2", "length": "18.7 m"},
            {"zone": "main", "part": "gap-faces", "area": "13 m2", "length": "250 m"},
            {"zone": "main", "part": "stair", "item": "steps", "area": "3.2 m2", "count": 4},
            {"zone": "main", "part": "guard", "item": "south", "area": "8 m2"},
        ],
        "species": "southern-yellow-pine",
        "coating": "semi-transparent-oil-stain",
        "condition": "raised-grain",
        "treatment": "copper",
        "treatment_evidence": "end-tag",
        "gap_treatment": "ease-edges",
    },
    formulas=(
        grain.size_ratio,
        removal.ridge_height,
        removal.layer_depth,
        removal.mean_depth,
        removal.depth_at_density,
        removal.scratch_depth,
        removal.relative_cut,
        removal.machine_cut,
        removal.removal_per_pass,
        removal.passes_needed,
        removal.dust_mass_per_area,
        removal.relative_uptake,
        removal.relative_life,
        wear.pad_area,
        wear.life_by_size,
        wear.discs_worn,
        wear.disc_time,
        wear.cut_after,
        wear.removed_until,
        wear.mean_cut,
        pace.time_by_area,
        pace.time_by_length,
        pace.time_by_count,
        pace.smaller_pad_pace,
        exposure.daily_vibration,
        waste_formulas.volume_of_mass,
    ),
)
def abrasive_sequence(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find the fewest grades from the first to the last, with steps small enough, for each part of a deck.

    A patch on the deck overrules the table of first grades and the model of what a pass takes off. The last grade goes
    by what is put on: too fine, and less of it goes in and lasts. Grades are compared by the size of their grain, never
    by their number. The aim is sound wood, not a flat floor.
    """
    refuse(x, known)
    practice = practice_of(x, ledger, known)
    ladder = ladder_of(x, known)
    limit = x.largest_ratio or spread.central(ledger.take(practice.largest_ratio))
    found = spots(x, practice, ledger, known)
    hazards = state_hazards(x, found, ledger, known)
    findings.say_machines(x, found, practice, ledger)
    findings.say_unused(x, found, ledger)
    sign_findings.say(x, found, ledger)
    chooser = grade_choice.Chooser(x, practice, ladder, limit, (ledger, known))
    consumed = Consumed(x, practice, ladder, ledger)
    done: list[tuple[ResolvedFace, grade_choice.Chosen]] = []
    rows, works = [], []
    for spot in found:
        if hazards[spot.id].not_sanded(x.extraction) or refused(x, spot, ledger, known):
            rows.append((spot.place, bare_row(spot, "refused")))
            continue
        chosen = chooser.choose(spot)
        done.append((spot, chosen))
        findings.say_choice(x, spot, chosen, ladder, ledger)
        made = None
        if chosen.found is not None:
            made = work(x, spot, chosen.found.grades, chosen.patched_passes, practice, ladder, ledger, known)
            findings.say_passes(x, spot, made.steps, ledger)
            consumed.add(spot, made.steps, made.efforts)
            works.append((spot, made))
        rows.append((spot.place, row_of(spot, chosen, made, practice, ladder, ledger, known)))
    findings.say_planes(done, ladder, ledger)
    say_risks(x, [spot for spot, _ in done], ledger)
    used = [id for _, c in done if c.found is not None for id in c.found.grades]
    dust = total_of([made.dust_mass for _, made in works])
    return Result(
        rows=tuple(row for _, row in sorted(rows, key=lambda placed: placed[0])),
        grades=grade_sizes([*used, *(named(item) for item in x.stock)], ladder, ledger, known),
        abrasives=consumed.counts(),
        protocol=_protocol(practice, [chosen for _, chosen in done], ledger),
        gaps=gaps.gap_work(x, practice, ledger, known),
        removal=deepest(works),
        time=total_of([made.time for _, made in works]),
        vacuum_time=vacuum_time(works, practice, ledger, known),
        dust_mass=dust,
        vibration_exposure=state_work(x, found, works, hazards, ledger),
        waste=dust_left(x, works, dust, hazards, ledger, known),
    )


def _protocol(practice: SandingPractice, done: list[grade_choice.Chosen], ledger: Ledger) -> tuple[TrialStep, ...]:
    """Return how to make the trial that would settle where to begin; nothing where trials settled it."""
    if not any(chosen.assumed for chosen in done):
        return ()
    if practice.trial:
        ledger.use(f"{practice.path}/trial", "how a trial is made", "common-practice")
    return tuple(TrialStep(id=str(place), message=message) for place, message in enumerate(practice.trial, 1))


__all__ = ["Inputs", "Result", "abrasive_sequence"]
