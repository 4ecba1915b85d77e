"""The report of a plan: one model of what its pages say, and the text of ``plan.txt``."""

from latewood.report.build import report
from latewood.report.layout import WIDTHS, Layout
from latewood.report.model import Report
from latewood.report.text import text

__all__ = ["WIDTHS", "Layout", "Report", "report", "text"]
