"""What the server does not hold by itself: whoever lets others reach it puts a proxy in front.

`DEVELOPERS.md` lists the same rows beside ``--host``; `tests/test_docs.py` compares them. A row that the server holds
after all fails its test until it is taken off.
"""

from __future__ import annotations

from typing import Final

#: Row → what the bare server does.
ONLY_A_PROXY: Final = {
    "5000 headers": "answered like any request",
    "one header too many": "answered like any request",
    "a megabyte of one header": "taken in whole and answered",
    "a megabyte of a header's name": "taken in whole and answered",
    "silent": "held without end",
    "half a head": "held without end",
    "head by byte": "held without end",
    "head by line": "held without end",
    "only line ends": "held without end",
    "rests then half a head": "held without end",
    "body nobody reads": "read without end",
    "answers nobody takes": "held without end",
    "many slow bodies at once": "taken in whole: 2 000 of 225 kB hold 460 MB",
    "more clients than open files": "the newest wait",
    "connected and not taken in when the door closes": "reset",
    "endless headers": "kept in memory without end",
    "endless one header": "kept in memory without end",
    "endless an address": "kept in memory without end",
    "endless line ends": "read without end",
    "endless a chunk's extension": "read without end",
    "endless trailers": "read without end",
    "endless one trailer": "read without end",
    "endless a table's row": "answered after 200 MB, and read without end",
    "no host": "answered",
    "two hosts": "answered",
    "a body before a switch to another protocol, as Java sends it": "400 without a problem document",
    "the same in chunks": "400 without a problem document",
    "a trailer that would be a header": "read as one",
}
