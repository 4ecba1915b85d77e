"""What a sequence takes off one face, and what that costs in passes, hours, discs and dust."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from latewood.calculators.abrasive_sequence.abrasive_grades import Ladder
from latewood.calculators.abrasive_sequence.answer import SandStep
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.pace import pace_of
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.declare import RecordLookup
from latewood.formulas import removal
from latewood.provenance import Ledger, Sourced
from latewood.records import Machine, SandingPractice
from latewood.records.erosion import YEARS
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Density the layers of a practice are stated for (kg/m3): the meaning of its field `layers`.
LAYERS_AT: Final = 500.0


@dataclass(frozen=True)
class Work:
    """The steps of one face, and what they come to."""

    layer: Number
    removal: Number
    steps: tuple[SandStep, ...]
    efforts: tuple[Number, ...]
    time: Number | None
    dust_mass: Number | None


def density_of(spot: ResolvedFace, practice: SandingPractice, ledger: Ledger) -> Number:
    """Return the density of the wood, or of the practice's softwood where no species is given."""
    number = practice.reference_density["softwood"] if spot.species is None else spot.species.density
    return ledger.take(number)


def depths_of(
    x: Inputs, spot: ResolvedFace, practice: SandingPractice, ledger: Ledger, known: RecordLookup
) -> tuple[Number, Number]:
    """Return how deep sound wood lies, and the same as an even layer: measured, by bare years, or by condition."""
    more = x.flattening or 0.0
    if x.layer is not None:
        ledger.use("input/layer", "as measured", "input")
        return x.layer + more, x.layer + more
    density = density_of(spot, practice, ledger)

    def here(number: Sourced) -> Number:
        stated = ledger.take(number)
        return ledger.step(
            removal.depth_at_density, spot.id, depth=stated, density=density, reference_density=LAYERS_AT
        )

    worn = _ridge(x, spot, ledger, known)
    changed = here(practice.layers[spot.condition])
    film = ledger.take(practice.film) if spot.condition == "old-film" else 0.0
    ridge: Number = 0.0
    if worn is not None:
        ridge = worn
    elif spot.condition in practice.ridges:
        ridge = here(practice.ridges[spot.condition])
    depth = ledger.step(removal.layer_depth, spot.id, ridge=ridge, changed=changed, film=film)
    share = ledger.take(practice.ridge_share)
    mean = ledger.step(removal.mean_depth, spot.id, ridge=ridge, ridge_share=share, changed=changed, film=film)
    return depth + more, mean + more


def _ridge(x: Inputs, spot: ResolvedFace, ledger: Ledger, known: RecordLookup) -> float | None:
    """Return the ridges after so many bare years, where erosion of the species is tabulated."""
    if x.years_bare is None or spot.species is None or spot.condition not in ("grey", "raised-grain"):
        return None
    tables = [record for record in known.records("erosion").values() if record.species == spot.species.id]
    if not tables:
        message = f"No erosion is tabulated for {spot.species.title}; years_bare is left out and the condition counts."
        ledger.find("no-erosion-table", "note", message, pointer="/years_bare", species=spot.species.id)
        return None
    table = tables[0].depth["earlywood"]
    last = max(int(year) for year in YEARS if year in table)
    if x.years_bare > last:
        message = (
            f"Erosion of {spot.species.title} is tabulated for {last} years; {x.years_bare} were given, and the depth "
            f"of {last} was taken. It may be more: measure it."
        )
        ledger.find("beyond-erosion-table", "warning", message, pointer="/years_bare", species=spot.species.id)
    lost = {part: _after(tables[0].depth[part], x.years_bare, ledger) for part in ("earlywood", "latewood")}
    return spread.central(ledger.step(removal.ridge_height, f"{x.years_bare} bare years", **lost))


