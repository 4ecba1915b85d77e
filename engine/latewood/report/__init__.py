"""The report of a plan: one model of what its pages say, the text of ``plan.txt``, and the table of a notebook."""

from latewood.report.build import report
from latewood.report.markup import answered, planned
from latewood.report.model import Report
from latewood.report.text import WIDTHS, text

__all__ = ["WIDTHS", "Report", "answered", "planned", "report", "text"]
