"""Tables: one calculator applied to every row of a CSV file, in the flat form of its inputs."""

from latewood.columns.answerer import Answerer, Asked, Form, Gained
from latewood.columns.choices import Choices
from latewood.columns.table import Table

__all__ = ["Answerer", "Asked", "Choices", "Form", "Gained", "Table"]
