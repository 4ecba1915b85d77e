"""Every default that is told as a finding has a label for its field, in English and in Spanish."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from tests.goldens.record import answer, cases

from latewood.catalogue import Catalogue
from latewood.messages import Word
from latewood.provenance import Ledger


@pytest.fixture(scope="module")
def told(lw: Catalogue) -> list[tuple[Word, Word, object]]:
    """Label, output and value of each default that any example or check assumes."""
    found: list[tuple[Word, Word, object]] = []
    with pytest.MonkeyPatch.context() as patch:
        find = Ledger.find

        def seen(ledger: Ledger, id: str, *rest: object, **more: object) -> None:
            if more.get("text") in ("assumed", "assumed-unweighed"):
                found.append((more["label"], more["output"], more["value"]))  # type: ignore[arg-type]  # as it is called
            find(ledger, id, *rest, **more)  # type: ignore[arg-type]  # as it was called

        patch.setattr(Ledger, "find", seen)
        for _, calculator, given in cases(lw):
            answer(lw, calculator, given, "metric")
    return found


def lacking(lw: Catalogue, lang: str, words: list[Word]) -> Iterator[str]:
    pack = lw.shelf.texts.packs[lang]
    yield from (f"{word.of}: {word}" for word in dict.fromkeys(words) if word not in pack.words.get(word.of, {}))


@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_field_and_output_of_a_default_has_a_label(
    lw: Catalogue, told: list[tuple[Word, Word, object]], lang: str
) -> None:
    assert len({label for label, _, _ in told}) > 20
    words = [word for label, output, value in told for word in (label, output, value) if isinstance(word, Word)]
    assert sorted(set(lacking(lw, lang, words))) == []
