"""Drum and belt sanders: where they go, what they ask for, what they use up and what they leave behind."""

import pytest

from latewood.uncertainty import spread

PINE = {
    "species": "southern-yellow-pine",
    "coating": "semi-transparent-oil-stain",
    "condition": "grey",
    "treatment": "none",
    "treatment_evidence": "test",
}
#: 1,200 ft2, the floor of a public question on sanding ten years of weather off a deck.
LARGE = "1200 ft2"


def with_machine(machine, part="field", **job):
    return {**PINE, "parts": [{"part": part, "machine": machine}], **job}


def found(ledger):
    return {finding.id: finding for finding in ledger.findings}


def face(part, **more):
    return {"zone": "main", "part": part, "area": "10 m2", **more}


@pytest.mark.parametrize(
    ("machine", "form"),
    [
        ("floor-drum", "sheet"),
        ("floor-orbital", "sheet"),
        ("belt-75", "belt"),
        ("random-orbit-150", "disc"),
        ("straight-orbit-sheet", "sheet"),
    ],
)
def test_what_is_bought_is_called_what_the_machine_takes(run, machine, form):
    """Common practice, no source: a belt sander takes belts, a drum a sheet round it, an orbital discs or sheets."""
    result, _ = run("abrasive-sequence", area="40 m2", **with_machine(machine))
    own = [row for row in result.abrasives if row.machine.id == machine]
    assert own
    assert {row.form for row in own} == {form}


def test_a_drum_is_many_times_as_fast_as_a_belt(run):
    """Classes of machine differ 5 to 25 times in pace (reports of deck owners); one has a drum 24 times a belt."""
    first = {}
    for machine in ("floor-drum", "belt-75"):
        result, _ = run("abrasive-sequence", area=LARGE, **with_machine(machine))
        first[machine] = spread.value(result.rows[0].steps[0].time)
    assert 5 <= first["belt-75"] / first["floor-drum"] <= 25


def test_an_orbital_follows_the_drum_and_is_counted(run):
    """Public answers on a 1,200 ft2 cedar deck: drum, then orbital. Its pass has hours, discs and depth of its own."""
    result, ledger = run("abrasive-sequence", area=LARGE, **with_machine("floor-drum"))
    *drum, last = result.rows[0].steps
    assert all(step.machine is None for step in drum)
    assert (last.machine.id, last.abrasive) == ("random-orbit-150", drum[-1].abrasive)
    assert spread.value(last.depth) == pytest.approx(0.25 * 201e-6)  # a quarter of the grain of P80
    assert "marks-taken-out" in found(ledger)
    forms = {(row.abrasive, row.form) for row in result.abrasives}
    assert ("p80", "disc") in forms
    plain, _ = run("abrasive-sequence", area=LARGE, **PINE)
    assert [step.machine for step in plain.rows[0].steps] == [None, None]


def test_the_pattern_seen_is_that_of_the_machine_that_ends(run):
    """The field ends under an orbital as its edge does, so their last scratches do not part them."""
    faces = [face("field"), face("perimeter", length="20 m")]
    _, ledger = run("abrasive-sequence", faces=faces, **with_machine("floor-drum"))
    assert "edge-halo" not in found(ledger)


@pytest.mark.parametrize(
    ("machine", "part", "planned"),
    [
        ("floor-drum", "field", True),
        ("floor-drum", "perimeter", False),
        ("floor-drum", "stair", False),
        ("floor-drum", "guard", False),
        ("floor-orbital", "perimeter", False),
        ("belt-75", "perimeter", True),
        ("belt-75", "stair", True),
        ("belt-75", "guard", False),
        ("belt-75", "lattice", False),
    ],
)
def test_a_machine_works_the_parts_it_can_reach(run, machine, part, planned):
    """Common practice, no source: a drum leaves every edge over; a belt goes along narrow ones, on no baluster."""
    result, ledger = run("abrasive-sequence", faces=[face(part)], **with_machine(machine, part))
    assert (result.rows[0].status == "planned") is planned
    assert ("machine-unsuited" in found(ledger)) is not planned
    if not planned:
        assert result.abrasives == ()
        assert result.time is None
        assert found(ledger)["machine-unsuited"].pointer == "/parts/0/machine"


