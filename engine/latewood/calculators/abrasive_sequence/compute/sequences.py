"""The sequence of each face: its grades, what they come to, and what the last of them does to the finish."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from latewood.calculators.abrasive_sequence.resolved import Refusal, Resolved
from latewood.calculators.abrasive_sequence.result import SandRow
from latewood.formulas import grain, removal
from latewood.provenance import Ledger
from latewood.rules.sanding_work.grade_choice import Chooser, Chosen
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sanding_work.work import Work, work
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Sequenced:
    """What came of one face: its grades and work, or what refuses it."""

    face: SandedFace
    refusal: Refusal | None = None
    chosen: Chosen | None = None
    made: Work | None = None
    uptake: Number | None = None
    relative_life: Number | None = None

    @property
    def grades(self) -> tuple[str, ...]:
        """The grades it is sanded with; none where it is not."""
        return () if self.chosen is None or self.chosen.found is None else self.chosen.found.grades


def sequences(r: Resolved, ledger: Ledger) -> list[Sequenced]:
    """Return the sequences of all faces."""
    chooser = Chooser(r.method)
    return [_sequence(r, face, chooser, ledger) for face in r.faces]


def _sequence(r: Resolved, face: SandedFace, chooser: Chooser, ledger: Ledger) -> Sequenced:
    if (refusal := r.refusals.get(face.id)) is not None:
        return Sequenced(face, refusal)
    chosen = chooser.choose(face)
    if chosen.found is None:
        return Sequenced(face, chosen=chosen)
    grades, sizes = chosen.found.grades, r.method.ladder.sizes
    made = work(face, grades, chosen.patched_passes, r.method, ledger)
    uptake, life = _effect(face, grades[-1], r.method, ledger)
    r.method.ladder.take(grades, ledger)
    for coarser, finer in pairwise(grades):
        about = f"{face.id}, {coarser} to {finer}"
        ledger.step(grain.size_ratio, about, coarser=sizes[coarser], finer=sizes[finer])
    return Sequenced(face, None, chosen, made, uptake, life)


def rows(done: Iterable[Sequenced]) -> tuple[SandRow, ...]:
    """Return the rows of all faces, in the order in which they were given."""
    return tuple(_row(one) for one in sorted(done, key=lambda one: one.face.place))


def _row(one: Sequenced) -> SandRow:
    """Return the row of a face: its sequence, what the last grade does to the finish, and what the work comes to."""
    face, chosen, made = one.face, one.chosen, one.made
    found = None if chosen is None else chosen.found
    return SandRow(
        id=face.id,
        zone=face.zone,
        part=face.part,
        item=face.item,
        status="refused" if chosen is None else "impossible" if found is None else "planned",
        machine=face.machine,
        sequence="" if chosen is None else ", ".join(chosen.way),
        worst_ratio=None if found is None or len(found.grades) < 2 else found.worst_ratio,
        fetch=None if chosen is None else ", ".join(chosen.fetch) or None,
        trials=None if chosen is None else ", ".join(chosen.trials) or None,
        next_trial=None if chosen is None else chosen.next_trial,
        layer=None if made is None else made.layer,
        removal=None if made is None else made.removal,
        uptake=one.uptake,
        relative_life=one.relative_life,
        steps=() if made is None else made.steps,
        time=None if made is None else made.time,
        dust_mass=None if made is None else made.dust_mass,
    )


def _effect(face: SandedFace, last: str, method: Method, ledger: Ledger) -> tuple[Number | None, Number | None]:
    """Return what the last grade does to uptake and life of a penetrating finish, beside the grade rates hold for."""
    coating, practice, sizes = face.coating, method.practice, method.ladder.sizes
    if coating is None or coating.film or coating.bare or face.species is None:
        return None, None
    rate = coating.spreading.get("sanded", {}).get(face.species.absorbency)
    if rate is None:
        return None, None
    uptake = ledger.step(
        removal.relative_uptake,
        face.id,
        grain_size=sizes[last],
        reference_size=sizes[practice.uptake_grade],
        scratch_share=ledger.take(practice.scratch_share),
        spreading_rate=ledger.take(rate),
    )
    gain = ledger.take(practice.life_gain)
    return uptake, ledger.step(removal.relative_life, face.id, uptake=uptake, gain=gain)
