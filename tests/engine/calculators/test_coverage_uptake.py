"""What the last grade of sanding does to volumes: a face that takes up less needs less, and only where it is sanded."""

import pytest

from latewood.problems import InputProblem
from latewood.uncertainty import spread

OIL = {"coating": "clear-penetrating-oil", "species": "ipe"}
FIELD = {"zone": "main", "part": "field", "area": "40 m2"}


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def ends(number):
    return [spread.low(number), spread.value(number), spread.high(number)]


@pytest.mark.parametrize("share", [0.5, 0.924, 1.0, 1.5])
def test_volume_goes_with_the_uptake(run, share):
    """Arithmetic: on one area volume and rate are reciprocal. 0.924 is P120 beside P80 at 8 m2/L, by hand."""
    usual, _ = run("coverage", area="40 m2", surface="sanded", **OIL)
    result, ledger = run("coverage", area="40 m2", surface="sanded", uptake=f"{share:.1%}".replace("%", " %"), **OIL)
    for name in ("applied", "retained", "wiped_off", "volume"):
        expected = [share * end for end in ends(getattr(usual, name))]
        assert ends(getattr(result, name)) == pytest.approx(expected, rel=1e-6)
    assert ("uptake-after-sanding" in ids(ledger)) is (share != 1)
    used = {line.path: line.si.value for line in ledger.basis if line.path.startswith("input/uptake")}
    assert used == ({} if share == 1 else {"input/uptake/main-field": pytest.approx(share)})


def test_only_the_sanded_faces_of_a_deck_take_up_less(run):
    faces = [FIELD, {"zone": "main", "part": "gap-faces", "area": "12 m2"}]
    usual, _ = run("coverage", faces=faces, **OIL)
    result, ledger = run("coverage", faces=faces, uptake="90 %", **OIL)
    before, after = ({part.id: spread.central(part.volume) for part in r.parts} for r in (usual, result))
    assert after["field"] == pytest.approx(0.9 * before["field"])
    assert after["gap-faces"] == pytest.approx(before["gap-faces"])
    own = [{**FIELD, "uptake": "80 %"}, {**FIELD, "zone": "north"}]
    result, _ = run("coverage", faces=own, uptake="90 %", **OIL)
    whole = {zone.id: spread.central(zone.volume) for zone in result.zones}
    assert whole["main"] / whole["north"] == pytest.approx(8 / 9)
    assert "uptake-not-counted" not in ids(ledger)


def test_an_uptake_that_nothing_can_have_is_said(run):
    _, ledger = run("coverage", area="40 m2", surface="weathered", uptake="90 %", **OIL)
    assert "uptake-not-counted" in ids(ledger)


@pytest.mark.parametrize(
    ("job", "at"),
    [
        ({"area": "40 m2", "coating": "solid-colour-stain", "species": "ipe", "uptake": "90 %"}, "/uptake"),
        ({"area": "40 m2", "coating": "leave-to-grey", "uptake": "90 %"}, "/uptake"),
        ({"faces": [{**FIELD, "surface": "weathered", "uptake": "90 %"}], **OIL}, "/faces/0/uptake"),
        ({"faces": [{**FIELD, "part": "lattice", "uptake": "90 %"}], **OIL}, "/faces/0/uptake"),
    ],
)
def test_uptake_is_refused_where_it_means_nothing(run, job, at):
    with pytest.raises(InputProblem) as caught:
        run("coverage", **job)
    assert at in [fault.pointer for fault in caught.value.faults]
