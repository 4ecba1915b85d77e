"""Every call that raises a message fits what is declared, and no sentence stands in code beside them."""

from __future__ import annotations

from pathlib import Path

import pytest

from latewood.messages import Texts, shipped
from latewood.messages.calls import faults, sentences
from latewood.messages.sources import Bundle, Source, own

ENGINE = Path(__file__).parents[3] / "engine" / "latewood"
#: What does not speak to those who ask: formulas and records declare, what loads and tries plugins speaks to their
#: authors, the command line to whoever keeps the engine, and typed calls to who programs. All else does.
TO_AUTHORS = {
    "calling.py",
    "calls.py",
    "cli",
    "formulas",
    "messages",
    "plugin",
    "records",
    "registry.py",
    "trial.py",
    "verify.py",
}


def speaking() -> list[Path]:
    return sorted(path for path in ENGINE.rglob("*.py") if path.relative_to(ENGINE).parts[0] not in TO_AUTHORS)


def test_every_call_fits_what_is_declared() -> None:
    assert list(faults(shipped(), sorted(ENGINE.rglob("*.py")))) == []


def test_no_sentence_stands_in_code() -> None:
    found = {str(path.relative_to(ENGINE)): list(sentences(path.read_text())) for path in speaking()}
    told = {name: lines[:3] for name, lines in found.items() if lines}
    assert not told, "move these sentences to the messages.toml beside them"


def source(text: str, tmp_path: Path) -> list[Path]:
    file = tmp_path / "code.py"
    file.write_text(text)
    return [file]


@pytest.mark.parametrize(
    ("call", "wrong"),
    [
        ('ledger.find("a-b", n=Count(1), area=Area(2.0))', ""),
        ('ledger.find("a-b", n=Count(1))', "gives ['n'], declared ['area', 'n']"),
        ('ledger.find("a-b", n=Name("x"), area=Area(1.0))', "n is name, declared count"),
        ('ledger.find("no-such")', "there is no message 'no-such'"),
        ('ledger.find("a-clause")', "there is no message 'a-clause'"),
        ('clause("a-b")', "there is no message 'a-b'"),
        ('refusal("a-b", "/x")', "there is no refusal 'a-b'"),
        ('ledger.find("other", text="a-b", n=Count(1))', "gives ['n'], declared ['area', 'n']"),
        ('ledger.find("a-b" if x else "a-c", n=Count(1), area=Area(1.0))', "there is no message 'a-c'"),
    ],
)
def test_a_call_that_does_not_fit_is_seen(call: str, wrong: str, tmp_path: Path) -> None:
    a = {"severity": "note", "params": {"n": "count", "area": "area"}, "text": "{n} on {area}."}
    tree = {"schema": 1, "message": {"a-b": a}, "clause": {"a-clause": {"text": "x"}}}
    texts = Texts([Bundle(manners=own().manners), Bundle(sources=(("here", Source(**_read(tree))),))])
    found = list(faults(texts, source(f"{call}\n('a-b', 'a-clause')", tmp_path)))
    assert (not found and not wrong) or any(wrong in one for one in found)


def _read(tree: dict) -> dict:
    import msgspec

    whole = msgspec.convert(tree, Source)
    return {name: getattr(whole, name) for name in Source.__struct_fields__}


def test_what_nothing_raises_is_seen(tmp_path: Path) -> None:
    assert any("coating-unknown is raised by nothing" in one for one in faults(shipped(), source("", tmp_path)))


@pytest.mark.parametrize(
    ("code", "seen"),
    [
        ('x = "the floor is far too wet"', True),
        ('x = f"the floor of {zone} is wet"', True),
        ('"""The floor is far too wet."""', False),
        ('def f():\n    """The floor is far too wet."""', False),
        ('x = F("The floor is far too wet")', False),
        ('raise ValueError(f"the floor of {x} is too wet")', False),
        ('x = "a-single-id"', False),
        ('x = "two words"', False),
        ('x = {"description": "The floor is far too wet."}', False),
        ('x = {"detail": "The floor is far too wet."}', True),
        ('x = {"description": [f("the floor is far too wet")]}', False),
        ('raise UnitError("the floor is far too wet")', True),
    ],
)
def test_a_sentence_in_code_is_seen(code: str, seen: bool) -> None:
    assert bool(list(sentences(code))) is seen
