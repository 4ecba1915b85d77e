"""One estimate of sanding: how many discs to have, in boxes as sold, and where trials hold. Hand-worked."""

from types import SimpleNamespace

import pytest

from latewood.problems import InputProblem
from latewood.rules.sanding_work.abrasive_grades import Ladder
from latewood.rules.sanding_work.consumed import Worn, pieces_of
from latewood.uncertainty import spread

LADDER = Ladder({"p60": 269e-6, "p80": 201e-6, "p120": 125e-6}, {}, (), {})
#: Pieces ask of a machine only which it is.
SANDER, EDGER = SimpleNamespace(id="sander"), SimpleNamespace(id="edger")
PINE = {
    "area": "40 m2",
    "species": "southern-yellow-pine",
    "coating": "semi-transparent-oil-stain",
    "treatment": "none",
    "treatment_evidence": "test",
}


def pieces(*worn, confidence=0.9):
    found = pieces_of([Worn(*one) for one in worn], LADDER, confidence)
    return {(one.grade, one.machine.id): (one.typical, one.count) for one in found}


def test_whole_pieces_are_of_the_sum():
    """10.4 and 3.2 are 13.6, so 14: 10.4·14/13.6 = 10.71 and 3.29, the piece over to the larger rest."""
    assert pieces(("p60", SANDER, 10.4), ("p80", SANDER, 3.2)) == {
        ("p60", "sander"): (11, 11),
        ("p80", "sander"): (3, 3),
    }


def test_machines_are_counted_apart():
    """0.4 and 0.4 of one machine and 0.4 of another: one piece of each grade at the least, discs fit one pad."""
    found = pieces(("p60", SANDER, 0.4), ("p80", SANDER, 0.4), ("p60", EDGER, 0.4))
    assert found == {("p60", "sander"): (1, 1), ("p80", "sander"): (1, 1), ("p60", "edger"): (1, 1)}


def test_a_grade_worn_on_two_faces_is_one_count():
    assert pieces(("p60", SANDER, 0.4), ("p60", SANDER, 0.5)) == {("p60", "sander"): (1, 1)}


