"""How the command is used wrongly: one line with the nearest name. Nothing of the engine is imported before that."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Sequence
from typing import Any, NoReturn

REFUSED, USAGE, ROWS_REFUSED, INTERRUPTED = 1, 2, 3, 130
#: Columns of help: what a terminal has, and no more than can be read.
_WIDEST = 100


class Formatter(argparse.HelpFormatter):
    """Help as wide as the terminal, each paragraph on a line of its own and examples as they are."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=28, width=_columns() - 2)
        # Else the longest command stands on a line by itself.
        self._action_max_length = 14

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return "\n".join(
            line if line.startswith("  ") else super(Formatter, self)._fill_text(line, width, indent)
            for line in text.splitlines()
        )


class Parser(argparse.ArgumentParser):
    """A parser that says in one line what is wrong."""

    def __init__(self, **given: Any) -> None:
        super().__init__(formatter_class=Formatter, **given)

    def error(self, message: str) -> NoReturn:
        """End with what is wrong and where to read on."""
        print(f"{self.prog}: {message} ({self.prog} --help shows how)", file=sys.stderr)
        raise SystemExit(USAGE)

    def _check_value(self, action: argparse.Action, value: object) -> None:
        """Refuse a word that is no choice, with the nearest that is one."""
        if action.choices is None or value in action.choices:
            return
        what = action.option_strings[0] if action.option_strings else str(action.metavar).lower()
        raise argparse.ArgumentError(None, unknown(f"{what} {str(value)[:80]!r}", str(value), action.choices))

    def refuse_unknown(self, words: Sequence[str]) -> None:
        """End where words are left over that nothing takes."""
        if words:
            options = [name for action in self._actions for name in action.option_strings]
            what = "option" if words[0].startswith("-") else "argument"
            name = words[0].partition("=")[0]
            self.error(unknown(f"{what} {name[:80]!r}", name, options if what == "option" else ()))


def unknown(what: str, word: str, known: Iterable[Any]) -> str:
    """Say that there is no such thing, and which name is nearest."""
    from latewood.problems import nearest

    names = [str(name) for name in known]
    close = nearest(word, names)
    listed = f"; did you mean {close}?" if close else f"; there are {', '.join(names)}" if names else ""
    return f"there is no {what}{listed}"


def _columns() -> int:
    try:
        columns = int(os.environ.get("COLUMNS", 0)) or os.get_terminal_size().columns
    except (OSError, ValueError):
        columns = 80
    return max(20, min(columns, _WIDEST))
