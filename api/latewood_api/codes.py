"""The codes of faults, as the page about unusable input lists them. A code, once answered, keeps its meaning."""

from __future__ import annotations

from typing import Final

CODES: Final = {
    "ambiguous": "The name means several things; the answer lists them.",
    "ambiguous-decimal": "The numbers of a table can be read with either decimal mark; decimal= states it.",
    "ambiguous-delimiter": "The header of a table can be read with more than one delimiter; delimiter= states it.",
    "ambiguous-unit": "The unit means different things in different places; the answer lists which.",
    "ambiguous-unit-row": "The row under a table's header holds units and values; unit_row= states which it is.",
    "bad-date": "The text is not a date.",
    "bad-money": "The text is not an amount with a currency.",
    "bad-number": "The text is not a number with a unit.",
    "bad-outline": "The text is not a list of corner points with one unit at the end.",
    "bad-quoting": "The quotation marks of a table's row do not match.",
    "bad-text": "The text has a character or a form that this field does not take.",
    "bad-utf8": "A row of a table is not UTF-8.",
    "calculation-too-long": "The calculation was ended for its length; the largest parts of the input are named.",
    "conflict": "Two values cannot both hold, or one of two must be given.",
    "decimal-comma": "A number has a comma where a decimal point is read; decimal=, reads commas.",
    "decimal-point": "A number has a point where a decimal comma was asked for.",
    "empty": "The table has no header.",
    "internal": "A row of a table could not be calculated: a fault of the engine, not of the row.",
    "missing": "The field is required, always or because of another field.",
    "more-faults": "More faults were found than are listed.",
    "not-computed": "The output asked for does not follow from these inputs.",
    "not-yet": "The field belongs to a later version of this engine.",
    "out-of-range": "The value is outside what this field takes.",
    "plugin-failed": "A plugin of this server failed; the answer names it, and the log has the cause.",
    "ragged": "Items are numbered with a gap, or a table's row has not as many cells as its header.",
    "repeated": "One name was given more than once.",
    "too-long": "The text is longer than this field takes.",
    "unit-missing": "The number has no unit.",
    "unknown-choice": "The word is not one of those this field takes.",
    "unknown-field": "There is no field or parameter of this name.",
    "unknown-id": "There is no record with this id.",
    "unknown-output": "The calculator has no output of this name.",
    "unknown-size": "The text is not a board size.",
    "unknown-unit": "The unit is not known.",
    "wrong-dimension": "The unit measures something else than the field does.",
    "wrong-type": "The value is of another JSON type than the field takes.",
}
