"""Records: what plugins know as data, each number with its unit and its source."""

from latewood.records.abrasive import Abrasive
from latewood.records.base import Record, Reference
from latewood.records.caution import Caution
from latewood.records.check import Case, Check
from latewood.records.coating import AbsorbencyClass, Advice, Application, Coating
from latewood.records.labour_allowance import LabourAllowance
from latewood.records.number import Dated
from latewood.records.pairing import Pairing
from latewood.records.reader import KINDS, BadRecord, read_pack, read_record
from latewood.records.region import Container, Region, VocLimits
from latewood.records.source import Source
from latewood.records.species import Candidate, Names, Species
from latewood.records.wash import PressureRule, WashAgent

__all__ = [
    "KINDS",
    "Abrasive",
    "AbsorbencyClass",
    "Advice",
    "Application",
    "BadRecord",
    "Candidate",
    "Case",
    "Caution",
    "Check",
    "Coating",
    "Container",
    "Dated",
    "LabourAllowance",
    "Names",
    "Pairing",
    "PressureRule",
    "Record",
    "Reference",
    "Region",
    "Source",
    "Species",
    "VocLimits",
    "WashAgent",
    "read_pack",
    "read_record",
]
