"""Where to begin and where to end: by patch, by the caller's word, or by the table of the practice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from latewood.calculators.abrasive_sequence.abrasive_grades import Ladder
from latewood.calculators.abrasive_sequence.fields import SandPatch
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.calculators.abrasive_sequence.work import passes_with
from latewood.declare import RecordLookup
from latewood.formulas import sequence
from latewood.provenance import Ledger
from latewood.records import GradeRange, SandingPractice
from latewood.rules.faces import WALKED

#: The ledger of the calculation, and what may be looked up.
Shared = tuple[Ledger, RecordLookup]

#: Passes above which a coarser grade is better: begin with the finest that does it in a pass, or two at most.
MOST_PASSES: Final = 2.0


@dataclass(frozen=True)
class Chosen:
    """The sequence of one face, or None; the way it would go, with what to fetch; trials, and what a patch measured."""

    found: sequence.Sequence | None
    way: tuple[str, ...]
    fetch: tuple[str, ...]
    ends: GradeRange
    trials: tuple[str, ...]
    next_trial: str | None = None
    patched_passes: int | None = None
    assumed: bool = False


class Chooser:
    """Finds sequences face by face, and remembers where each zone's field ends."""

    def __init__(self, x: Inputs, practice: SandingPractice, ladder: Ladder, limit: float, shared: Shared) -> None:
        self.x, self.practice, self.ladder, self.limit = x, practice, ladder, limit
        self.ledger, self.known = shared
        self.field_ends: dict[str, str] = {}
        self._starts: dict[tuple[str, str], str] = {}

    def choose(self, spot: ResolvedFace) -> Chosen:
        """Return the sequence of a face."""
        ends = ends_of(spot, self.practice)
        stock = self.ladder.at_hand(spot.machine)
        sizes = self.ladder.reachable()
        for id in (ends.preferred, *self._asked(spot)):
            sizes.setdefault(id, self.ladder.sizes[id])
        last = self._last(spot, ends, stock)
        tried = self._trial(spot, ends, stock, sizes)
        chosen = self._begin(spot, ends, stock, sizes, last, tried)
        if spot.face.part == "field" and chosen.found is not None:
            self.field_ends[spot.face.zone] = chosen.found.grades[-1]
        return chosen

    def _asked(self, spot: ResolvedFace) -> list[str]:
        grades = [self.x.first_grade, self.x.last_grade]
        if spot.choice is not None:
            grades += [spot.choice.first_grade, spot.choice.last_grade]
        grades += [patch.grade for patch in patches_for(spot, self.x.patches)]
        return [grade.id for grade in grades if grade is not None]

    def _last(self, spot: ResolvedFace, ends: GradeRange, stock: Sequence[str]) -> str:
        """Return the last grade; the perimeter ends as the field does, and stairs never finer than it."""
        part, field = spot.face.part, self.field_ends.get(spot.face.zone)
        own = spot.choice.last_grade if spot.choice is not None else None
        if own is None and part in WALKED:
            own = self.x.last_grade
        if own is None and part == "perimeter" and field is not None:
            return field
        nearest = self.ladder.nearest_within(stock, ends.preferred, ends.coarsest, ends.finest)
        last = own.id if own is not None else nearest or ends.preferred
        if part == "stair" and field is not None and self._finer(last, field):
            if own is not None:
                message = (
                    f"Stairs are never sanded finer than the floor they lead to, for they get slippery; {last} was "
                    f"asked for and {field} is planned."
                )
                self.ledger.find("stairs-finer", "warning", message, pointer=_place(spot), asked=last, planned=field)
            return field
        return last

    def _trial(
        self, spot: ResolvedFace, ends: GradeRange, stock: Sequence[str], sizes: Mapping[str, float]
    ) -> tuple[str, ...]:
        """Return grades to try, from the finest that may do to the first of the table; in stock only."""
        first = self._table_start(spot, stock)
        finest = self.ladder.nearest_within(stock, ends.finest, ends.coarsest, ends.finest)
        if first is None or finest is None or self._finer(first, finest):
            return tuple(dict.fromkeys(id for id in (finest, first) if id is not None))
        at_hand = {id: sizes[id] for id in stock if id in sizes}
        found = sequence.shortest(first, finest, at_hand, stock, self.limit)
        return (finest, first) if found is None else sequence.trials(found)

    def _table_start(self, spot: ResolvedFace, stock: Sequence[str]) -> str | None:
        """Return the first grade by condition and wood, from the stock: the finest that does it in few passes."""
        row = self.practice.start[spot.condition][spot.group]
        inside = list(self.ladder.within(stock, row.coarsest, row.finest))
        if not inside:
            return None
        key = (spot.id, spot.machine.id)
        if key not in self._starts:
            passes = passes_with(inside, self.x, spot, self.practice, self.ladder, self.known)
            self._starts[key] = next((id for id in inside if passes[id] <= MOST_PASSES), inside[-1])
        return self._starts[key]

    def _begin(
        self,
        spot: ResolvedFace,
        ends: GradeRange,
        stock: Sequence[str],
        sizes: dict[str, float],
        last: str,
        trials: tuple[str, ...],
    ) -> Chosen:
        patches = patches_for(spot, self.x.patches)
        done = self._settled(spot, patches)
        failed = [patch.grade.id for patch in patches if patch.grey_left]
        own = spot.choice.first_grade if spot.choice is not None else None
        own = own or self.x.first_grade
        base = Chosen(None, (), (), ends, trials)
        if own is not None:
            self._say_failed(spot, own.id, failed)
            return self._search(own.id, last, stock, sizes, base)
        if done:
            # The finest grade that did it: the trial began there because less is sanded away.
            best = min(done, key=lambda patch: patch.grade.grain_size.si)
            base = replace(base, patched_passes=best.passes)
            return self._search(best.grade.id, last, stock, sizes, base)
        if failed:
            coarsest = max(failed, key=lambda id: sizes[id])
            following = self._next(coarsest, trials, stock)
            if following is None:
                self._say_stuck(spot, coarsest)
                row = self.practice.start[spot.condition][spot.group]
                return replace(base, fetch=(row.coarsest,)) if row.coarsest not in stock else base
            base = replace(base, next_trial=following, assumed=True)
            return self._search(following, last, stock, sizes, base)
        start = self._table_start(spot, stock)
        row = self.practice.start[spot.condition][spot.group]
        base = replace(base, assumed=True, next_trial=trials[0] if trials else None)
        if start is None:
            # Nothing at hand will do: what to fetch is what would be begun with, had one the choice.
            start = self._table_start(spot, list(sizes)) or row.preferred
            sizes.setdefault(start, self.ladder.sizes[start])
        # A surface that would bear a finer start than the last grade gets the last grade alone: planes end alike.
        return self._search(last if self._finer(start, last) else start, last, stock, sizes, base)

    def _settled(self, spot: ResolvedFace, patches: Sequence[SandPatch]) -> list[SandPatch]:
        """Return the patches that came clean, but for those another belies: as coarse, as many passes, grey left."""
        clean = [patch for patch in patches if not patch.grey_left]
        grey = [patch for patch in patches if patch.grey_left]
        belied = [(one, other) for one in clean for other in grey if _belies(other, one)]
        if belied:
            one, other = belied[0]
            message = (
                f"Patches on {spot.id} disagree: {one.grade.id} left no grey, and {other.grade.id} left some in no "
                "fewer passes. A deck weathers unevenly; the worse spot counts."
            )
            self.ledger.find("patches-disagree", "warning", message, pointer="/patches", face=spot.id)
        return [one for one in clean if not any(one is doubted for doubted, _ in belied)]

    def _next(self, coarsest_failed: str, trials: Sequence[str], stock: Sequence[str]) -> str | None:
        """Return the next coarser trial; after the last of them, the next coarser grade in stock."""
        coarser = [id for id in trials if self._finer(coarsest_failed, id)]
        if not coarser:
            coarser = [id for id in stock if self._finer(coarsest_failed, id)]
        return min(coarser, key=lambda id: (self.ladder.sizes[id], id), default=None)

    def _search(self, start: str, last: str, stock: Sequence[str], sizes: Mapping[str, float], base: Chosen) -> Chosen:
        """Return the shortest sequence; where a patch did it with a finer grade than the last, that one alone."""
        if self._finer(start, last):
            last = start
        found = sequence.shortest(start, last, sizes, stock, self.limit)
        if found is None:
            return base
        return replace(base, found=None if found.fetch else found, way=found.grades, fetch=found.fetch)

    def _finer(self, one: str, other: str) -> bool:
        return self.ladder.sizes[one] < self.ladder.sizes[other] * (1 - 1e-9)

    def _say_failed(self, spot: ResolvedFace, own: str, failed: Sequence[str]) -> None:
        if any(not self._finer(id, own) for id in failed):
            message = (
                f"{own} was asked for to begin with on {spot.id}, and a patch with {' and '.join(failed)} left grey "
                "there. Begin coarser: a finish over left grey goes dark and blotchy."
            )
            self.ledger.find("first-grade-failed", "warning", message, pointer="/patches", face=spot.id, grade=own)

    def _say_stuck(self, spot: ResolvedFace, grade: str) -> None:
        message = (
            f"{grade} still left grey or film on {spot.id}, and nothing coarser is at hand. Do not coat over it: fetch "
            "a coarser grade, or take the film off by another route."
        )
        self.ledger.find("patch-not-enough", "warning", message, pointer="/patches", face=spot.id, grade=grade)


