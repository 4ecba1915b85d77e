"""Whether a contract keeps the promises of an earlier one: ``python -m tests.contract.compatibility OLD NEW``.

Within ``/v1`` a contract may only grow. What was accepted stays accepted and means the same; what was answered is still
answered, in the same form. Exit code 1 lists each break in words. ``--declared openapi/CHANGELOG.md`` lets those pass
that stand there, word for word, as items of a list, as long as that file says of no version that it is published.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from pathlib import Path

from tests.contract.compatibility.documents import breaks


def published(changelog: str) -> list[str]:
    """Return the versions that are published: the heading of any other says "not yet published"."""
    headings = re.findall(r"^## +([0-9]+\.[0-9]+)(.*)$", changelog, re.MULTILINE)
    return [version for version, said in headings if "not yet published" not in said]


def undeclared(found: list[str], changelog: str) -> list[str]:
    """Return the breaks that are not items of a list in the changelog; line ends in an item do not matter.

    Once a version is published no break may be declared: each is returned.
    """
    if published(changelog):
        return found
    items = re.findall(r"^[-*] +(.+(?:\n(?![-*#]|\n).+)*)", changelog, re.MULTILINE)
    said = {" ".join(item.split()) for item in items}
    return [line for line in found if " ".join(line.split()) not in said]


def main(arguments: list[str] | None = None) -> int:
    """Compare two files; return 0 where nothing breaks that is not declared, else 1."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.contract.compatibility", description="List breaking changes."
    )
    parser.add_argument("old", type=Path, help="the contract clients were made for")
    parser.add_argument("new", type=Path, help="the contract that is to replace it")
    parser.add_argument("--declared", type=Path, help="a changelog whose list items may be broken")
    given = parser.parse_args(arguments)
    old, new = (json.loads(path.read_text("utf-8")) for path in (given.old, given.new))
    every = breaks(old, new)
    found = undeclared(every, given.declared.read_text("utf-8")) if given.declared else every
    for line in found:
        print(f"- {line}")
    passed = f", {len(every) - len(found)} declared" if given.declared else ""
    print(f"{len(found)} breaking changes{passed}", file=sys.stderr)
    return 1 if found else 0


__all__ = ["breaks", "main", "published", "undeclared"]
