"""What a plugin author imports."""

from latewood import messages
from latewood.declare import F, Formula, Q, Symbol, calculator, formula
from latewood.formulas import clockwork, cure
from latewood.formulas.air import Floats
from latewood.messages import read_texts
from latewood.plugin.hooks import hookimpl
from latewood.plugin.models import Model, Spreading
from latewood.plugin.weather_models import CureClock, Dwell, Gates
from latewood.provenance import Ledger, Number
from latewood.records import BadRecord, Record, read_pack, read_record

__all__ = [
    "BadRecord",
    "CureClock",
    "Dwell",
    "F",
    "Floats",
    "Formula",
    "Gates",
    "Ledger",
    "Model",
    "Number",
    "Q",
    "Record",
    "Spreading",
    "Symbol",
    "calculator",
    "clockwork",
    "cure",
    "formula",
    "hookimpl",
    "messages",
    "read_pack",
    "read_record",
    "read_texts",
]
