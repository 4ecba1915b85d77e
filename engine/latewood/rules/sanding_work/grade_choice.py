"""Where to begin and where to end: by patch, by the caller's word, or by the table of the practice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from latewood.formulas import sequence
from latewood.provenance import Ledger
from latewood.records import GradeRange, SandingPractice
from latewood.rules.faces import FLOOR, WALKED
from latewood.rules.sanding_work.fields import SandPatch
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sanding_work.work import passes_with

#: Passes above which a coarser grade is better: begin with the finest that does it in a pass, or two at most.
MOST_PASSES: Final = 2.0


@dataclass(frozen=True)
class Chosen:
    """The sequence of one face, or None; the way it would go, with what to fetch; trials, and what a patch measured.

    ``finer_stairs`` are the last grade asked for on stairs and the one they get. ``belied`` are two patches that
    disagree, the first clean; ``failed`` are the first grade asked for and patches as coarse that left grey; ``stuck``
    is the coarsest that left some where nothing coarser is at hand.
    """

    found: sequence.Sequence | None
    way: tuple[str, ...]
    fetch: tuple[str, ...]
    ends: GradeRange
    trials: tuple[str, ...]
    next_trial: str | None = None
    patched_passes: int | None = None
    assumed: bool = False
    finer_stairs: tuple[str, str] | None = None
    belied: tuple[SandPatch, SandPatch] | None = None
    failed: tuple[str, list[str]] | None = None
    stuck: str | None = None


class Chooser:
    """Finds sequences face by face, and remembers where each zone's field ends."""

    def __init__(self, method: Method) -> None:
        self.method, self.practice, self.ladder = method, method.practice, method.ladder
        self.field_ends: dict[str, str] = {}
        self._aside = Ledger.scratch()

    def choose(self, face: SandedFace) -> Chosen:
        """Return the sequence of a face."""
        ends = ends_of(face, self.practice)
        stock = self.ladder.at_hand(face.machine)
        sizes = self.ladder.reachable()
        for id in (ends.preferred, *self._asked(face)):
            sizes.setdefault(id, self.ladder.sizes[id])
        last, finer = self._last(face, ends, stock)
        base = Chosen(None, (), (), ends, self._trial(face, ends, stock, sizes), finer_stairs=finer)
        chosen = self._begin(face, stock, sizes, last, base)
        if face.part == "field" and chosen.found is not None:
            self.field_ends[face.zone] = chosen.found.grades[-1]
        return chosen

    def _asked(self, face: SandedFace) -> list[str]:
        grades = [patch.grade for patch in patches_for(face, self.method.patches)]
        if face.choice is not None:
            grades += [one for one in (face.choice.first_grade, face.choice.last_grade) if one is not None]
        asked = (self.method.first_grade, self.method.last_grade)
        return [*(id for id in asked if id is not None), *(grade.id for grade in grades)]

    def _last(self, face: SandedFace, ends: GradeRange, stock: Sequence[str]) -> tuple[str, tuple[str, str] | None]:
        """Return the last grade, and what was asked for finer: the perimeter ends as the field, stairs no finer."""
        field, choice = self.field_ends.get(face.zone), face.choice
        own = None if choice is None or choice.last_grade is None else choice.last_grade.id
        if own is None and face.part in WALKED:
            own = self.method.last_grade
        if own is None and face.part == "perimeter" and field is not None:
            return field, None
        nearest = self.ladder.nearest_within(stock, ends.preferred, ends.coarsest, ends.finest)
        last = own or nearest or ends.preferred
        if face.part == "stair" and field is not None and self._finer(last, field):
            return field, None if own is None else (last, field)
        return last, None

    def _trial(
        self, face: SandedFace, ends: GradeRange, stock: Sequence[str], sizes: Mapping[str, float]
    ) -> tuple[str, ...]:
        """Return grades to try, from the finest that may do to the first of the table; in stock only."""
        first = self._table_start(face, stock)
        finest = self.ladder.nearest_within(stock, ends.finest, ends.coarsest, ends.finest)
        if first is None or finest is None or self._finer(first, finest):
            return tuple(dict.fromkeys(id for id in (finest, first) if id is not None))
        at_hand = {id: sizes[id] for id in stock if id in sizes}
        found = self._shortest(first, finest, at_hand, stock)
        return (finest, first) if found is None else sequence.trials(found)

    def _table_start(self, face: SandedFace, stock: Sequence[str]) -> str | None:
        """Return the first grade by condition and wood, from the stock: the finest that does it in few passes."""
        row = self.practice.start[face.condition][face.group]
        inside = list(self.ladder.within(stock, row.coarsest, row.finest))
        if not inside:
            return None
        passes = self._aside.once(
            (passes_with, *inside, face.wood, face.condition), passes_with, inside, face, self.method, self._aside
        )
        return next((id for id in inside if passes[id] <= MOST_PASSES), inside[-1])

    def _begin(
        self, face: SandedFace, stock: Sequence[str], sizes: dict[str, float], last: str, base: Chosen
    ) -> Chosen:
        patches = patches_for(face, self.method.patches)
        done, belied = _settled(patches)
        base = replace(base, belied=belied)
        failed = [patch.grade.id for patch in patches if patch.grey_left]
        choice = face.choice
        own = self.method.first_grade if choice is None or choice.first_grade is None else choice.first_grade.id
        if own is not None:
            if any(not self._finer(id, own) for id in failed):
                base = replace(base, failed=(own, failed))
            return self._search(own, last, stock, sizes, base)
        if done:
            # The finest grade that did it: the trial began there because less is sanded away.
            best = min(done, key=lambda patch: patch.grade.grain_size.si)
            base = replace(base, patched_passes=best.passes)
            return self._search(best.grade.id, last, stock, sizes, base)
        if failed:
            coarsest = max(failed, key=lambda id: sizes[id])
            following = self._next(coarsest, base.trials, stock)
            if following is None:
                base = replace(base, stuck=coarsest)
                row = self.practice.start[face.condition][face.group]
                return replace(base, fetch=(row.coarsest,)) if row.coarsest not in stock else base
            base = replace(base, next_trial=following, assumed=True)
            return self._search(following, last, stock, sizes, base)
        start = self._table_start(face, stock)
        row = self.practice.start[face.condition][face.group]
        base = replace(base, assumed=True, next_trial=base.trials[0] if base.trials else None)
        if start is None:
            # Nothing at hand will do: what to fetch is what would be begun with, had one the choice.
            start = self._table_start(face, list(sizes)) or row.preferred
            sizes.setdefault(start, self.ladder.sizes[start])
        # A surface that would bear a finer start than the last grade gets the last grade alone: planes end alike.
        return self._search(last if self._finer(start, last) else start, last, stock, sizes, base)

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
        found = self._shortest(start, last, sizes, stock)
        if found is None:
            return base
        return replace(base, found=None if found.fetch else found, way=found.grades, fetch=found.fetch)

    def _shortest(
        self, start: str, last: str, sizes: Mapping[str, float], stock: Sequence[str]
    ) -> sequence.Sequence | None:
        key = sequence.shortest, start, last, tuple(sizes), tuple(stock)
        return self._aside.once(key, sequence.shortest, start, last, sizes, stock, self.method.largest_ratio)

    def _finer(self, one: str, other: str) -> bool:
        return self.ladder.sizes[one] < self.ladder.sizes[other] * (1 - 1e-9)


