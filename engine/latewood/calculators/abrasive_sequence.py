"""Which grades does each part of a deck need, in what order? Passes, abrasive, hours and dust."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood import spread
from latewood.calculators._abrasive_sequence import choose, gaps, say, seen
from latewood.calculators._abrasive_sequence.answer import AbrasiveCount, GapWork, GradeSize, SandRow, TrialStep
from latewood.calculators._abrasive_sequence.consumed import Consumed
from latewood.calculators._abrasive_sequence.fields import (
    DiscWear,
    GapTreatment,
    LastGrade,
    PackedGaps,
    Profile,
    SandFace,
    SandPart,
    SandPatch,
    StockGrade,
    WayOfSanding,
    YearsBare,
)
from latewood.calculators._abrasive_sequence.hazards import state_hazards, state_work
from latewood.calculators._abrasive_sequence.ladder import grade_sizes, ladder_of, named
from latewood.calculators._abrasive_sequence.machines import say_risks
from latewood.calculators._abrasive_sequence.refuse import refuse
from latewood.calculators._abrasive_sequence.rows import bare_row, refused, row_of
from latewood.calculators._abrasive_sequence.spots import Spot, practice_of, spots
from latewood.calculators._abrasive_sequence.sums import deepest, dust_left, total_of, vacuum_time
from latewood.calculators._abrasive_sequence.work import work
from latewood.declare import F, Known, Q, calculator
from latewood.formulas import exposure, grain, pace, removal, wear
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger
from latewood.records import Abrasive, Coating, Condition, SandingPractice, Species
from latewood.rules.days import AsOf
from latewood.rules.hazard_fields import LeadTested, LeadTestedBy, LeadTestedOn, Old, Preservative, PreservativeProof
from latewood.rules.hazards import JURISDICTION
from latewood.rules.lead import Extraction
from latewood.rules.signs import Sign
from latewood.rules.waste import Left
from latewood.spread import Number


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be sanded, what it is like, and what there is to sand it with."""

    area: Annotated[float, Q("m2", "Floor to sand, as one field", ge=0, le=1e5, example="320 ft2")] | None = None
    faces: Annotated[tuple[SandFace, ...], F("The faces to sand, instead of one area")] = ()
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    coating: Annotated[Coating, F("Coating to be applied", example="clear-penetrating-oil")] | None = None
    condition: Annotated[Condition, F("What the surface is like; grey and sound if left out")] | None = None
    profile: Annotated[Profile, F("Face of the boards; smooth if left out")] | None = None
    cupped: Annotated[bool, F("Whether the boards are cupped: raised along their edges")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it; it says what the surface is like too", max_items=30)] = ()
    layer: (
        Annotated[
            Number,
            Q("um", "Depth to sound wood, where it was measured", ge=0, le=5000, example="150-300 um", uncertain=True),
        ]
        | None
    ) = None
    years_bare: YearsBare | None = None
    flattening: (
        Annotated[float, Q("mm", "Depth taken off beyond sound wood, to make it flat", ge=0, le=5, example="0.5 mm")]
        | None
    ) = None
    first_grade: Annotated[Abrasive, F("Grade to begin with, on every part", example="p60")] | None = None
    last_grade: LastGrade | None = None
    largest_ratio: (
        Annotated[
            float,
            Q(
                "%",
                "Largest step from a grade to the next; the practice's if left out",
                ge=101,
                le=400,
                example="175 %",
            ),
        ]
        | None
    ) = None
    stock: Annotated[
        tuple[StockGrade, ...], F("Abrasive at hand; every grade of the P series if left out", max_items=100)
    ] = ()
    parts: Annotated[tuple[SandPart, ...], F("Machines and grades of single parts", max_items=20)] = ()
    patches: Annotated[tuple[SandPatch, ...], F("What trials on the deck itself showed", max_items=100)] = ()
    gap_treatment: (
        Annotated[
            GapTreatment,
            F("What is done to the gaps; clean-only if left out"),
        ]
        | None
    ) = None
    gap_scope: (
        Annotated[
            Literal["visible-edge", "full-depth"],
            F("How deep the faces of gaps are worked: what can be seen, if left out; full depth is a line of its own"),
        ]
        | None
    ) = None
    gap_filled: (
        Annotated[bool, F("Whether the profile tool fills the gap, so that one run serves both faces")] | None
    ) = None
    packed_gaps: PackedGaps | None = None
    downwind_clear: Annotated[bool, F("Whether nobody, and nobody's property, is downwind")] | None = None
    treatment: Preservative | None = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: Annotated[Old, F("Coating on it now: a family, none or unknown", example="none")] | None = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    year_built: Annotated[int, F("Year of building", ge=1600, le=2200, example=1996)] | None = None
    jurisdiction: (
        Annotated[str, F("ISO 3166 code, for its year rules", pattern=JURISDICTION, example="US-NY")] | None
    ) = None
    as_of: AsOf | None = None
    extraction: Annotated[Extraction, F("Extraction at the sanders; none if left out")] | None = None
    practice: WayOfSanding | None = None
    pressing: Annotated[Literal["light", "hard"], F("How hard one presses; never counted as a faster cut")] | None = (
        None
    )
    wear: Annotated[DiscWear, F("How one's own discs, sheets or belts wear, where it was measured")] | None = None
    confidence: Annotated[float, Q("%", "Chance that the abrasive suffices", ge=50, le=99.9, example="90 %")] | None = (
        None
    )


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Sequences by zone and part, and what they come to."""

    rows: Annotated[tuple[SandRow, ...], F("Zones and parts, the field first")]
    grades: Annotated[tuple[GradeSize, ...], F("Grades used or at hand, each named in every system by its size")]
    abrasives: Annotated[tuple[AbrasiveCount, ...], F("Discs, sheets and belts, by grade and machine")]
    protocol: Annotated[tuple[TrialStep, ...], F("How to make a trial, where a first grade rests on none")] = ()
    gaps: Annotated[tuple[GapWork, ...], F("Work on the gaps, by what is done to them")] = ()
    removal: (
        Annotated[Number, Q("um", "Deepest that the floor is sanded, stairs apart: fasteners are set below it")] | None
    ) = None
    time: (
        Annotated[Number, Q("h", "Work of one person on all rows whose time is known, gaps and vacuuming apart")] | None
    ) = None
    vacuum_time: Annotated[Number, Q("h", "Work of vacuuming the floor after each grade")] | None = None
    dust_mass: Annotated[Number, Q("kg", "Dust of wood made, before any is caught")] | None = None
    waste: Left = ()
    vibration_exposure: (
        Annotated[
            Number, Q("m/s2", "Vibration at the hand over 8 h, of one person who does it all or a full day of it")
        ]
        | None
    ) = None


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
def abrasive_sequence(x: Inputs, ledger: Ledger, known: Known) -> Result:
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
    say.say_machines(x, found, practice, ledger)
    say.say_unused(x, found, ledger)
    seen.say(x, found, ledger)
    chooser = choose.Chooser(x, practice, ladder, limit, (ledger, known))
    consumed = Consumed(x, practice, ladder, ledger)
    done: list[tuple[Spot, choose.Chosen]] = []
    rows, works = [], []
    for spot in found:
        if hazards[spot.id].not_sanded(x.extraction) or refused(x, spot, ledger, known):
            rows.append((spot.place, bare_row(spot, "refused")))
            continue
        chosen = chooser.choose(spot)
        done.append((spot, chosen))
        say.say_choice(x, spot, chosen, ladder, ledger)
        made = None
        if chosen.found is not None:
            made = work(x, spot, chosen.found.grades, chosen.patched_passes, practice, ladder, ledger, known)
            say.say_passes(x, spot, made.steps, ledger)
            consumed.add(spot, made.steps, made.efforts)
            works.append((spot, made))
        rows.append((spot.place, row_of(spot, chosen, made, practice, ladder, ledger, known)))
    say.say_planes(done, ladder, ledger)
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


def _protocol(practice: SandingPractice, done: list[choose.Chosen], ledger: Ledger) -> tuple[TrialStep, ...]:
    """Return how to make the trial that would settle where to begin; nothing where trials settled it."""
    if not any(chosen.assumed for chosen in done):
        return ()
    if practice.trial:
        ledger.use(f"{practice.path}/trial", "how a trial is made", "common-practice")
    return tuple(TrialStep(id=str(place), message=message) for place, message in enumerate(practice.trial, 1))
