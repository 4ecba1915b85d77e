"""The ``latewood`` command: the same calculations without a server."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from latewood.cli.arguments import read
from latewood.cli.usage import INTERRUPTED, REFUSED
from latewood.undisturbed import undisturbed


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; return its exit code.

    0 done, 1 refused, 2 used wrongly, 3 a table was written and some of its rows hold errors.
    """
    try:
        try:
            chosen = read(arguments)
            # The engine is imported here and not above: help is shown without.
            with undisturbed():
                from latewood.cli.commands import carry_out
            return carry_out(chosen)
        finally:
            # Else what cannot be written is found out after the last handler here.
            sys.stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The reader of our output (head, less) has seen enough.
        _drop_output()
        return 0
    except OSError as error:
        print(f"{error.filename or 'the output'} cannot be written: {error.strerror}", file=sys.stderr)
        _drop_output()
        return REFUSED


def _drop_output() -> None:
    """Send what is left of the output nowhere, or it would fail once more when Python ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
