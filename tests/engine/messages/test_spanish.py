"""An answer asked for in Spanish is Spanish: nothing is taken from English, by id of text and of record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

import msgspec
import pytest
from tests.engine.messages import side_by_side
from tests.goldens.record import JOBS

from latewood.catalogue import Catalogue
from latewood.job_files import read_file, with_weather
from latewood.wire import Options

#: Words of English that no Spanish sentence has.
ENGLISH: Final = re.compile(r"\b(the|of|and|is|are|not|with|from|by|that|it|for|to|be|has|than|was)\b")
#: What is the same in every language: ids, citations, what the caller wrote, a record's number as its file has it.
SAME: Final = frozenset({"id", "path", "source", "given", "params", "values", "reference", "name", "sheet"})


@pytest.fixture(scope="module")
def answers(lw: Catalogue) -> list[Any]:
    """Every example in Spanish: plans of jobs as data and as text, and what each calculator shows."""
    lw.shelf.texts.fell_back.clear()
    spanish = Options(lang="es")
    jobs = [with_weather(read_file(file), JOBS) for file in sorted(JOBS.glob("*.toml"))]
    found: list[Any] = [lw.plan(job, spanish) for job in jobs]
    found += [lw.plan_text(job, spanish).splitlines() for job in jobs]
    found += [lw.answer(one.id, dict(one.example), spanish) for one in lw.calculators.values()]
    return found


def test_nothing_in_the_examples_is_taken_from_english(lw: Catalogue, answers: list[Any]) -> None:
    assert len(answers) > 20
    taken = sorted({id for lang, id in lw.shelf.texts.fell_back if lang == "es"})
    assert taken == []


def sentences(tree: Any) -> Iterator[str]:
    """Yield the texts of an answer, without what is the same in every language."""
    if isinstance(tree, dict):
        for name, one in tree.items():
            if name not in SAME:
                yield from sentences(one)
    elif isinstance(tree, list | tuple):
        for one in tree:
            yield from sentences(one)
    elif isinstance(tree, str) and " " in tree:
        yield tree


def test_no_sentence_in_the_examples_is_english(answers: list[Any]) -> None:
    said = {re.sub(r"\d[\d.,]*", "#", one) for one in sentences(msgspec.to_builtins(answers))}
    assert len(said) > 1000
    english = sorted(one for one in said if ENGLISH.search(_without_titles(one)))
    assert english == []


def _without_titles(text: str) -> str:
    """Return a text without what is cited in it by its own title."""
    return re.sub(r"Wood and Fiber Science|Work at Height Regulations|\([^()]*: [^()]*\)", "", text)


def test_spanish_lacks_no_text_and_no_word(lw: Catalogue) -> None:
    assert lw.shelf.texts.missing("es") == []


def test_every_record_is_translated(lw: Catalogue) -> None:
    pairs = list(side_by_side.records(lw, "es"))
    assert len(pairs) > 2000
    assert [pair.key for pair in pairs if pair.other is None] == []


def figures(text: str) -> list[str]:
    """Return the figures of a text, in order of size: a sentence may be turned round."""
    return sorted(re.findall(r"\d+(?:[.,/]\d+)*", text))


def test_every_text_keeps_its_figures(lw: Catalogue) -> None:
    lost = [
        pair
        for pair in (*side_by_side.records(lw, "es"), *side_by_side.messages(lw, "es"))
        if pair.other is not None and figures(pair.english) != figures(pair.other)
    ]
    assert lost == []


def test_briefs_fit_their_lines(lw: Catalogue) -> None:
    for pair in side_by_side.records(lw, "es"):
        if "/brief/" in pair.key:
            assert pair.other is not None
            assert len(pair.other) <= 90, pair.key


#: Words that read two ways between Spain and the Americas, or that look like the English one and mean another thing.
TWO_WAYS: Final = {
    r"\babrillantador": "a brightener lightens wood and polishes nothing: aclarador",
    r"\bacanalad": "cupped boards are not grooved: abarquilladas",
    r"\bmadera blanda": "softwood is wood of conifers: madera de conífera",
    r"\blej[ií]as?\b(?!,? \(?(?:doméstica )?\(?cloro)": "bleach in Spain, lye elsewhere: lejía (cloro)",
    r"\bblanqueador(?! de oxígeno)": "bleach to some: lejía (cloro)",
    r"\bsosa\b": "caustic is any strong alkali: cáustico",
    r"\bdisolvente": "solvente, as everywhere in the pack",
    r"\bchorre[aeo]": "drip or blast: tratar con chorro",
}


def test_no_word_reads_two_ways(lw: Catalogue) -> None:
    pairs = [*side_by_side.records(lw, "es"), *side_by_side.messages(lw, "es")]
    found = [
        (pair.key, pair.other, why)
        for pair in pairs
        for word, why in TWO_WAYS.items()
        if pair.other is not None and re.search(word, pair.other, re.IGNORECASE)
    ]
    assert found == []
