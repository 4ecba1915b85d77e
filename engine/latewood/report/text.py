"""A report as plain text: no line is wider than asked, and a page folds only as far as its number of lines asks.

Verdicts, questions and tasks, and each danger and warning with all its parts and its brief, stand on every page. All
that a caution says to do stands on the full page.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from typing import Final

from latewood.messages import Code, Count, Speaker, clause
from latewood.messages.quantities import SPACE
from latewood.report.bought import Bought
from latewood.report.labels import beside
from latewood.report.lines import Fold
from latewood.report.model import Reason, Report, Said, Work

#: Lines of a page that is not shown in full.
_MOST: Final = 120


def text(report: Report, speaker: Speaker, *, width: int, full: bool = False) -> str:
    """Return a report as text, with everything or folded until it is short enough."""
    folds = [Fold(full=True)] if full else [*_folds(report)]
    # Each fold is as short as the one before it or shorter: the first that fits is found by halves.
    last = len(folds) - 1
    at = bisect_left(folds, True, hi=last, key=lambda fold: len(_lines(report, speaker, width, fold)) <= _MOST)
    return "\n".join(_lines(report, speaker, width, folds[at])) + "\n"


def _lines(report: Report, speaker: Speaker, width: int, fold: Fold) -> list[str]:
    # Wrapped with the spaces that keep a number beside its unit; shown with plain ones, which a search finds.
    return [line.rstrip().replace(SPACE, " ") for line in _Page(report, speaker, width, fold).lines()]


def _folds(report: Report) -> Iterator[Fold]:
    """Yield folds, the widest first: what explains goes first, the largest assumption goes last."""
    yield Fold()
    for notes in range(len(report.notes), -1, -1):
        yield Fold(notes=notes)
    yield Fold(notes=0, rows=False)
    for assumed in (3, 2, 1):
        yield Fold(notes=0, rows=False, assumed=assumed)
    yield Fold(notes=0, rows=False, assumed=1, fields=False)
    yield Fold(notes=0, rows=False, assumed=1, fields=False, apart=False)
    yield Fold(notes=0, rows=False, assumed=1, fields=False, apart=False, parts=False)
    yield Fold(notes=0, rows=False, assumed=0, fields=False, apart=False, parts=False)


def _placed(text: str, where: str) -> str:
    """Return a text with its parts after it, where it does not begin with them."""
    return text if text.casefold().startswith(f"{where}:".casefold()) else beside(text, where)


class _Page(Bought):
    def lines(self) -> Iterator[str]:
        yield from self._screen()
        yield from self._tasks()
        for count, said in enumerate(self.report.dangers):
            yield from self._caution(said, apart=not count or self.fold.apart)
        yield from self._warnings()
        if self.report.caution_end:
            yield from self._hang("", self.report.caution_end)
        yield from self.bought()
        yield from self._worked()
        yield from self._listed("hand-over", self.report.hand_over)
        if self.fold.full:
            yield from self._wasted()
        yield from self._assumed()
        notes = self.report.notes[: self.fold.notes]
        yield from self._listed("notes", [_placed(one.text, one.where) for one in notes])
        yield from self._head("not-planned", self.report.not_planned)
        left = [(one.label, one.fields or one.why) for one in self.report.not_planned]
        if self.fold.parts:
            for label, asked in left:
                yield from self._sides(label, asked)
        else:
            yield from self._hang("", "; ".join(f"{label}: {asked}" for label, asked in left))
        yield ""
        yield from self._rest()

    def _screen(self) -> Iterator[str]:
        """Yield the first screen: verdicts, start, first task, worst danger, and purchases of finish."""
        page = self.report
        yield from self._hang("", page.title)
        if page.parts and self.fold.parts:
            yield from self._hang("", page.parts)
        yield ""
        if not page.verdicts:
            yield from self._hang("", self._say("report-no-verdict"), 2)
        # Verdicts of one word for the same parts and reasons are said together.
        alike: dict[tuple[str, str, tuple[Reason, ...]], list[str]] = {}
        for one in page.verdicts:
            alike.setdefault((one.verdict, one.where, one.reasons), []).append(one.words)
        for (_, where, given), words in alike.items():
            head = f"{beside('; '.join(words), where)}:"
            reasons = [beside(one.text, one.where) for one in given]
            listed = [*self._hang("", head), *(line for reason in reasons for line in self._hang("- ", reason))]
            yield from min(self._hang(f"{head} ", "; ".join(reasons), 2), listed, key=len)
        yield from self._hang(f"{self._word('start')}: ", "; ".join(page.start), 2)
        if page.tasks:
            task = page.tasks[0]
            # What a question asks says enough; a stop says what to do, a step without a verdict what to give.
            first = " ".join(filter(None, (task.text, "" if task.asked else task.how or task.give)))
        else:
            first = page.work[0].label if page.work else ""
        if first:
            yield from self._hang(f"{self._word('first')}: ", first, 2)
        worst = [*page.dangers, *page.warnings]
        if worst:
            label = self._word("danger" if page.dangers else "warning")
            more = len(page.dangers or page.warnings) - 1
            yield from self._hang(f"{label}: ", worst[0].text + (f"; +{more}" if more else ""), 2)
        for bought in page.purchases:
            if bought.kind == "finish":
                yield from self._hang(f"{self._word('buy')}: ", f"{bought.amount}, {bought.title}", 2)
                below = len(bought.conditions) - 1
                rest = [self._say("report-more", more=Count(below))] if below > 0 else []
                yield from self._conditions([*bought.conditions[:1], *rest])

    def _tasks(self) -> Iterator[str]:
        """Yield what is done first; what all questions block is said once."""
        page = self.report
        yield from self._head("do-first", page.tasks)
        shared = [*dict.fromkeys(one.blocks for one in page.tasks if one.blocks)]
        told: set[str] = set()
        for count, task in enumerate(page.tasks, 1):
            # What several stops ask for is said with the first.
            how = "" if task.how in told and not task.asked else task.how
            told.add(task.how)
            where = [self._say("report-where", parts=Code(task.where)) + "."] if task.where else []
            blocks = [task.blocks] if task.blocks and len(shared) > 1 else []
            # A question that is answered on the deck asks for itself.
            give = [task.give] if self.fold.fields or not task.asked else []
            said = (task.text, *where, how, *blocks, *give)
            yield from self._hang(f"{count} ", " ".join(filter(None, said)), 2)
        if len(shared) == 1:
            yield from self._hang("", shared[0])

    def _caution(self, said: Said, *, apart: bool = True) -> Iterator[str]:
        """Yield a danger or a warning with all its parts and its brief, in full with why and all it says to do."""
        severity = self._word("danger" if said.severity in ("stop", "danger") else "warning")
        if apart:
            yield ""
        yield from self._hang("", f"{severity}: {said.text}".upper() if said.do else f"{severity}: {said.text}")
        if said.where:
            yield from self._hang("  ", self._say("report-where", parts=Code(said.where)))
        if self.fold.full and said.why:
            yield from self._hang("  ", said.why)
        for line in said.do if self.fold.full else said.brief:
            yield from self._hang("- ", line)

    def _warnings(self) -> Iterator[str]:
        """Yield warnings in lists by their parts; in full cautions stand each with its lines."""
        page = self.report
        apart = [one for one in page.warnings if one.do and self.fold.full]
        for said in apart:
            yield from self._caution(said)
        grouped: dict[str, list[str]] = {}
        for said in page.warnings:
            if said not in apart:
                text = ". ".join((said.text, " ".join(said.brief))) if said.brief else said.text
                grouped.setdefault(said.where, []).append(text)
        yield from self._head("warnings", grouped)
        for where, texts in sorted(grouped.items(), key=lambda row: len(row[1]) > 1):
            if len(texts) == 1:
                yield from self._hang("- ", _placed(texts[0], where))
                continue
            if where:
                yield from self._hang("", f"{self._say('report-where', parts=Code(where))}", 2)
            for one in texts:
                yield from self._hang("- ", one)

    def _worked(self) -> Iterator[str]:
        page = self.report
        if page.work:
            yield ""
            yield from self._sides(self._word("work").upper(), self._word("hours").upper())
            if self.fold.full:
                yield from self._sides("", self._word("range"))
        else:
            yield from self._head("work", (*page.routes, *page.elapsed))
        if page.routes:
            yield from self._hang(f"{self._word('route')}: ", "; ".join(page.routes), 2)
        for work in page.work:
            yield from self._piece(work)
            for line in work.after:
                yield from self._hang("  ", line)
        if page.work:
            yield from self._sides(self._word("total"), page.person_hours)
        for line in page.elapsed:
            yield from self._hang("", line, 2)

    def _piece(self, work: Work) -> Iterator[str]:
        if not (self.fold.rows or self.fold.full) or len(work.rows) < 2:
            yield from self._sides(work.label, work.hours)
            if self.fold.full:
                yield from self._sides("", work.rows[0].span)
            return
        yield from self._hang("", f"{work.label}:")
        for row in work.rows:
            hours = beside(row.hours, row.span if self.fold.full else "")
            yield from self._sides(f"  {row.label}", hours)

    def _wasted(self) -> Iterator[str]:
        yield from self._head("waste", self.report.waste)
        for said in self.report.waste:
            yield from self._hang("", beside(said.text, said.why), 2)
            for line in said.do:
                yield from self._hang("- ", line)

    def _assumed(self) -> Iterator[str]:
        taken = [one for one in self.report.assumed if one.taken]
        shown = taken[: self.fold.assumed]
        yield from self._head("assumed", shown)
        for one in shown:
            yield from self._sides(one.text, one.effect)
        if self.fold.full:
            others = [one for one in self.report.assumed if not one.taken]
            yield from self._head("elsewhere", others)
            for one in others:
                yield from self._sides(one.text, one.effect)

    def _rest(self) -> Iterator[str]:
        page, fold = self.report, self.fold
        lines = 0 if fold.full else sum(len(one.do) - len(one.brief) for one in (*page.dangers, *page.warnings))
        notes = len(page.notes[fold.notes :])
        taken = [one for one in page.assumed if one.taken]
        assumed = 0 if fold.full else len(page.assumed) - len(taken[: fold.assumed])
        left = [
            *([clause("report-left-lines", lines=Count(lines))] if lines else []),
            *([clause("report-left-notes", notes=Count(notes))] if notes else []),
            *([clause("report-left-assumed", assumed=Count(assumed))] if assumed else []),
        ]
        folded = [self._say("report-folded", parts=left)] if left else []
        yield from self._hang("", " ".join((*folded, self._say("report-rest"))))
