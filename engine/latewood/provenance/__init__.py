"""Where each number came from, carried from the record that holds it to the answer that used it."""

from latewood.messages import Severity
from latewood.provenance.effects import HERE, UNWEIGHED, change
from latewood.provenance.ledger import CautionRecord, Ledger, Step
from latewood.provenance.merge import merge_basis, merge_cautions, merge_findings
from latewood.provenance.shown import Danger, Finding, Raised, Shown, SIValue, Used
from latewood.provenance.sourced import Evidence, Sourced
from latewood.uncertainty.spread import Number, Uncertain

__all__ = [
    "HERE",
    "UNWEIGHED",
    "CautionRecord",
    "Danger",
    "Evidence",
    "Finding",
    "Ledger",
    "Number",
    "Raised",
    "SIValue",
    "Severity",
    "Shown",
    "Sourced",
    "Step",
    "Uncertain",
    "Used",
    "change",
    "merge_basis",
    "merge_cautions",
    "merge_findings",
]
