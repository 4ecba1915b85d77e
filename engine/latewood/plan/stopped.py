"""What is stopped: parts of a deck on which nothing is planned, each with the finding that says why.

Steps are asked in an order in which each hears what the ones before it stopped; none plans work on a stopped part.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from typing import Final, Literal

from latewood.calculators.condition.result import SHUT, ComponentGate, Gate
from latewood.messages import Brief, Clause, Name, Prose, clause
from latewood.provenance import Raised

#: The finding that says of a gate why nothing is planned behind it, where none of severity stop does.
_SAID: Final[Mapping[Gate, str]] = {"refused": "composite-refused"}


@dataclass(frozen=True, slots=True)
class Stop:
    """One reason why nothing is planned for a part."""

    part: str
    why: Clause
    finding: str


class Stops:
    """The parts that are stopped so far."""

    def __init__(self) -> None:
        self._found: dict[str, dict[str, Stop]] = {}

    def __contains__(self, part: str) -> bool:
        return part in self._found

    def add(self, part: str, finding: str, why: Clause) -> None:
        """Stop a part; the first to say so for the same finding is heard."""
        self._found.setdefault(part, {}).setdefault(finding, Stop(part, why, finding))

    def heed(self, findings: Iterable[Raised], parts: Mapping[str, str]) -> None:
        """Stop the parts that a finding of severity stop names, or all of these where it names none.

        ``parts`` are the parts a step works on, by the names its findings have for them.
        """
        for finding in findings:
            if finding.severity == "stop":
                for part in _named(finding, parts) or dict.fromkeys(parts.values()):
                    self.add(part, finding.id, _reason(finding))

    def shut(self, gates: Iterable[ComponentGate]) -> None:
        """Stop what is behind a gate that nothing is planned behind, where no finding has stopped it."""
        for gate in gates:
            if gate.gate in SHUT and gate.id not in self:
                self.add(gate.id, _SAID.get(gate.gate, gate.gate), gate.reasons[0])

    def why(self, parts: Iterable[str]) -> tuple[Clause, ...]:
        """Return why those of these parts that are stopped are left out, each reason once; nothing where none is."""
        reasons: list[tuple[Clause, list[Name]]] = []
        for part in dict.fromkeys(parts):
            for stop in [*self._found.get(part, {}).values()][:1]:
                have = next((members for why, members in reasons if why == stop.why), None)
                if have is None:
                    reasons.append((stop.why, have := []))
                have.append(Name(part))
        return tuple(clause("stopped-because", parts=members, why=why) for why, members in reasons)

    def status(self, parts: Iterable[str]) -> Literal["stopped", "skipped"]:
        """Return what a step is that has nothing to do: stopped where all it would be about is."""
        every = [*parts]
        return "stopped" if every and all(part in self for part in every) else "skipped"

    def of(self, parts: Iterable[str]) -> list[Stop]:
        """Return every reason of those of these parts that are stopped."""
        return [stop for part in dict.fromkeys(parts) for stop in self._found.get(part, {}).values()]

    @property
    def parts(self) -> Set[str]:
        """The parts that are stopped."""
        return self._found.keys()

    @property
    def every(self) -> list[Stop]:
        """Every part with every reason."""
        return self.of(self._found)


def _named(finding: Raised, parts: Mapping[str, str]) -> list[str]:
    """Return the parts that a finding names in its parameters, each once."""
    given = [value for value in finding.params.values() if isinstance(value, str | list | tuple)]
    words = [word for value in given for word in ([value] if isinstance(value, str) else value)]
    return list(dict.fromkeys(parts[word] for word in words if isinstance(word, str) and word in parts))


def _reason(finding: Raised) -> Clause:
    """Return what a finding says first, as a reason."""
    if isinstance(finding.text, Prose):
        return clause("as-recorded", text=finding.text)
    return Brief(finding.text, finding.values)
