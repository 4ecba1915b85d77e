"""What a sequence takes off one face, and what that costs in passes, hours, discs and dust."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from latewood.formulas import removal
from latewood.messages import clause
from latewood.provenance import Ledger, Sourced
from latewood.records import Machine
from latewood.records.erosion import YEARS
from latewood.rules.sanding_work.consumed import Worn, worn_by
from latewood.rules.sanding_work.fields import SandStep
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sanding_work.pace import pace_of, scuffed_in
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Density the layers of a practice are stated for (kg/m3): the meaning of its field `layers`.
LAYERS_AT: Final = 500.0


@dataclass(frozen=True)
class Work:
    """The steps of one face, and what they come to; ``worn`` is nothing where its area is not known."""

    layer: Number
    removal: Number
    steps: tuple[SandStep, ...]
    time: Number | None
    dust_mass: Number | None
    worn: tuple[Worn, ...]


def density_of(face: SandedFace, method: Method, ledger: Ledger) -> Number:
    """Return the density of the wood, or of the practice's softwood where no species is given."""
    number = method.practice.reference_density["softwood"] if face.species is None else face.species.density
    return ledger.take(number)


def depths_of(face: SandedFace, method: Method, ledger: Ledger) -> tuple[Number, Number]:
    """Return how deep sound wood lies, and the same as an even layer: measured, by bare years, or by condition."""
    return ledger.once((depths_of, face.wood, face.condition), _depths_of, face, method, ledger)


def _depths_of(face: SandedFace, method: Method, ledger: Ledger) -> tuple[Number, Number]:
    practice, more = method.practice, method.flattening
    if method.measured is not None:
        ledger.use("input/layer", clause("depth-as-measured"), "input")
        return method.measured + more, method.measured + more
    density = density_of(face, method, ledger)

    def here(number: Sourced) -> Number:
        stated = ledger.take(number)
        return ledger.step(
            removal.depth_at_density, face.id, depth=stated, density=density, reference_density=LAYERS_AT
        )

    worn = _ridge(face, method, ledger)
    changed = here(practice.layers[face.condition])
    film = ledger.take(practice.film) if face.condition == "old-film" else 0.0
    ridge: Number = 0.0
    if worn is not None:
        ridge = worn
    elif face.condition in practice.ridges:
        ridge = here(practice.ridges[face.condition])
    depth = ledger.step(removal.layer_depth, face.id, ridge=ridge, changed=changed, film=film)
    share = ledger.take(practice.ridge_share)
    mean = ledger.step(removal.mean_depth, face.id, ridge=ridge, ridge_share=share, changed=changed, film=film)
    return depth + more, mean + more


def worn_by_years(face: SandedFace, method: Method) -> bool:
    """Say whether ridges follow from the years that a face stood bare."""
    asked = method.measured is None and method.years_bare is not None
    return asked and face.species is not None and face.condition in ("grey", "raised-grain")


def _ridge(face: SandedFace, method: Method, ledger: Ledger) -> float | None:
    """Return the ridges after so many bare years, where erosion of the species is tabulated."""
    table = None if face.species is None else method.erosion.get(face.species.id)
    years = method.years_bare
    if not worn_by_years(face, method) or table is None or years is None:
        return None
    lost = {part: _after(table.depth[part], years, ledger) for part in ("earlywood", "latewood")}
    return spread.central(ledger.step(removal.ridge_height, f"{years} bare years", **lost))


def _after(table: Mapping[str, Sourced], years: int, ledger: Ledger) -> float:
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
    grade_size: float, face: SandedFace, machine: Number, method: Method, ledger: Ledger, about: str
) -> Number:
    """Return what one pass of a grade takes off this wood with this machine."""
    practice, reference = method.practice, method.ladder.sizes[method.practice.reference_grade]
    exponent = spread.central(ledger.take(practice.exponent[face.group]))
    cut = ledger.step(removal.relative_cut, about, grain_size=grade_size, reference_size=reference, exponent=exponent)
    share: Number = 1.0 if face.group == "softwood" else ledger.take(practice.hardwood_share)
    wood = share * ledger.take(practice.reference_density[face.group]) / density_of(face, method, ledger)
    taken = ledger.take(practice.removal)
    return ledger.step(
        removal.removal_per_pass, about, reference=taken, cut=spread.central(cut), machine=machine, wood=wood
    )


def cut_of(machine: Machine, speed: float | None, method: Method, ledger: Ledger) -> Number:
    """Return the cut of a machine beside the reference, at its speed. Pressure is in none of it."""
    return ledger.once((cut_of, machine.id, speed), _cut_of, machine, speed, method, ledger)


def _cut_of(machine: Machine, speed: float | None, method: Method, ledger: Ledger) -> Number:
    practice = method.practice
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