def ends_of(face: SandedFace, practice: SandingPractice) -> GradeRange:
    """Return where a face may end: by what is put on, by the wood, and by who touches it."""
    if face.part == "end-grain":
        return practice.last["end-grain"]
    if not face.penetrating:
        return practice.last["film"]
    if face.part == "guard":
        return practice.last["rail"]
    return practice.last[f"penetrating-{face.group}"]


def patches_for(face: SandedFace, patches: Sequence[SandPatch]) -> list[SandPatch]:
    """Return the patches that hold for a face: of its zone and part, or of the floor where no part is named."""
    return [patch for patch in patches if face.trials_hold and tried_on(face, patch)]


def tried_on(face: SandedFace, patch: SandPatch) -> bool:
    """Say whether a patch lies on a face."""
    return patch.zone in (None, face.zone) and (patch.part == face.part or (patch.part is None and face.part in FLOOR))


def _settled(patches: Sequence[SandPatch]) -> tuple[list[SandPatch], tuple[SandPatch, SandPatch] | None]:
    """Return the patches that came clean, but for those another belies: as coarse, as many passes, grey left.

    With them the first two that disagree.
    """
    clean = [patch for patch in patches if not patch.grey_left]
    belied = [(one, other) for one in clean for other in patches if other.grey_left and _belies(other, one)]
    kept = [one for one in clean if not any(one is doubted for doubted, _ in belied)]
    return kept, belied[0] if belied else None


def _belies(grey: SandPatch, clean: SandPatch) -> bool:
    """Say whether grey left by one patch speaks against another that came clean, with one machine or not told apart."""
    told_apart = grey.machine is not None and clean.machine is not None and grey.machine.id != clean.machine.id
    as_coarse = grey.grade.grain_size.si >= clean.grade.grain_size.si * (1 - 1e-9)
    return not told_apart and as_coarse and grey.passes >= clean.passes
