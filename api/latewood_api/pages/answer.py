"""An answer in words and as tables: what came out, what it rests on, what to be told."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

import msgspec
from markupsafe import Markup

from latewood.catalogue import Catalogue
from latewood.messages import Speaker
from latewood.report.markup import shown
from latewood.wire import outputs
from latewood.wire.write import digits
from latewood_api.answers import to_json
from latewood_api.pages.layout import fragment, source_of, words

#: Outputs and numbers that are shown before the rest is folded.
OPEN: Final = 8


def as_sent(answer: Mapping[str, Any]) -> dict[str, Any]:
    """Return an answer as it goes over the wire."""
    read: dict[str, Any] = msgspec.json.decode(to_json(answer))
    return read


def answered(lw: Catalogue, answer: dict[str, Any], lang: str = "en") -> Markup:
    """Return the parts of an answer in the order a reader wants them; its texts are in a language of their own."""
    return fragment(
        "answer",
        outputs=[*_outputs(answer["result"])],
        notes=[*told(answer)],
        basis=[
            (used["path"], used["given"], used["kind"], _source(lw, used), used.get("note", ""))
            for used in answer["basis"]
        ],
        most=OPEN,
        lang=lang,
    )


def told(answer: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield severity and text of each finding and caution."""
    for one in answer["findings"]:
        yield one["severity"], one["message"]
    for one in answer["cautions"]:
        yield one["severity"], " ".join([one["message"], *one.get("do", ())])


def in_words(answer: dict[str, Any], speaker: Speaker) -> list[str]:
    """Return the first outputs of an answer as a person reads them."""
    leaves = [(name, value) for name, value in outputs.leaves(answer["result"]) if value is not None]
    return [f"{words(name)}: {shown(value, speaker)}" for name, value in leaves[:OPEN]]


def _source(lw: Catalogue, used: dict[str, Any]) -> dict[str, str]:
    return source_of(lw, used["source"], used.get("where", "")) if "source" in used else {"title": "", "where": ""}


def _outputs(result: dict[str, Any]) -> Iterator[tuple[str, str, str, str]]:
    """Yield a row for each value, under the name a cell asks for it by."""
    for name, value in outputs.leaves(result):
        if outputs.is_quantity(value):
            yield name, _number(value, "value"), _number(value, "low"), _number(value, "high")
        elif outputs.is_money(value):
            yield name, f"{value['amount']} {value['currency']}", "", ""
        else:
            yield name, str(value), "", ""


def _number(quantity: dict[str, Any], key: str) -> str:
    if key not in quantity:
        return ""
    return f"{digits(quantity[key])} {quantity['unit']}" if quantity[key] is not None else "not computed"
