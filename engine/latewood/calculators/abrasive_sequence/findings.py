"""What must be said of the sequences found."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from latewood.calculators.abrasive_sequence.abrasive_grades import ROOM, Ladder, fits, named
from latewood.calculators.abrasive_sequence.answer import SandStep
from latewood.calculators.abrasive_sequence.grade_choice import Chosen, patches_for
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.faces import WALKED
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Orbits further apart than this leave patterns that are told apart in one plane. Judgement.
PATTERN: Final = 2.0
#: Speed above which gentle sanding ends. Judgement: common practice starts in the middle of the range.
FAST: Final = 0.85
#: Passes of one grade above which a coarser grade or another way is better. Judgement: two are usual, five many.
MANY: Final = 5
#: Life of a disc, in floor, below which the film is better taken off first (m2): common practice.
SHORT_LIFE: Final = 1.0


def say_passes(x: Inputs, spot: ResolvedFace, steps: Sequence[SandStep], ledger: Ledger) -> None:
    """Say where a grade would have to go over a face more often than makes sense."""
    worst = max(steps, key=lambda step: step.passes, default=None)
    if worst is None or worst.passes <= MANY:
        return
    message = (
        f"{spot.id} takes {worst.passes} passes of {worst.id}: nobody sands so much away with this machine. Begin "
        "coarser, take another machine or another route, or turn or replace the boards."
    )
    at = f"/faces/{spot.place}" if x.faces else None
    ledger.find("many-passes", "warning", message, pointer=at, face=spot.id, passes=worst.passes)


def say_unused(x: Inputs, spots: Sequence[ResolvedFace], ledger: Ledger) -> None:
    """Say what was given of parts that are not among the faces."""
    parts = {spot.face.part for spot in spots}
    for place, choice in enumerate(x.parts):
        if choice.part not in parts:
            message = f"No face of part {choice.part} is given; what was said of it does not count."
            ledger.find("part-not-sanded", "note", message, pointer=f"/parts/{place}", part=choice.part)
    for place, patch in enumerate(x.patches):
        if not any(patches_for(spot, [patch]) for spot in spots):
            message = f"The patch of {patch.grade.id} is on no face that is given; it does not count."
            ledger.find("patch-not-used", "note", message, pointer=f"/patches/{place}")


def say_choice(x: Inputs, spot: ResolvedFace, chosen: Chosen, ladder: Ladder, ledger: Ledger) -> None:
    """Say of one face what it rests on and what is missing."""
    at = f"/faces/{spot.place}" if x.faces else "/stock"
    if chosen.assumed and chosen.found is not None and spot.face.part in ("field", "perimeter"):
        tries = ", then ".join(chosen.trials)
        message = (
            f"{spot.id} begins with {chosen.found.grades[0]} by a table of common practice, not by a trial. Try on a "
            f"hidden patch, fine to coarse ({tries}), until no grey is left; the finest that does it is where to "
            "begin. Stripes after the first pass mean go on or go coarser, never oil over them."
        )
        ledger.find("start-assumed", "note", message, pointer="/patches", face=spot.id, next=chosen.next_trial)
    if chosen.found is None:
        fetch = " and ".join(chosen.fetch)
        stocked = {named(item) for item in ladder.stock if not fits(item, spot.machine)}
        pad = f" for {spot.machine.title}: what is at hand is of another size" if stocked & set(chosen.fetch) else ""
        remedy = f"Fetch {fetch}{pad}." if fetch else "No grade on the shelf bridges it."
        message = f"No sequence of steps small enough can be made for {spot.id} from the grades at hand. {remedy}"
        ledger.find("grade-to-fetch", "warning", message, pointer=at, face=spot.id, fetch=list(chosen.fetch))
    for patch in patches_for(spot, x.patches):
        if patch.machine is not None and patch.machine.id != spot.machine.id:
            message = (
                f"The patch on {spot.id} was sanded with {patch.machine.title}, and {spot.machine.title} is planned: "
                "it may leave another pattern. Try again with the machine of the work."
            )
            ledger.find("patch-other-machine", "note", message, pointer="/patches", face=spot.id)


def say_last(
    spot: ResolvedFace, chosen: Chosen, uptake: Number | None, life: Number | None, ladder: Ladder, ledger: Ledger
) -> None:
    """Say where the last grade is finer than the finish likes, with what that takes off its uptake and its life."""
    if chosen.found is None or not spot.penetrating:
        return
    last = chosen.found.grades[-1]
    if ladder.sizes[last] > ladder.sizes[chosen.ends.coarsest] * ROOM:
        message = (
            f"{last} is coarser than {spot.id} is usually left ({chosen.ends.coarsest} at the coarsest): its scratches "
            "show and feel rough, and it takes up more."
        )
        ledger.find("last-too-coarse", "note", message, pointer="/last_grade", face=spot.id)
    if ladder.sizes[last] >= ladder.sizes[chosen.ends.finest] * (1 - 1e-9):
        return
    effect = ""
    if uptake is not None and life is not None:
        effect = (
            f" It takes up about {1 - spread.value(uptake):.0%} less than after the grade rates hold for, and lasts "
            f"about {1 - spread.value(life):.0%} less long."
        )
    message = f"{last} is finer than a penetrating finish on {spot.id} should follow ({chosen.ends.finest}).{effect}"
    ledger.find("last-too-fine", "warning", message, pointer="/last_grade", face=spot.id, finest=chosen.ends.finest)


def say_planes(done: Sequence[tuple[ResolvedFace, Chosen]], ladder: Ladder, ledger: Ledger) -> None:
    """Hold last grades and patterns against one another within each plane: a floor shows every difference."""
    floors = [(s, c.found.grades[-1]) for s, c in done if c.found is not None and s.face.part in ("field", "perimeter")]
    for place, (one, last) in enumerate(floors):
        for other, its_last in floors[place + 1 :]:
            alike = one.species == other.species and one.coating == other.coating
            if one.face.zone != other.face.zone and not alike:
                continue
            if abs(ladder.sizes[last] - ladder.sizes[its_last]) > 1e-3 * ladder.sizes[last]:
                _halo(one, other, f"{one.id} ends at {last}, {other.id} at {its_last}", ledger)
            elif one.face.zone == other.face.zone and _patterns_differ(one, other):
                what = (
                    f"{one.finisher.title} and {other.finisher.title} leave scratches of different pattern at one grade"
                )
                _halo(one, other, what, ledger)


def _halo(one: ResolvedFace, other: ResolvedFace, what: str, ledger: Ledger) -> None:
    message = (
        f"{what}: in one plane the edge between them shows once the finish is on. End both alike, and compare wet."
    )
    ledger.find("edge-halo", "warning", message, pointer=f"/faces/{other.place}", faces=[one.id, other.id])


def _patterns_differ(one: ResolvedFace, other: ResolvedFace) -> bool:
    a, b = one.finisher, other.finisher
    if a.id == b.id:
        return False
    if a.orbit is None or b.orbit is None or a.motion != b.motion:
        return True
    return max(a.orbit.si, b.orbit.si) > PATTERN * min(a.orbit.si, b.orbit.si)


def say_machines(x: Inputs, spots: Iterable[ResolvedFace], practice: SandingPractice, ledger: Ledger) -> None:
    """Say what helps and what does not: speed, pressure, and films that eat discs."""
    if x.pressing == "hard":
        message = (
            "Pressing harder is not counted as a faster cut: it barely raises it, and may stop an orbit and gouge. The "
            "weight of the machine is enough."
        )
        ledger.find("pressing-does-not-help", "note", message, pointer="/pressing")
    for spot in spots:
        if spot.speed is not None and spot.speed > FAST and spot.face.part in WALKED:
            message = (
                f"{spot.speed:.0%} of full speed on {spot.face.part}: begin in the middle of the range and look first."
            )
            ledger.find("speed-high", "note", message, pointer="/parts", part=spot.face.part)
        if spot.condition == "old-film" and practice.disc_life["film"].si < SHORT_LIFE:
            message = (
                f"A 150 mm disc lasts about {practice.disc_life['film'].si:g} m2 over an old film, for it clogs. Below "
                "1 m2 to a disc, strip the film first, or sand it hard only as a last step."
            )
            ledger.find("strip-first", "note", message, pointer="/condition")
