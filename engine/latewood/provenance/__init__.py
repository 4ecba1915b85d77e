"""Where each number came from, carried from the record that holds it to the answer that used it."""

from latewood.provenance.ledger import CautionRecord, Ledger, Step
from latewood.provenance.merge import merge_basis, merge_cautions
from latewood.provenance.shown import Danger, Finding, Severity, Shown, SIValue, Used
from latewood.provenance.sourced import Evidence, Sourced
from latewood.uncertainty.spread import Number, Uncertain

__all__ = [
    "CautionRecord",
    "Danger",
    "Evidence",
    "Finding",
    "Ledger",
    "Number",
    "SIValue",
    "Severity",
    "Shown",
    "Sourced",
    "Step",
    "Uncertain",
    "Used",
    "merge_basis",
    "merge_cautions",
]
