"""Tables: one calculator applied to every row of a CSV file, in the flat form of its inputs."""

from latewood.columns.choices import Choices
from latewood.columns.table import Table

__all__ = ["Choices", "Table"]
