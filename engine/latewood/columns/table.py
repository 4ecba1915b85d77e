"""One calculator applied to every row of a table that arrives in pieces; rows leave as they are answered."""

from __future__ import annotations

import re
from codecs import BOM_UTF8
from collections.abc import Iterator, Sequence
from typing import Final

from latewood.columns import decimal_mark, guard, header
from latewood.columns.answerer import Answerer, Asked, Form, Gained, rows_of
from latewood.columns.choices import Choices
from latewood.columns.column_units import is_unit_row, take_units, takes_decimals
from latewood.columns.rows import Registry
from latewood.columns.splitter import Row, Splitter, Text
from latewood.declare import Calculator
from latewood.messages import Code, Count, malformed, refusal
from latewood.problems import Fault, InputProblem
from latewood.wire import struct_reader

_FIRST_LINE = re.compile(r"[^\r\n]*")
#: The longest header, in characters.
MAX_HEADER: Final = 65_536
#: How many rows, and how many characters of them, are looked at for the decimal mark before one is answered.
SAMPLE_ROWS: Final = 100
SAMPLE_TEXT: Final = 262_144


class Table:
    """Takes the bytes of a table and gives those of its answer, in the same form.

    Faults of the header raise `InputProblem` or `Malformed` before anything is given; a row's own are written in it.
    `feed` and `finish` answer the rows as well; who answers them elsewhere asks `ask` and `rest`, and gives what
    they gained to `line`, in order.
    """

    def __init__(self, calculator: Calculator, shelf: Registry, choices: Choices) -> None:
        self.header: header.Header | None = None
        self.answered = self.refused = 0
        self._calculator = calculator
        self._shelf = shelf
        self._choices = choices
        self._reader = struct_reader(calculator.inputs)
        self._rows = rows_of(calculator, shelf, choices)
        self._form: Form | None = None
        self._answerer: Answerer | None = None
        self._names: tuple[str, ...] = ()
        self._units: tuple[str, ...] = ()
        self._text = Text()
        self._head = ""
        self._splitter: Splitter | None = None
        self._sample = _Sample()
        self._started = False
        self._delimiter = choices.delimiter or ","
        self._decimal: decimal_mark.Mark = choices.decimal or "."
        self._sure = choices.decimal is not None

    def feed(self, piece: bytes) -> Iterator[bytes]:
        """Yield the rows that can be answered now, each when it is asked for. To be exhausted before the next piece."""
        return self._answered(self.ask(piece))

    def finish(self) -> Iterator[bytes]:
        """Yield the rows that are left once everything has been fed."""
        return self._answered(self.rest())

    def ask(self, piece: bytes) -> Iterator[bytes | Asked]:
        """Yield what is written already and what is to be answered, in order. To be exhausted before the next piece."""
        return self._take(self._text.decode(piece), final=False)

    def rest(self) -> Iterator[bytes | Asked]:
        """Yield the same for what is left once everything has been fed."""
        return self._take(self._text.decode(b"", final=True), final=True)

    @property
    def form(self) -> Form:
        """The form of the table; known before a row is asked."""
        if self._form is None:
            self._form = Form(self._calculator.id, self._choices, self._names, self._units, self._decimal)
        return self._form

    def line(self, asked: Asked, gained: Gained) -> bytes:
        """Return a row that was asked, with what it gained."""
        self.answered += not gained.refused
        self.refused += gained.refused
        return self._line(asked.cells, gained.cells)

    def refusal(self, fault: Fault) -> Gained:
        """Return what a row gains that nobody could answer."""
        return Gained(self._rows.refused([fault], self._decimal), refused=True)

    def _answered(self, items: Iterator[bytes | Asked]) -> Iterator[bytes]:
        for item in items:
            if isinstance(item, bytes):
                yield item
                continue
            if self._answerer is None:
                self._answerer = Answerer(self._calculator, self._shelf, self.form)
            yield self.line(item, self._answerer.answer(item))

    def stop(self, fault: Fault) -> bytes:
        """Return a last row that says why nothing after it was read."""
        return self._line([], self._refused_cells([fault]))

    def _take(self, text: str, *, final: bool) -> Iterator[bytes | Asked]:
        for row in self._split(text, final=final):
            if self._started:
                yield self._ask(row)
            elif self._sample.add(row, self.header) or self._settled():
                yield from self._start()
        if final and not self._started:
            yield from self._start()

    def _split(self, text: str, *, final: bool) -> Iterator[Row]:
        """Yield rows; the first is read as the header."""
        if self._splitter is not None:
            yield from self._splitter.feed(text, final=final)
            return
        self._head += text
        splitter = self._find_header(final=final)
        if splitter is None:
            return
        rows = splitter.feed(self._head, final=final)
        self.header = self._read_header(next(rows, Row(1, [])))
        self._splitter = splitter
        self._delimiter = splitter.delimiter
        self._sure = self._sure or self._delimiter == ","
        self._head = ""
        yield from rows

    def _find_header(self, *, final: bool) -> Splitter | None:
        """Return a splitter for the table, once the whole header is there."""
        if "\x00" in _FIRST_LINE.match(self._head)[0]:  # type: ignore[index]  # it matches anything
            raise malformed("table-with-nul")
        delimiter = self._choices.delimiter or header.delimiter_of(self._head, self._reader, final=final)
        if delimiter is not None and (final or next(Splitter(delimiter).feed(self._head), None) is not None):
            return Splitter(delimiter)
        if len(self._head) > MAX_HEADER:
            raise InputProblem([refusal("header-too-long", "", most=Count(MAX_HEADER))])
        return None

    def _read_header(self, row: Row) -> header.Header:
        if row.fault is not None and row.fault.id == "row-not-utf8":
            raise malformed("header-not-utf8")
        if row.fault is not None:
            raise InputProblem([row.fault])
        self._names = tuple(row.cells)
        return header.read(row.cells, self._reader, self._choices.carry, self._rows.headers())

    def _settled(self) -> bool:
        """Say whether the rows seen so far show all that must be known before one is answered."""
        return self._sure or bool(self._sample.certain)

    def _start(self) -> Iterator[bytes | Asked]:
        """Yield the header and every row held back."""
        assert self.header is not None  # noqa: S101  # there are no rows before it
        if not self._sure:
            self._sure = bool(self._sample.certain)
            self._decimal = self._sample.mark()
        rows = self._sample.rows
        units = self._unit_row(rows)
        self._started = True
        # Some spreadsheets know UTF-8 only by the mark: who sent it needs it back.
        mark = BOM_UTF8 if self._text.bom else b""
        yield mark + self._line(self.header.cells, self._rows.headers())
        if units:
            yield self._line(rows[0].cells, self._rows.blank)
        for row in rows[1:] if units else rows:
            yield self._ask(row)
        self._sample = _Sample()

    def _unit_row(self, rows: list[Row]) -> bool:
        """Say whether the first row holds units, and give them to their columns."""
        assert self.header is not None  # noqa: S101  # there are no rows before it
        stated = self._choices.unit_row
        whole = bool(rows) and rows[0].fault is None and len(rows[0].cells) == len(self.header.cells)
        if stated and not whole:
            raise InputProblem([refusal("no-unit-row", "")])
        if stated is False or not whole:
            return False
        if stated is None and not is_unit_row(rows[0].cells, self.header.inputs):
            return False
        take_units(rows[0].cells, self.header.inputs)
        self._units = tuple(rows[0].cells)
        return True

    def _ask(self, row: Row) -> bytes | Asked:
        assert self.header is not None  # noqa: S101  # there are no rows before it
        width = len(self.header.cells)
        if row.fault is not None:
            return self._line([], self._refused_cells([row.fault]))
        cells = (row.cells + [""] * width)[:width]
        if not any(cell.strip() for cell in row.cells):
            return self._line(cells, self._rows.blank)
        if len(row.cells) != width:
            found, line = Count(len(row.cells)), Count(row.line)
            ragged = refusal("ragged-row", "", line=line, cells=found, width=Count(width))
            return self._line(cells, self._refused_cells([ragged]))
        return Asked(cells, self._unsure(cells))

    def _unsure(self, cells: list[str]) -> list[Fault]:
        """Return a fault for each number that could be read both ways, as long as no row has shown the decimal mark."""
        faults: list[Fault] = []
        if self._sure or self.header is None:
            return faults
        for one in self.header.inputs:
            if takes_decimals(one.reader):
                certain, unsure = decimal_mark.marks([cells[one.place]])
                self._sure = self._sure or "." in certain
                if unsure:
                    given = Code(repr(cells[one.place][:40]))
                    faults.append(refusal("ambiguous-decimal", one.pointer, given=given))
        return [] if self._sure else faults

    def _refused_cells(self, faults: Sequence[Fault]) -> list[str]:
        self.refused += 1
        return self._rows.refused(faults, self._decimal)

    def _line(self, cells: list[str], gained: list[str]) -> bytes:
        width = len(self.header.cells) if self.header else 0
        return guard.line([*(cells or [""] * width), *gained], self._delimiter).encode()


class _Sample:
    """The rows held back until they show whether there is a row of units, and which decimal mark."""

    def __init__(self) -> None:
        self.rows: list[Row] = []
        self.certain: set[decimal_mark.Mark] = set()
        self.unsure = False
        self._length = 0

    def add(self, row: Row, head: header.Header | None) -> bool:
        """Hold a row back; say whether there are enough."""
        self.rows.append(row)
        self._length += sum(map(len, row.cells))
        if head is not None and len(row.cells) == len(head.cells):
            cells = [row.cells[one.place] for one in head.inputs if takes_decimals(one.reader)]
            certain, unsure = decimal_mark.marks(cells)
            self.certain |= certain
            self.unsure = self.unsure or unsure
        return len(self.rows) >= SAMPLE_ROWS or self._length >= SAMPLE_TEXT

    def mark(self) -> decimal_mark.Mark:
        """Return the decimal mark; raise `InputProblem` where the numbers could be read both ways."""
        if len(self.certain) > 1 or (self.unsure and not self.certain):
            raise InputProblem([refusal("ambiguous-decimal-of-table", "")])
        return "," if self.certain == {","} else "."
