"""What the examples write, in every language, unit system and decimal mark, keeps to the style sheet."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from tests.engine.messages import lint

from latewood.catalogue import Catalogue
from latewood.messages import Number, Speaker, Style, shipped
from latewood.provenance import Raised, Shown


@pytest.fixture(scope="module")
def heard(lw: Catalogue) -> lint.Heard:
    return lint.heard(lw)


def test_what_is_written_keeps_to_the_style_sheet(lw: Catalogue, heard: lint.Heard) -> None:
    """Findings, cautions, and every reason, question, verdict and label beside them."""
    assert len(heard.findings) > 190
    assert len(heard.cautions) > 10
    assert len({id for id, _, _ in heard.texts.values()}) > 300
    assert len(heard.packs) > 10
    assert lint.broken(lw, heard) == {}


@pytest.mark.parametrize(
    ("said", "style", "fault"),
    [
        ("The floor is wet. Wait.", Style(), None),
        ("the floor is wet.", Style(), "small letter"),
        ("The floor is wet", Style(), "end as a sentence"),
        ("Nobody measured it.", Style(), "banned"),
        ("Give boards.gap first.", Style(), "an id in prose"),
        ("Give joist_spacing first.", Style(), "an id in prose"),
        ("It takes 3.78541 L.", Style(), "too many digits"),
        ("It takes 3.2\u00a0L.", Style("en", "us"), "unit not asked"),
        ("It takes 3 m2 more.", Style("en", "us"), "unit not asked"),
        ("It takes 3\u00a0gal.", Style(), "unit not asked"),
        ("Stay 30 in (762\u00a0mm) away.", Style(), None),
        ("It takes 3.2\u00a0L.", Style("en", "metric", ","), "decimal mark"),
        ("The gray colour is left.", Style("en-US", "us"), "banned"),
        ("word " * 36 + "end.", Style(), "35 at most"),
        ("It is 15\u00a0°C.", Style("en", "us"), "unit not asked"),
        ("La madera es  gris.", Style("es"), "two spaces"),
        ("La coating es gris.", Style("es"), "banned"),
        ("At work, 29 CFR 1926.501(b)(1) holds.", Style("en", "us", ","), None),
    ],
)
def test_a_fault_is_seen(said: str, style: Style, fault: str | None) -> None:
    found = list(lint.faults(said, style))
    assert (not found) if fault is None else any(fault in one for one in found)


@pytest.mark.parametrize(
    ("said", "style", "fault"),
    [
        ("ready soonest", Style(), None),
        ("nobody measured it", Style(), "banned"),
        ("give joist_spacing first", Style(), "an id in prose"),
        ("word " * 20 + "one; " + "word " * 20, Style(), None),
        ("word " * 36, Style(), "35 at most"),
        ("2 × 3.785\u00a0L", Style("en", "us"), "unit not asked"),
        ("2 × 3.785 L", Style("es", "metric", ","), "decimal mark"),
        ("2 × 3,785 L", Style("es", "metric", ","), None),
        ("2 × 1 gal", Style(), "unit not asked"),
    ],
)
def test_a_slip_is_seen(said: str, style: Style, fault: str | None) -> None:
    found = list(lint.slips(said.strip(), style))
    assert (not found) if fault is None else any(fault in one for one in found)


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({}, None),
        ({"title": "one two three four five six seven eight nine"}, "words in its title"),
        ({"title": "The grey coating of m2"}, None),
        ({"message": "the rag burns."}, "small letter"),
        ({"message": "Whoever holds it burns."}, "banned"),
        ({"do": ("Put the rag into " + "the can " * 9 + "now.",)}, "words to do"),
        ({"brief": ("Keep 3\u00a0ft away.",)}, "unit not asked"),
    ],
)
def test_a_fault_of_a_caution_is_seen(change: dict[str, Any], fault: str | None) -> None:
    rag = Shown(
        id="rag", severity="danger", title="Rags burn", rank=1, message="Rags burn.", brief=(), do=(), source="x"
    )
    found = list(lint.caution_faults(msgspec.structs.replace(rag, **change), Style()))
    assert (not found) if fault is None else any(fault in one for one in found)


def test_each_kind_of_text_is_linted(lw: Catalogue) -> None:
    """A finding, a caution, a reason and a purchase that break a rule are named."""
    finding = Raised(id="bad", text="rate-widened", severity="note", values={"factor": Number(2.0)})
    rag = Shown(id="rag", severity="danger", title="Rags", rank=1, message="rags burn.", brief=(), do=(), source="x")
    said = {"": ("as-is", {"text": "nobody knows"}, Style())}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Speaker, "packs", lambda self, rows: "2 × 1 gal")
        patch.setattr(Speaker, "say", lambda self, id, values: str(values.get("text", "lower case")))
        patch.setattr(Speaker, "language_of", lambda self, id, values: None)
        bad = lint.broken(lw, lint.Heard([finding], {"rag": rag}, said, {((1, 0.004),)}))
    assert set(bad) == {"rate-widened", "caution/rag", "as-is", "purchase"}


AMERICAN = {"colour": "color", "grey": "gray", "labour": "labor", "fibre": "fiber", "litre": "liter", "metre": "meter"}
BRITISH = re.compile(rf"\b({'|'.join(AMERICAN)}|neutralise|oxidiser|vapour)(?:s|d|r|ed)?\b", re.IGNORECASE)


def test_what_is_spelt_otherwise_in_america_is_in_its_pack() -> None:
    packs = shipped().packs
    texts = {id: text for id, text in english() if BRITISH.search(text) and id not in packs["en-US"].parts}
    assert texts == {}
    words = {
        f"{of}.{id}"
        for of, labels in packs["en"].words.items()
        for id, label in labels.items()
        if BRITISH.search(label) and id not in packs["en-US"].words.get(of, {})
    }
    assert words == set()


def english() -> Iterator[tuple[str, str]]:
    """Yield the words of each text, without its placeholders."""
    for id, parts in shipped().packs["en"].parts.items():
        yield id, " ".join(part for part in parts if isinstance(part, str))
