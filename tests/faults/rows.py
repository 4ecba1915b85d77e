"""What a server does not hold: the bare one by itself, and the recipe of `examples/deploy` in front of two.

`docs/guide/operator.md` lists the same rows beside ``--host``; `tests/test_docs.py` compares them. A row that a server
holds after all fails its test until it is said so here.
"""

from __future__ import annotations

from typing import Final

HELD: Final = "held"
#: Row → what the bare server does, and the recipe, which bounds what an address may have under way.
ROWS: Final = {
    "5000 headers": ("answered like any request", HELD),
    "a megabyte of one header": ("taken in whole and answered", HELD),
    "a megabyte of a header's name": ("taken in whole and answered", HELD),
    "silent": ("held without end", HELD),
    "half a head": ("held without end", HELD),
    "head by byte": ("held without end", HELD),
    "head by line": ("held without end", HELD),
    "only line ends": ("held without end", HELD),
    "rests then half a head": ("held without end", HELD),
    "body nobody reads": ("read without end", "held without end"),
    "answers nobody takes": ("held without end", HELD),
    "many slow bodies at once": ("taken in whole: 2 000 of 225 kB hold 460 MB", HELD),
    "more clients than open files": ("the newest wait", HELD),
    "connected and not taken in when the door closes": ("reset", HELD),
    "endless headers": ("kept in memory without end", HELD),
    "endless one header": ("kept in memory without end", HELD),
    "endless an address": ("kept in memory without end", HELD),
    "endless line ends": ("read without end", HELD),
    "endless a chunk's extension": ("read without end", "read without end, and thrown away"),
    "endless trailers": ("read without end", "read without end, and thrown away"),
    "endless one trailer": ("read without end", "read without end, and thrown away"),
    "endless a table's row": ("answered after 200 MB, and read without end", HELD),
    "no host": ("answered", HELD),
    "two hosts": ("answered", HELD),
    "a body before a switch to another protocol, as Java sends it": ("400 without a problem document", HELD),
    "the same in chunks": ("400 without a problem document", HELD),
    "a trailer that would be a header": ("read as one", HELD),
    "body by byte": (HELD, "held without end"),
    "chunks by byte": (HELD, "held without end"),
    "a table whose instance is killed": ("cut: ask again", "cut: ask again"),
}
#: Server → the rows it does not hold.
NOT_HELD: Final = {
    server: {row for row, done in ROWS.items() if done[at] != HELD} for at, server in enumerate(("bare", "recipe"))
}
