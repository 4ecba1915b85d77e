"""What an answer rests on: basis, findings, cautions, working."""

from __future__ import annotations

from typing import Annotated, Any

import msgspec
import numpy as np
import pytest

from latewood.declare import Symbol, formula
from latewood.provenance import Danger, Ledger, Number, Shown, Sourced, merge_basis, merge_cautions
from latewood.provenance.ledger import MATTERS
from latewood.uncertainty import spread


def sourced(path: str = "coating/oil/spreading/sanded/low", **more: Any) -> Sourced:
    return Sourced(
        **{
            "path": path,
            "given": "250-400 ft2/us_gal",
            "si": 7761.0,
            "low": 6136.0,
            "high": 9817.0,
            "unit": "1/m",
            "evidence": "published",
            "source": "a-handbook",
            "where": "table 1",
            **more,
        }
    )


def test_taking_a_number_writes_it_into_the_basis():
    ledger = Ledger("coverage")
    number = ledger.take(sourced())
    assert (spread.low(number), spread.value(number), spread.high(number)) == pytest.approx((6136, 7761, 9817))
    (line,) = ledger.basis
    assert (line.path, line.given, line.kind, line.source, line.where) == (
        "coating/oil/spreading/sanded/low",
        "250-400 ft2/us_gal",
        "published",
        "a-handbook",
        "table 1",
    )
    assert line.si is not None
    assert (line.si.value, line.si.low, line.si.high, line.si.unit) == (7761.0, 6136.0, 9817.0, "1/m")
    assert line.used_by == ("coverage",)


def test_a_number_taken_twice_is_one_line():
    ledger = Ledger("coverage")
    assert ledger.take(sourced()).paths == ledger.take(sourced()).paths == {"coating/oil/spreading/sanded/low"}
    assert len(ledger.basis) == 1


def test_a_point_stays_a_float():
    assert Ledger("x").take(sourced(low=None, high=None)) == 7761.0


def test_a_number_moves_with_another():
    one, other = sourced(), sourced("coating/oil/spreading/sanded/high", unknown="coating/oil/spreading/sanded/low")
    assert one.number.paths == other.number.paths


def test_a_symmetric_number_is_normal():
    number = sourced(si=10.0, low=5.0, high=15.0, symmetric=True).number
    assert spread.quantile(number, 0.02) < 3  # a lognormal of these quantiles stays above 3.2


def test_the_order_of_the_basis_is_that_of_use():
    ledger = Ledger("x")
    for path in ("c/c/c", "a/a/a", "b/b/b", "a/a/a"):
        ledger.take(sourced(path))
    ledger.use("input/rule", "of-applied", "default")
    assert [line.path for line in ledger.basis] == ["c/c/c", "a/a/a", "b/b/b", "input/rule"]


@pytest.mark.parametrize(
    ("effect", "said"), [(None, False), (0.0, False), (MATTERS, False), (0.1001, True), (3.0, True)]
)
def test_a_default_that_matters_is_a_finding(effect, said):
    """Design: more than 10 %."""
    ledger = Ledger("coverage")
    ledger.default("product.rate_basis", "applied", effect=effect, why="most sheets mean that")
    (line,) = ledger.basis
    assert (line.path, line.given, line.kind, line.note) == (
        "input/product/rate_basis",
        "applied",
        "default",
        "most sheets mean that",
    )
    assert bool(ledger.findings) is said
    if said:
        (finding,) = ledger.findings
        assert (finding.id, finding.severity) == ("default-product-rate-basis", "note")
        assert finding.pointer == "/product/rate_basis"
        assert finding.params == {"assumed": "applied", "effect": round(effect, 4)}
        assert finding.values["effect"] == {"value": pytest.approx(effect * 100, rel=1e-6), "unit": "%"}


def test_the_threshold_is_the_designs():
    assert pytest.approx(0.10) == MATTERS


def test_a_finding_can_be_sent_whatever_its_numbers_come_from():
    ledger = Ledger("coverage")
    params = {"after": np.float64(1.5), "coats": np.int64(2), "zones": ["a"]}
    ledger.find("gap-floor-missing", params=params)
    (finding,) = ledger.findings
    assert msgspec.json.decode(msgspec.json.encode(finding.params)) == {"after": 1.5, "coats": 2, "zones": ["a"]}


def test_a_finding_is_said_once_for_each_place():
    ledger = Ledger("x")
    for pointer in ("/a", "/a", "/b", None, None):
        ledger.find("gap-floor-missing", pointer=pointer)
    assert [finding.pointer for finding in ledger.findings] == ["/a", "/b", None]


class Rule:
    """A caution that wants some facts."""

    def __init__(self, id: str, **when: Any) -> None:
        self.id = id
        self.when = when

    def holds(self, facts: Any) -> bool:
        return all(facts.get(name) == value for name, value in self.when.items())

    def graver(self, facts: Any) -> bool:
        return self.holds(facts) and facts.get("proud") is True

    def show(self, places: tuple[str, ...], *, graver: bool = False) -> Shown:
        severity: Danger = "danger" if graver else "warning"
        return Shown(
            id=self.id, severity=severity, title="…", rank=1, message="…", brief=(), do=(), source="a", places=places
        )