@pytest.mark.parametrize(
    ("machine", "cupped", "status", "severity"),
    [
        ("floor-drum", True, "refused", "stop"),
        ("floor-drum", False, "planned", None),
        ("belt-75", True, "planned", "warning"),
        ("random-orbit-150", True, "planned", None),
    ],
)
def test_cupped_boards_are_no_work_for_a_drum(run, machine, cupped, status, severity):
    """Floor trade's answers: sanding takes the high edges alone, and boards sanded flat too early crown."""
    result, ledger = run("abrasive-sequence", area="40 m2", cupped=cupped, **with_machine(machine))
    assert result.rows[0].status == status
    said = [finding.severity for id, finding in found(ledger).items() if id.endswith("-on-cupped-boards")]
    assert said == ([] if severity is None else [severity])
    assert "cupping-not-said" not in found(ledger)


def test_where_nobody_looked_for_cupping_a_straightedge_is_asked_for(run):
    _, ledger = run("abrasive-sequence", area="40 m2", **with_machine("floor-drum"))
    assert "straightedge" in found(ledger)["cupping-not-said"].message
    _, ledger = run("abrasive-sequence", area="40 m2", **PINE)
    assert "cupping-not-said" not in found(ledger)


def test_the_dangers_of_a_drum_are_said_with_what_to_do(run):
    """Household and trade texts: it digs in where it stands, ripples, tears on heads; decks are softer than floors."""
    _, soft = run("abrasive-sequence", area="40 m2", **with_machine("floor-drum"))
    told = {"drum-digs-in", "drum-chatters", "drum-tears-on-heads"}
    assert told | {"drum-gouges-softwood"} <= found(soft).keys()
    _, hard = run("abrasive-sequence", area="40 m2", **{**with_machine("floor-drum"), "species": "ipe"})
    assert told <= found(hard).keys()
    assert "drum-gouges-softwood" not in found(hard)
    _, belt = run("abrasive-sequence", area="40 m2", **with_machine("belt-75"))
    assert {"belt-digs-in", "belt-grooves", "belt-tears-on-heads"} <= found(belt).keys()


def test_belts_in_the_box_are_no_discs(run):
    stock = [{"grade": grade, "form": "belt", "at_hand": 100} for grade in ("p60", "p80")]
    result, _ = run("abrasive-sequence", area="10 m2", stock=stock, **with_machine("belt-75"))
    by_form = {row.form: row for row in result.abrasives if row.abrasive == "p80"}
    assert (by_form["belt"].to_buy, by_form["disc"].at_hand) == (0, 0)
    assert by_form["disc"].to_buy >= 1
    result, _ = run("abrasive-sequence", area="10 m2", stock=stock, **PINE)
    assert result.rows[0].status == "impossible"


def test_heads_go_as_deep_as_the_drum_asks(run):
    """At least 1/8 in (3.175 mm) below the surface before a floor sander: a householders' guide."""
    job = {"fasteners": 676, "fastener": "screw", "removal": "0.3 mm"}
    plain, _ = run("fasteners", **job)
    drum, ledger = run("fasteners", machine="floor-drum", **job)
    assert plain.set_depth == pytest.approx(0.0013)
    assert drum.set_depth == pytest.approx(0.003175)
    assert "cover-for-machine" in found(ledger)
    # Deeper still where more is to come off.
    deep, _ = run("fasteners", machine="floor-drum", **{**job, "removal": "4 mm"})
    assert deep.set_depth == pytest.approx(0.005)
    # Heads that lie 2 mm deep are proud to a drum: all of them are set.
    shallow, ledger = run("fasteners", machine="floor-drum", fastener_cover="2 mm", **job)
    assert shallow.treated == 676
    assert "too-shallow-for-machine" in found(ledger)
    enough, ledger = run("fasteners", machine="floor-drum", fastener_cover="5 mm", **job)
    assert enough.treated < 676
    assert not {"too-shallow-for-machine", "cover-for-machine"} & found(ledger).keys()
