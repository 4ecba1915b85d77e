"""What Python gets for an answer: a dict that gives quantities of pint, and shows itself in a notebook."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from latewood.messages import Speaker, Style, not_found, refusal, shipped
from latewood.problems import InputProblem
from latewood.quantities import with_pint
from latewood.wire import outputs

if TYPE_CHECKING:
    from latewood.quantities.with_pint import Quantity, UnitRegistry


class Answer(dict[str, Any]):
    """The answer of a calculator."""

    def __init__(self, content: Mapping[str, Any], speaker: Speaker | None = None) -> None:
        super().__init__(content)
        self.speaker = speaker or shipped().speaker(Style())

    def __reduce__(self) -> tuple[Any, ...]:
        # What writes its texts stays where it is: a copy has them in English.
        return type(self), (dict(self),)

    def quantity(self, name: str, registry: UnitRegistry[Any] | None = None) -> Quantity[Any]:
        """Return one output as a quantity of pint, by the name a cell asks for it: ``volume``, ``purchase.volume``.

        ``.low`` and ``.high`` after a name are its P10 and P90. It is of the registry given, else of pint's own.
        """
        stem, _, part = name.rpartition(".")
        if part not in ("low", "high"):
            stem, part = name, "value"
        found = self._output(stem, name)
        return with_pint.quantity(found.get(part, found["value"]), found["unit"], registry)

    def range(self, name: str, registry: UnitRegistry[Any] | None = None) -> Quantity[Any]:
        """Return P10, value and P90 of one output as an array of pint; a certain output has three times its value.

        A field that takes a range takes it as it is.
        """
        found = self._output(name, name)
        value = found["value"]
        return with_pint.quantity([found.get("low", value), value, found.get("high", value)], found["unit"], registry)

    def _output(self, name: str, asked: str) -> Mapping[str, Any]:
        """Return an output that is a number with a unit; raise `NotFound`, or `InputProblem` where it is null."""
        known = {at: value for at, value in outputs.leaves(self._outputs()) if outputs.is_quantity(value)}
        if name not in known:
            raise not_found("output", asked, known)
        if known[name]["value"] is None:
            raise InputProblem([refusal("output-not-computed", "/" + name.replace(".", "/"))])
        found: Mapping[str, Any] = known[name]
        return found

    def _outputs(self) -> Mapping[str, Any]:
        result: Mapping[str, Any] = self["result"]
        return result

    def _repr_html_(self) -> str:
        # Here, because only a notebook asks for it.
        from latewood.report import markup

        return markup.answered(self, self.speaker)


class Plan(Answer):
    """The plan of a job."""

    def _outputs(self) -> Mapping[str, Any]:
        return self

    def _repr_html_(self) -> str:
        from latewood.report import markup

        return markup.planned(self, self.speaker)