def test_cautions_name_the_components_they_are_about():
    ledger = Ledger("plan")
    ledger.fact("binder", "drying-oil")
    ledger.fact("arsenical", "yes", of="north")
    ledger.fact("arsenical", "no", of="south")
    ledger.fact("arsenical", "yes", of="stair")
    ledger.fact("old", "film", of="south")
    rules = [
        Rule("oil", binder="drying-oil"),
        Rule("arsenic", arsenical="yes"),
        Rule("oil-on-arsenic", arsenical="yes", binder="drying-oil"),
        Rule("film-on-arsenic", arsenical="yes", old="film"),
        Rule("lead", lead="yes"),
    ]
    assert [(shown.id, shown.places) for shown in ledger.cautions(rules)] == [
        ("oil", ()),
        ("arsenic", ("north", "stair")),
        ("oil-on-arsenic", ("north", "stair")),
    ]


def test_a_caution_is_as_grave_as_for_the_worst_of_its_components():
    ledger = Ledger("plan")
    for zone in ("north", "south"):
        ledger.fact("sanded", True, of=zone)
    assert [shown.severity for shown in ledger.cautions([Rule("fire", sanded=True)])] == ["warning"]
    ledger.fact("proud", True, of="south")
    (shown,) = ledger.cautions([Rule("fire", sanded=True)])
    assert (shown.severity, shown.places) == ("danger", ("north", "south"))


def test_merged_cautions_are_said_once_the_worst_first():
    def said(id: str, severity: Danger, step: str, *parts: str) -> Shown:
        return Shown(
            id=id,
            severity=severity,
            title="…",
            rank=1,
            message="…",
            brief=(),
            do=(),
            source="a",
            places=parts,
            steps=(step,) if step else (),
        )

    merged = merge_cautions(
        [
            said("oil", "warning", "", "north"),
            said("noise", "caution", "sand"),
            said("oil", "danger", "coat", "south", "north"),
            said("oil", "warning", "wipe", "north"),
            said("rags", "warning", "coat"),
            said("rags", "warning", "sand", "south"),
            said("rags", "warning", "wipe", "north"),
        ]
    )
    assert [(one.id, one.severity, one.places, one.steps) for one in merged] == [
        ("oil", "danger", ("north", "south"), ("coat", "wipe")),
        # What is said of the whole job is not narrowed by a step that names one part of it.
        ("rags", "warning", (), ("coat", "sand", "wipe")),
        ("noise", "caution", (), ("sand",)),
    ]


def test_the_last_word_on_a_fact_holds():
    ledger = Ledger("x")
    ledger.fact("binder", "wax")
    ledger.fact("binder", "acrylic")
    assert [shown.id for shown in ledger.cautions([Rule("w", binder="wax"), Rule("a", binder="acrylic")])] == ["a"]


def test_merged_bases_name_every_user_once():
    one, two, three = Ledger("area"), Ledger("coverage"), Ledger("coverage")
    one.take(sourced("a/a/a"))
    two.take(sourced("b/b/b"))
    two.take(sourced("a/a/a"))
    three.take(sourced("a/a/a"))
    merged = merge_basis([one.basis, two.basis, three.basis])
    assert [(line.path, line.used_by) for line in merged] == [
        ("a/a/a", ("area", "coverage")),
        ("b/b/b", ("coverage",)),
    ]


@formula(symbols="A = l·w", source="plane geometry")
def rectangle(
    *, length: Annotated[Number, Symbol("l", "m")], width: Annotated[Number, Symbol("w", "m")]
) -> Annotated[Number, Symbol("A", "m2")]:
    """Multiply length by width.

    Only the first line is printed.
    """
    return length * width


def test_a_step_computes_and_is_written_down_at_its_medians():
    ledger = Ledger("area", working=True)
    width = spread.lognormal("w", 1.0, 2.0, 4.0)
    area = ledger.step(rectangle, "main", length=3.0, width=width)
    assert (spread.low(area), spread.high(area)) == pytest.approx((3.0, 12.0))
    assert ledger.steps is not None
    (step,) = ledger.steps
    assert (step.numbers, step.value, step.about) == ({"length": 3.0, "width": 2.0}, 6.0, "main")
    assert step.formula.words == "Multiply length by width."


def test_a_step_computes_without_working():
    ledger = Ledger("area")
    assert ledger.step(rectangle, length=3.0, width=2.0) == 6.0
    assert ledger.steps is None


def test_a_formula_declares_each_of_its_symbols():
    with pytest.raises(TypeError, match="width has no Symbol"):

        @formula(symbols="A = l·w", source="plane geometry")
        def careless(
            *, length: Annotated[float, Symbol("l", "m")], width: float
        ) -> Annotated[float, Symbol("A", "m2")]:
            return length * width
