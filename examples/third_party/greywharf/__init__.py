"""A pack from outside, with invented numbers: a wood, a coating family, how far that goes and how it cures."""

from __future__ import annotations

from collections.abc import Iterable

from greywharf.curing import wharf_clock
from greywharf.spreading import filling_up
from latewood.plugin import Model, Record, hookimpl, read_pack


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