def work(face: SandedFace, grades: Sequence[str], patched: int | None, method: Method, ledger: Ledger) -> Work:
    """Return the steps: the first takes off the layer, each later one the scratches of the one before."""
    practice, sizes = method.practice, method.ladder.sizes
    layer, mean = depths_of(face, method, ledger)
    share = ledger.take(practice.scratch_share)
    machine = cut_of(face.machine, face.speed, method, ledger)
    depths = [mean]
    for grade in grades[:-1]:
        of = removal.scratch_depth, f"{face.id}, {grade}"
        depths.append(ledger.once(("scratches", grade), ledger.step, *of, grain_size=sizes[grade], share=share))
    steps, efforts = [], []
    for place, (grade, depth) in enumerate(zip(grades, depths, strict=True)):
        about = f"{face.id}, {grade}"
        over, by = grades[place - 1] if place else face.condition, (grade, face.wood, face.machine.id, face.speed)
        taken = ledger.once((per_pass, by), per_pass, sizes[grade], face, machine, method, ledger, about)
        needed = ledger.once(
            ("passes", over, by), ledger.step, removal.passes_needed, about, depth=depth, per_pass=taken
        )
        passes = _whole(spread.value(needed))
        most = _whole(spread.high(needed))
        if place == 0 and patched is not None:
            passes = most = patched
        effort = _effort(face, depth, taken, patched, method, ledger) if place == 0 else 1.0
        if face.speed is not None:
            effort = effort * ledger.take(practice.reference_speed) / face.speed
        time = scuffed_in(face, method, ledger) if place == 0 and patched is None else None
        if time is None:
            pace = pace_of(face, first=place == 0, method=method, ledger=ledger)
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
    if (after := face.blend) is not None:
        steps.append(_blend(face, after, grades[-1], method, ledger))
        efforts.append(1.0)
        depths.append(steps[-1].depth)
    scratches = spread.total(depths[1:])
    times = [step.time for step in steps]
    known_times = [time for time in times if time is not None]
    return Work(
        layer=layer,
        removal=layer + scratches,
        steps=tuple(steps),
        time=spread.total(known_times) if len(known_times) == len(times) else None,
        dust_mass=_dust(face, mean + scratches, method, ledger),
        worn=tuple(worn_by(face, steps, efforts, method, ledger)),
    )


def _blend(face: SandedFace, machine: Machine, grade: str, method: Method, ledger: Ledger) -> SandStep:
    """Return the last grade once more, by the part's usual machine: it takes out the marks of the one before."""
    about = f"{face.id}, {grade} with {machine.id}"
    share, size = ledger.take(method.practice.scratch_share), method.ladder.sizes[grade]
    depth = ledger.step(removal.scratch_depth, about, grain_size=size, share=share)
    cut = cut_of(machine, None, method, ledger)
    taken = per_pass(size, face, cut, method, ledger, about)
    needed = ledger.step(removal.passes_needed, about, depth=depth, per_pass=taken)
    passes = _whole(spread.value(needed))
    by_it = replace(face, machine=machine, choice=None)
    return SandStep(
        id=f"{grade}-{machine.id}",
        abrasive=grade,
        machine=machine,
        depth=depth,
        per_pass=taken,
        passes=passes,
        most_passes=max(passes, _whole(spread.high(needed))),
        time=pace_of(by_it, first=False, method=method, ledger=ledger),
    )


def _effort(
    face: SandedFace, depth: Number, taken: Number, patched: int | None, method: Method, ledger: Ledger
) -> Number:
    """Return the work of the first grade beside that on bare grey wood, which paces and lives of discs are stated for.

    Over an old film they are stated for the film. A patch counts by the passes it took.
    """
    practice = method.practice
    density = spread.central(density_of(face, method, ledger))

    def here(layer: Sourced) -> float:
        stated = spread.central(ledger.take(layer))
        depth = removal.depth_at_density(depth=stated, density=density, reference_density=LAYERS_AT)
        return spread.central(depth)

    usual = here(practice.layers["grey"])
    if face.condition == "old-film":
        usual += spread.central(ledger.take(practice.film))
    if patched is not None:
        return float(patched) * spread.central(taken) / usual
    # Going over it once costs what a scuff costs, however little there is to take off.
    if spread.high(depth) < (scuff := here(practice.layers["faded-oil"])):
        return scuff / usual
    return depth / usual


def passes_with(grades: Sequence[str], face: SandedFace, method: Method, aside: Ledger) -> dict[str, float]:
    """Return the median of passes each grade would need on a face, by wood and depth alone.

    It is to choose a grade by, which the machine does not decide, and is written down nowhere.
    """
    sizes = method.ladder.sizes
    reference = sizes[method.practice.reference_grade]
    taken = per_pass(reference, face, 1.0, method, aside, "reference")
    needed = spread.value(depths_of(face, method, aside)[1] / taken)
    exponent = spread.central(method.practice.exponent[face.group].number)
    return {
        grade: needed / removal.relative_cut(grain_size=sizes[grade], reference_size=reference, exponent=exponent)
        for grade in grades
    }


def _whole(passes: float) -> int:
    """Return whole passes: at least one, and no more for a rest of rounding."""
    return max(1, math.ceil(passes - 1e-9))


def _dust(face: SandedFace, depth: Number, method: Method, ledger: Ledger) -> Number | None:
    if face.area <= 0:
        return None
    density = density_of(face, method, ledger)
    return ledger.step(removal.dust_mass_per_area, face.id, depth=depth, density=density) * face.area