def ends_of(spot: ResolvedFace, practice: SandingPractice) -> GradeRange:
    """Return where a face may end: by what is put on, by the wood, and by who touches it."""
    if spot.face.part == "end-grain":
        return practice.last["end-grain"]
    if not spot.penetrating:
        return practice.last["film"]
    if spot.face.part == "guard":
        return practice.last["rail"]
    return practice.last[f"penetrating-{spot.group}"]


def patches_for(spot: ResolvedFace, patches: Sequence[SandPatch]) -> list[SandPatch]:
    """Return the patches that speak of a face: of its zone and part, or of the floor where no part is named."""
    face = spot.face
    return [
        patch
        for patch in patches
        if patch.zone in (None, face.zone)
        and (patch.part == face.part or (patch.part is None and face.part in ("field", "perimeter")))
    ]


def _belies(grey: SandPatch, clean: SandPatch) -> bool:
    """Say whether grey left by one patch speaks against another that came clean, with one machine or not told apart."""
    told_apart = grey.machine is not None and clean.machine is not None and grey.machine.id != clean.machine.id
    as_coarse = grey.grade.grain_size.si >= clean.grade.grain_size.si * (1 - 1e-9)
    return not told_apart and as_coarse and grey.passes >= clean.passes


def _place(spot: ResolvedFace) -> str:
    return "/parts" if spot.choice is not None else "/last_grade"
