"""A pack from outside, with invented numbers: a wood, a coating family with two models, and a calculator."""

from __future__ import annotations

from collections.abc import Iterable

from greywharf.curing import wharf_clock
from greywharf.spreading import filling_up
from greywharf.wax_blocks import wax_blocks
from latewood.plugin import Calculator, Model, Record, hookimpl, messages, read_pack, read_texts


@hookimpl
def latewood_records() -> Iterable[Record]:
    """Return every record in this package's folders."""
    return read_pack(__name__)


@hookimpl
def latewood_models() -> Iterable[Model]:
    """Return the models that `coatings/jetty_wax_oil.toml` chooses by name."""
    return [
        Model(
            "spreading", "greywharf-filling-up", filling_up, source="greywharf-demo", title="Goes further coat by coat"
        ),
        Model(
            "cure-clock",
            "greywharf-wharf-clock",
            wharf_clock,
            source="greywharf-demo",
            title="Doubles every ten kelvins",
        ),
    ]


@hookimpl
def latewood_calculators() -> Iterable[Calculator]:
    """Return the calculator of this pack."""
    return [wax_blocks]


@hookimpl
def latewood_texts() -> Iterable[messages.Bundle]:
    """Return what it says: its messages.toml, and its languages."""
    return [read_texts(__name__)]
