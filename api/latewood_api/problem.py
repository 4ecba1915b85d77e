"""What can go wrong with a request, each kind with its status, its fixed title and its page (RFC 9457)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import msgspec

from latewood.messages import Speaker, Style, shipped
from latewood.messages import line as fault_line
from latewood.problems import Fault, InputProblem, Malformed, NotFound

MEDIA: Final = "application/problem+json"


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of problem: the last step of its address, its status, its title, and what it means."""

    slug: str
    status: int
    title: str
    meaning: str


KINDS: Final = {
    kind.slug: kind
    for kind in (
        Kind(
            "malformed",
            400,
            "The request cannot be read",
            "The body is not one unambiguous JSON document in UTF-8 (a key given twice, nested too deeply, NaN, a "
            "number too long to keep), or the query is not UTF-8. Nothing was calculated.",
        ),
        Kind(
            "not-found",
            404,
            "There is no such thing here",
            "The path names a calculator, an output, a record or a page that this server does not have. The nearest "
            "name it has is given where one is near.",
        ),
        Kind(
            "method-not-allowed",
            405,
            "The method is not allowed here",
            "The path exists and takes other methods: the Allow header lists them.",
        ),
        Kind(
            "not-acceptable",
            406,
            "The one representation of this path is not acceptable",
            "Each path has one representation, and the Accept header excludes it.",
        ),
        Kind(
            "too-slow",
            408,
            "The request body did not arrive in time",
            "The body was not complete before the time limit. Sending the request again is safe.",
        ),
        Kind(
            "too-large",
            413,
            "The request body is too large",
            "The body is larger than this path takes.",
        ),
        Kind(
            "unsupported-media-type",
            415,
            "The request body is of an unsupported type",
            "The body is not declared as the type this path takes (Accept-Post names it), or it is compressed.",
        ),
        Kind(
            "unusable-input",
            422,
            "The input cannot be used",
            "The request can be read, and some of its values cannot be used. Every fault found is listed with the "
            "place of the value (a JSON Pointer; a query parameter's name with its dots as slashes), a code, what was "
            "wrong and what would be right.",
        ),
        Kind(
            "too-often",
            429,
            "This address asks too often",
            "The proxy before this server limits how often an address asks, and how much at once. Nothing was "
            "calculated. Retry-After says when to ask again.",
        ),
        Kind(
            "head-too-large",
            431,
            "The address or the headers are too long",
            "The proxy before this server takes addresses and headers up to a length that it names. Send long inputs "
            "in a body.",
        ),
        Kind(
            "internal",
            500,
            "The server failed",
            "A fault of this server or of a plugin that is named, not of the request. The log has the cause under the "
            "request id of the answer.",
        ),
        Kind(
            "not-ready",
            503,
            "The server is not ready",
            "The server is starting or stopping and takes no new work. Retry-After says when to ask again.",
        ),
        Kind(
            "busy",
            503,
            "The server is busy",
            "As many calculations wait as may. Nothing was calculated. Retry-After says when to ask again.",
        ),
        Kind(
            "calculation-too-long",
            503,
            "The calculation takes too long",
            "The calculation takes more processor time or memory than this server gives to one request, and was ended. "
            "The largest parts of the request are named; a smaller one can be answered. Sent again as it is, the "
            "request is ended again.",
        ),
    )
}


class Problem(msgspec.Struct, kw_only=True):
    """An RFC 9457 problem document: one entry in ``errors`` for every fault found."""

    type: str
    title: str
    status: int
    instance: str
    errors: Sequence[Fault]


class Refusal(Exception):
    """A request that is answered with a problem."""

    def __init__(self, slug: str, faults: Sequence[Fault], headers: Mapping[str, str] | None = None) -> None:
        self.kind = KINDS[slug]
        self.faults = tuple(faults)
        self.headers = dict(headers or {})
        super().__init__(self.kind.title)


def refusal(slug: str, detail: str, *, expected: str | None = None, **headers: str) -> Refusal:
    """Return a refusal with one fault about the whole request; header names are written with underscores."""
    fault = Fault(pointer="", code=slug, detail=detail, expected=expected)
    return Refusal(slug, [fault], {name.replace("_", "-"): value for name, value in headers.items()})


#: More faults than anyone mends at once; the rest are counted.
MAX_FAULTS: Final = 200


def from_engine(error: InputProblem | Malformed | NotFound) -> Refusal:
    """Return the refusal an engine error leads to."""
    match error:
        case InputProblem():
            return Refusal("unusable-input", _listed(error.faults))
        case Malformed():
            return Refusal("malformed", [error.fault])
        case NotFound():
            return Refusal("not-found", [error.fault])


def _listed(faults: Sequence[Fault]) -> Sequence[Fault]:
    if len(faults) <= MAX_FAULTS:
        return faults
    left = len(faults) - MAX_FAULTS
    return [*faults[:MAX_FAULTS], Fault(pointer="", code="more-faults", detail=f"{left} more faults are not listed")]


def document(refused: Refusal, instance: str) -> Problem:
    """Return the problem document of a refusal."""
    kind = refused.kind
    return Problem(
        type=f"/problems/{kind.slug}",
        title=kind.title,
        status=kind.status,
        instance=instance,
        errors=refused.faults,
    )


def line(refused: Refusal, speaker: Speaker | None = None) -> str:
    """Return a refusal as the one plain line a spreadsheet cell shows; in English where no language is known."""
    speaker = speaker or shipped().speaker(Style())
    text = " | ".join(fault_line(fault, speaker) for fault in refused.faults)
    return "#ERROR " + "".join(c if c.isprintable() else " " for c in text)
