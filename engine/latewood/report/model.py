"""What the report of a plan holds, in the order of its pages. Every text is written in the language asked for."""

from __future__ import annotations

from msgspec import Struct


class Reason(Struct, frozen=True):
    """Why a verdict is what it is, with its parts where they are not all of the verdict's."""

    text: str
    where: str = ""


class Verdict(Struct, frozen=True):
    """A verdict on a phase of work: its word says go, wait or stop, and whether it was judged at all."""

    verdict: str
    words: str
    where: str
    reasons: tuple[Reason, ...]


class Task(Struct, frozen=True):
    """What is done before any work: a stop that is lifted, a question that is answered, a field that is given."""

    text: str
    where: str = ""
    how: str = ""
    blocks: str = ""
    give: str = ""
    #: Whether it is a question, which asks for its own answer.
    asked: bool = False


class Said(Struct, frozen=True):
    """A danger, a warning or a note with all its parts; `brief` holds what is always shown, `do` all its lines."""

    id: str
    severity: str
    text: str
    where: str = ""
    why: str = ""
    brief: tuple[str, ...] = ()
    do: tuple[str, ...] = ()


class Purchase(Struct, frozen=True):
    """What to buy, how sure the amount is, and what stands before buying it."""

    kind: str
    title: str
    amount: str
    details: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    #: What lines of one kind are listed under, and what names a line among them.
    group: str = ""
    short: str = ""


class Row(Struct, frozen=True):
    """A line of hours, in tenths that add up, with the range that eight jobs in ten stay in."""

    label: str
    hours: str
    span: str = ""


class Work(Struct, frozen=True):
    """A piece of work with its hours; the rows below it add up to them. `after` says how long the wood then waits."""

    label: str
    hours: str
    rows: tuple[Row, ...] = ()
    after: tuple[str, ...] = ()


class Assumption(Struct, frozen=True):
    """A value that was not given, and how far another one moves which output."""

    text: str
    effect: str = ""
    taken: bool = True


class Open(Struct, frozen=True):
    """A step that is not planned: why, and the fields that unlock it."""

    label: str
    why: str
    fields: str = ""


class Report(Struct, frozen=True, kw_only=True):
    """All that the pages say."""

    title: str
    parts: str
    verdicts: tuple[Verdict, ...]
    start: tuple[str, ...]
    tasks: tuple[Task, ...]
    dangers: tuple[Said, ...]
    warnings: tuple[Said, ...]
    #: What stands at the end of every caution's lines.
    caution_end: str
    purchases: tuple[Purchase, ...]
    routes: tuple[str, ...]
    work: tuple[Work, ...]
    person_hours: str
    elapsed: tuple[str, ...]
    hand_over: tuple[str, ...]
    waste: tuple[Said, ...]
    assumed: tuple[Assumption, ...]
    notes: tuple[Said, ...]
    not_planned: tuple[Open, ...]
