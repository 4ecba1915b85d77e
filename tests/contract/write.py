"""Writes the committed contract: ``python -m tests.contract.write [FILE]``, ``openapi/v1.json`` if left out.

The file holds the very bytes a server answers. Beside it stands the same document to read and to review,
``v1.readable.json``. A document that breaks the one there is not written, unless CHANGELOG.md beside it declares each
break; once a version is published there, no declaration helps.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import msgspec
from tests.bundled import bundled
from tests.contract.compatibility import breaks, undeclared

from latewood_api.answers import to_json
from latewood_api.contract_parts import Json
from latewood_api.openapi import document


def render(contract: Json) -> bytes:
    """Return the document as it is served and committed."""
    return to_json(contract)


def readable(contract: Json) -> bytes:
    """Return the document as people read it, a value a line."""
    return msgspec.json.format(to_json(contract), indent=1) + b"\n"


def beside(path: Path) -> Path:
    """Return where the readable copy of a document stands."""
    return path.with_suffix(".readable.json")


def write(path: Path) -> list[str]:
    """Write the document in place of an earlier one, unless that breaks its promises: then return each break.

    What CHANGELOG.md beside it declares may be broken, until it says that a version is published.
    """
    contract = document(bundled())
    if path.exists():
        changelog = path.with_name("CHANGELOG.md")
        declared = changelog.read_text("utf-8") if changelog.exists() else ""
        broken = undeclared(breaks(msgspec.json.decode(path.read_bytes()), contract), declared)
        if broken:
            return broken
    path.write_bytes(render(contract))
    beside(path).write_bytes(readable(contract))
    return []


def main() -> int:
    """Write both files; return 1 where they would break what was promised."""
    parser = argparse.ArgumentParser("python -m tests.contract.write", description="Write the contract.")
    parser.add_argument("file", type=Path, nargs="?", default=Path("openapi/v1.json"))
    broken = write(parser.parse_args().file)
    if broken:
        print("not written: this breaks what was promised. Before 1.0 is published, where it must be,", file=sys.stderr)
        print("declare in CHANGELOG.md:", file=sys.stderr)
        print("\n".join(f"- {line}" for line in broken))
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
