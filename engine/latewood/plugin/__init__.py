"""What a plugin author imports."""

from latewood.declare import F, Formula, Q, Symbol, calculator, formula
from latewood.plugin.hooks import hookimpl
from latewood.plugin.models import Model, Spreading
from latewood.provenance import Ledger, Number
from latewood.records import BadRecord, Record, read_pack, read_record

__all__ = [
    "BadRecord",
    "F",
    "Formula",
    "Ledger",
    "Model",
    "Number",
    "Q",
    "Record",
    "Spreading",
    "Symbol",
    "calculator",
    "formula",
    "hookimpl",
    "read_pack",
    "read_record",
]
