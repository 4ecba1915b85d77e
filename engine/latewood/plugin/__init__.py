"""What a plugin author imports."""

from latewood import messages
from latewood.declare import Calculator, Cost, F, Formula, Q, RecordLookup, Symbol, calculator, formula
from latewood.formulas import clockwork, cure
from latewood.formulas.air import Floats
from latewood.messages import Bundle, clause, read_texts, refusal
from latewood.plugin.hooks import hookimpl
from latewood.plugin.models import Model, Spreading
from latewood.plugin.weather_models import CureClock, Dwell, Gates
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger, Number
from latewood.records import BadRecord, Record, read_pack, read_record

__all__ = [
    "BadRecord",
    "Bundle",
    "Calculator",
    "Cost",
    "CureClock",
    "Dwell",
    "F",
    "Fault",
    "Floats",
    "Formula",
    "Gates",
    "InputProblem",
    "Ledger",
    "Model",
    "Number",
    "Q",
    "Record",
    "RecordLookup",
    "Spreading",
    "Symbol",
    "calculator",
    "clause",
    "clockwork",
    "cure",
    "formula",
    "hookimpl",
    "messages",
    "read_pack",
    "read_record",
    "read_texts",
    "refusal",
]