def _after(table: dict[str, Sourced], years: int, ledger: Ledger) -> float:
    """Return erosion between tabulated years, from nothing at none; beyond the last it stays as it was there."""
    known = [(0, 0.0), *((int(year), table[year].si) for year in YEARS if year in table)]
    for year in YEARS:
        if year in table:
            ledger.take(table[year])
    for (before, low), (after, high) in pairwise(known):
        if years <= after:
            return low + (high - low) * (years - before) / (after - before)
    return known[-1][1]


def per_pass(
    grade_size: float,
    spot: ResolvedFace,
    machine: Number,
    practice: SandingPractice,
    ladder: Ladder,
    ledger: Ledger,
    about: str,
) -> Number:
    """Return what one pass of a grade takes off this wood with this machine."""
    reference = ladder.sizes[practice.reference_grade]
    exponent = spread.central(ledger.take(practice.exponent[spot.group]))
    cut = ledger.step(removal.relative_cut, about, grain_size=grade_size, reference_size=reference, exponent=exponent)
    share: Number = 1.0 if spot.group == "softwood" else ledger.take(practice.hardwood_share)
    wood = share * ledger.take(practice.reference_density[spot.group]) / density_of(spot, practice, ledger)
    taken = ledger.take(practice.removal)
    return ledger.step(
        removal.removal_per_pass, about, reference=taken, cut=spread.central(cut), machine=machine, wood=wood
    )


def cut_of(machine: Machine, speed: float | None, practice: SandingPractice, ledger: Ledger) -> Number:
    """Return the cut of a machine beside the reference, at its speed. Pressure is in none of it."""
    reference_speed = ledger.take(practice.reference_speed)
    turned: Number = reference_speed if speed is None else speed
    if machine.cut is not None:
        return ledger.take(machine.cut) * turned / reference_speed
    if machine.orbit is None:
        raise ValueError(f"{machine.path} has neither orbit nor cut")
    orbit, reference_orbit = ledger.take(machine.orbit), ledger.take(practice.reference_orbit)
    return ledger.step(
        removal.machine_cut,
        machine.id,
        orbit=orbit,
        reference_orbit=reference_orbit,
        speed=turned,
        reference_speed=reference_speed,
    )


def work(
    x: Inputs,
    spot: ResolvedFace,
    grades: Sequence[str],
    patched: int | None,
    practice: SandingPractice,
    ladder: Ladder,
    ledger: Ledger,
    known: RecordLookup,
) -> Work:
    """Return the steps: the first takes off the layer, each later one the scratches of the one before."""
    layer, mean = depths_of(x, spot, practice, ledger, known)
    share = ledger.take(practice.scratch_share)
    machine = cut_of(spot.machine, spot.speed, practice, ledger)
    depths = [mean]
    for grade in grades[:-1]:
        about = f"{spot.id}, {grade}"
        depths.append(ledger.step(removal.scratch_depth, about, grain_size=ladder.sizes[grade], share=share))
    steps, efforts = [], []
    for place, (grade, depth) in enumerate(zip(grades, depths, strict=True)):
        about = f"{spot.id}, {grade}"
        taken = per_pass(ladder.sizes[grade], spot, machine, practice, ladder, ledger, about)
        needed = ledger.step(removal.passes_needed, about, depth=depth, per_pass=taken)
        passes = _whole(spread.value(needed))
        most = _whole(spread.high(needed))
        if place == 0 and patched is not None:
            passes = most = patched
        effort = _effort(spot, depth, taken, patched, practice, ledger) if place == 0 else 1.0
        if spot.speed is not None:
            effort = effort * ledger.take(practice.reference_speed) / spot.speed
        pace = pace_of(spot, first=place == 0, practice=practice, ledger=ledger, known=known)
        time = None if pace is None else pace * effort
        steps.append(
            SandStep(
                id=grade,
                abrasive=grade,
                depth=depth,
                per_pass=taken,
                passes=passes,
                most_passes=max(passes, most),
                time=time,
            )
        )
        efforts.append(effort)
    if (after := spot.blend) is not None:
        steps.append(_blend(spot, after, grades[-1], practice, ladder, ledger, known))
        efforts.append(1.0)
        depths.append(steps[-1].depth)
    scratches = spread.total(depths[1:])
    times = [step.time for step in steps]
    known_times = [time for time in times if time is not None]
    return Work(
        layer=layer,
        removal=layer + scratches,
        steps=tuple(steps),
        efforts=tuple(efforts),
        time=spread.total(known_times) if len(known_times) == len(times) else None,
        dust_mass=_dust(spot, mean + scratches, practice, ledger),
    )


