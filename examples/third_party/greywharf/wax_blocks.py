"""How many blocks of wax does a slipway take? Its area by what a block covers, one block rubbed at a time. Invented."""

from __future__ import annotations

from math import ceil
from typing import Annotated

import msgspec

from latewood.plugin import F, InputProblem, Ledger, Q, RecordLookup, calculator, clause, messages, refusal


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """A slipway and a block."""

    area: Annotated[float, Q("m2", "Area of the slipway", ge=1, le=5000, example="60 m2")]
    block: Annotated[float, Q("m2", "Area that one block covers", ge=0.1, le=50, example="4 m2")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What to carry down to the water."""

    blocks: Annotated[int, F("Blocks to buy")]


@calculator(
    "wax-blocks", "How many blocks of wax does a slipway take?", since="0.3", example={"area": "60 m2", "block": "4 m2"}
)
def wax_blocks(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Return the number of blocks."""
    if x.block > x.area:
        area, block = messages.Area(x.area), messages.Area(x.block)
        raise InputProblem([refusal("greywharf-block-over-area", "/block", block=block, area=area)])
    blocks = ceil(x.area / x.block)
    last = x.area - (blocks - 1) * x.block
    if last < x.block:
        why = clause("greywharf-last-block", left=messages.Area(last))
        ledger.find("greywharf-block-left", pointer="/block", blocks=messages.Count(blocks), why=why)
    return Result(blocks=blocks)
