"""Records: what plugins know as data, each number with its unit and its source."""

from latewood.records.abrasive import Abrasive
from latewood.records.base import Record, Reference
from latewood.records.board_colour import BoardColour
from latewood.records.board_heat import BoardHeat
from latewood.records.caution import Caution
from latewood.records.check import Case, Check
from latewood.records.coating import AbsorbencyClass, Advice, Application, Coating
from latewood.records.condition import ConditionRule
from latewood.records.erosion import Erosion
from latewood.records.fastening import FastenerPractice
from latewood.records.labour_allowance import LabourAllowance
from latewood.records.machine import Machine, Motion
from latewood.records.moisture import (
    CoatingLimit,
    DropTestRule,
    DryingModel,
    GapRule,
    MoistureLimits,
    MoistureMeter,
    NewWoodWait,
    ReadingPractice,
    WettingKind,
)
from latewood.records.number import Dated
from latewood.records.outdoor_work import OutdoorWork
from latewood.records.pairing import Pairing
from latewood.records.rate import Rate
from latewood.records.reader import KINDS, BadRecord, read_pack, read_record
from latewood.records.region import Container, Region
from latewood.records.route import Route
from latewood.records.sanding import Condition, GradeRange, SandingPractice
from latewood.records.site_protection import SiteProtection
from latewood.records.source import Source
from latewood.records.species import Candidate, Names, Species
from latewood.records.voc_limits import VocLimits
from latewood.records.wash import PressureRule, WashAgent
from latewood.records.waste import Waste
from latewood.records.wiping import WipingRegime

__all__ = [
    "KINDS",
    "Abrasive",
    "AbsorbencyClass",
    "Advice",
    "Application",
    "BadRecord",
    "BoardColour",
    "BoardHeat",
    "Candidate",
    "Case",
    "Caution",
    "Check",
    "Coating",
    "CoatingLimit",
    "Condition",
    "ConditionRule",
    "Container",
    "Dated",
    "DropTestRule",
    "DryingModel",
    "Erosion",
    "FastenerPractice",
    "GapRule",
    "GradeRange",
    "LabourAllowance",
    "Machine",
    "MoistureLimits",
    "MoistureMeter",
    "Motion",
    "Names",
    "NewWoodWait",
    "OutdoorWork",
    "Pairing",
    "PressureRule",
    "Rate",
    "ReadingPractice",
    "Record",
    "Reference",
    "Region",
    "Route",
    "SandingPractice",
    "SiteProtection",
    "Source",
    "Species",
    "VocLimits",
    "WashAgent",
    "Waste",
    "WettingKind",
    "WipingRegime",
    "read_pack",
    "read_record",
]