def test_grades_that_do_not_wear_alike_are_not_both_at_their_worst():
    """Of two independent unknowns of 5 to 20, median 10, the sum is exceeded one time in ten well below 20 + 20."""
    own = [(grade, SANDER, spread.from_range(f"test/{grade}", 5.0, 20.0)) for grade in ("p60", "p80")]
    found = pieces(*own)
    whole = spread.quantile(spread.total([number for _, _, number in own]), 0.9)
    assert sum(count for _, count in found.values()) == -int(-whole // 1) < 40
    assert sum(typical for typical, _ in found.values()) >= 20


def test_grades_that_wear_alike_are_at_their_worst_together():
    """One unknown of 5 to 20 in both grades: the sum is exceeded one time in ten at 20 + 20."""
    one = spread.from_range("test/life", 5.0, 20.0)
    found = pieces(("p60", SANDER, one), ("p80", SANDER, one))
    assert found == {("p60", "sander"): (10, 20), ("p80", "sander"): (10, 20)}


@pytest.mark.parametrize(("at_hand", "per_box"), [(0, 10), (3, 10), (0, 1)])
def test_discs_sold_in_boxes_are_bought_in_boxes(run, at_hand, per_box):
    stock = [{"grade": grade, "at_hand": at_hand, "per_box": per_box} for grade in ("p60", "p80")]
    result, _ = run("abrasive-sequence", stock=stock, **PINE)
    for row in result.abrasives:
        needed = row.count - row.at_hand
        assert row.at_hand == min(at_hand, row.count)
        assert row.to_buy == -(-needed // per_box) * per_box
        assert row.boxes == (None if per_box == 1 else row.to_buy // per_box)


def test_floors_are_the_sums_of_field_and_perimeter(run):
    """A floor's hours and dust are its faces'; a zone with a face that no machine may sand is not a floor sanded."""
    faces = [
        {"zone": "a", "part": "field", "area": "20 m2"},
        {"zone": "a", "part": "perimeter", "area": "2 m2", "length": "16 m"},
        {"zone": "a", "part": "end-grain", "area": "0.5 m2"},
        {"zone": "b", "part": "field", "area": "10 m2", "profile": "grooved"},
    ]
    given = {name: value for name, value in PINE.items() if name != "area"}
    result, _ = run("abrasive-sequence", faces=faces, **given)
    [floor] = result.floors
    rows = {row.id: row for row in result.rows}
    assert floor.id == "a"
    assert rows["b-field"].status == "refused"
    for own, of_row in (("sanding_time", "time"), ("dust_mass", "dust_mass")):
        parts = [getattr(rows[f"a-{part}"], of_row) for part in ("field", "perimeter")]
        assert spread.quantile(getattr(floor, own), 0.9) == spread.quantile(spread.total(parts), 0.9)
    assert spread.value(floor.removal) == max(
        spread.value(rows[f"a-{part}"].removal) for part in ("field", "perimeter")
    )


def test_preparation_and_sequence_sand_alike_by_the_practice_of_the_firm(run):
    """One floor, asked directly of both, by a practice that ends finer than the default."""
    edge = {"area": "2.3 m2", "length": "18.7 m"}
    routes, counts = {}, {}
    for practice in ("open-grain", "smooth-feel"):
        faces = [
            {"zone": "main", "part": "field", "area": "37.7 m2"},
            {"zone": "main", "part": "perimeter", **edge},
        ]
        given = {name: value for name, value in PINE.items() if name != "area"} | {"practice": practice}
        sequence, _ = run("abrasive-sequence", faces=faces, condition="grey", **given)
        prepared, _ = run("preparation", area="40 m2", edge_strip=edge, signs=["grey"], old_coating="none", **given)
        [floor] = sequence.floors
        route = next(row for row in prepared.routes if row.id == "sand")
        for name in ("removal", "sanding_time", "vacuum_time", "dust_mass"):
            for quantile in (0.1, 0.5, 0.9):
                assert spread.quantile(getattr(route, name), quantile) == pytest.approx(
                    spread.quantile(getattr(floor, name), quantile), rel=1e-9
                )
        assert (route.typical_count, route.disc_count) == (floor.typical_count, floor.disc_count)
        counts[practice] = next(step.sequence for step in route.steps if step.does == "sand")
        routes[practice] = route
    assert counts["open-grain"] != counts["smooth-feel"]
    assert spread.value(routes["smooth-feel"].sanding_time) > spread.value(routes["open-grain"].sanding_time)


def test_trials_do_not_speak_of_what_a_wash_leaves(run):
    """A patch tried on the grey floor says what takes the grey off, and nothing of the fur after a wash."""
    patches = [{"grade": "p40", "passes": 3, "grey_left": False}]
    prepared, _ = run("preparation", patches=patches, signs=["grey"], old_coating="none", **PINE)
    grades = {row.id: next((s.sequence for s in row.steps if s.does == "sand"), None) for row in prepared.routes}
    assert grades["sand"].startswith("p40")
    assert grades["wash-and-sand"] == "p80"


@pytest.mark.parametrize(
    ("given", "at"),
    [
        ({"parts": [{"part": "guard", "machine": "random-orbit-125"}]}, "/parts/0/part"),
        ({"patches": [{"grade": "p60", "zone": "north", "grey_left": True}]}, "/patches/0/zone"),
        ({"patches": [{"grade": "p60", "part": "stair", "grey_left": True}]}, "/patches/0/part"),
        ({"edge_strip": {"area": "41 m2", "length": "10 m"}}, "/edge_strip/area"),
        ({"stock": [{"id": "net-a"}]}, "/stock/0"),
    ],
)
def test_what_preparation_cannot_mean_of_sanding_is_refused(run, given, at):
    with pytest.raises(InputProblem) as caught:
        run("preparation", **PINE, **given)
    assert {fault.pointer for fault in caught.value.faults} == {at}