def _blend(
    spot: ResolvedFace,
    machine: Machine,
    grade: str,
    practice: SandingPractice,
    ladder: Ladder,
    ledger: Ledger,
    known: RecordLookup,
) -> SandStep:
    """Return the last grade once more, by the part's usual machine: it takes out the marks of the one before."""
    about = f"{spot.id}, {grade} with {machine.id}"
    share = ledger.take(practice.scratch_share)
    depth = ledger.step(removal.scratch_depth, about, grain_size=ladder.sizes[grade], share=share)
    cut = cut_of(machine, None, practice, ledger)
    taken = per_pass(ladder.sizes[grade], spot, cut, practice, ladder, ledger, about)
    needed = ledger.step(removal.passes_needed, about, depth=depth, per_pass=taken)
    passes = _whole(spread.value(needed))
    by_it = replace(spot, machine=machine, speed=None)
    return SandStep(
        id=f"{grade}-{machine.id}",
        abrasive=grade,
        machine=machine,
        depth=depth,
        per_pass=taken,
        passes=passes,
        most_passes=max(passes, _whole(spread.high(needed))),
        time=pace_of(by_it, first=False, practice=practice, ledger=ledger, known=known),
    )


def _effort(
    spot: ResolvedFace, depth: Number, taken: Number, patched: int | None, practice: SandingPractice, ledger: Ledger
) -> Number:
    """Return the work of the first grade beside that on bare grey wood, which paces and lives of discs are stated for.

    Over an old film they are stated for the film. A patch counts by the passes it took.
    """
    density = spread.central(density_of(spot, practice, ledger))

    def here(layer: Sourced) -> float:
        stated = spread.central(ledger.take(layer))
        depth = removal.depth_at_density(depth=stated, density=density, reference_density=LAYERS_AT)
        return spread.central(depth)

    usual = here(practice.layers["grey"])
    if spot.condition == "old-film":
        usual += spread.central(ledger.take(practice.film))
    if patched is not None:
        return float(patched) * spread.central(taken) / usual
    # Going over it once costs what a scuff costs, however little there is to take off.
    if spread.high(depth) < (scuff := here(practice.layers["faded-oil"])):
        return scuff / usual
    return depth / usual


def passes_with(
    grades: Sequence[str], x: Inputs, spot: ResolvedFace, practice: SandingPractice, ladder: Ladder, known: RecordLookup
) -> dict[str, float]:
    """Return the median of passes each grade would need on a face, by wood and depth alone.

    It is to choose a grade by, which the machine does not decide, and is written down nowhere.
    """
    aside = Ledger("abrasive-sequence")
    reference = ladder.sizes[practice.reference_grade]
    taken = per_pass(reference, spot, 1.0, practice, ladder, aside, "reference")
    needed = spread.value(depths_of(x, spot, practice, aside, known)[1] / taken)
    exponent = spread.central(practice.exponent[spot.group].number)
    return {
        grade: needed
        / removal.relative_cut(grain_size=ladder.sizes[grade], reference_size=reference, exponent=exponent)
        for grade in grades
    }


def _whole(passes: float) -> int:
    """Return whole passes: at least one, and no more for a rest of rounding."""
    return max(1, math.ceil(passes - 1e-9))


def _dust(spot: ResolvedFace, depth: Number, practice: SandingPractice, ledger: Ledger) -> Number | None:
    if spot.face.area <= 0:
        return None
    density = density_of(spot, practice, ledger)
    return ledger.step(removal.dust_mass_per_area, spot.id, depth=depth, density=density) * spot.face.area
