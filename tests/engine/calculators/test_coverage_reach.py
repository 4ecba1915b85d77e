"""Faces that sanding does not reach, when coverage is asked for by itself."""

import pytest

STAIN = {"coating": "semi-transparent-oil-stain", "species": "southern-yellow-pine", "surface": "sanded", "coats": 1}
#: Wood Handbook (FPL-GTR-190) p. 375: 200-400 ft2/gal on smooth wood, 100-200 on weathered; geometric means.
SMOOTH, WEATHERED = 282.843, 141.421
FT2_A_GALLON = 0.3048**2 / 3.785411784e-3


def rate(run, **face):
    """Return the rate of one face of 400 ft2, in ft2/gal, with what was found."""
    result, ledger = run("coverage", faces=[{"zone": "main", "area": "400 ft2", **face}], **STAIN)
    return result.spreading_rate.central / FT2_A_GALLON, {finding.id for finding in ledger.findings}


@pytest.mark.parametrize(
    ("face", "expected"),
    [
        ({"part": "field"}, SMOOTH),
        ({"part": "end-grain"}, SMOOTH),
        ({"part": "gap-faces"}, WEATHERED),
        ({"part": "lattice"}, WEATHERED),
        ({"part": "stair"}, SMOOTH),
        ({"part": "stair", "side": "underside"}, WEATHERED),
        ({"part": "gap-faces", "surface": "sanded"}, SMOOTH),
        ({"part": "field", "surface": "weathered"}, WEATHERED),
    ],
)
def test_rate_of_each_kind_of_face(run, face, expected):
    found, said = rate(run, **face)
    assert found == pytest.approx(expected, rel=1e-4)
    assert ("faces-left-weathered" in said) is (expected == WEATHERED and "surface" not in face)


def test_a_surface_nobody_gave_is_a_default_of_the_faces_within_reach_only(run):
    job = {name: given for name, given in STAIN.items() if name != "surface"}
    face = {"zone": "main", "area": "10 m2"}
    for part, said in (("field", True), ("gap-faces", False)):
        _, ledger = run("coverage", faces=[{**face, "part": part}], **job)
        assert ("default-surface" in {finding.id for finding in ledger.findings}) is said


def test_a_film_below_a_tread_is_not_on_a_walked_floor(run):
    for side, walked in ((None, True), ("underside", False)):
        face = {"zone": "main", "part": "stair", "area": "1 m2", **({"side": side} if side else {})}
        _, ledger = run("coverage", coating="solid-colour-stain", species="ipe", faces=[face])
        assert ("film-on-floor" in {finding.id for finding in ledger.findings}) is walked


def test_each_part_has_its_volume(run):
    """10 m2 of floor in two zones and 4 m2 of guard: by area where they take it alike, twice as much if weathered."""
    faces = [
        {"zone": "a", "part": "field", "area": "6 m2"},
        {"zone": "b", "part": "field", "area": "4 m2"},
        {"zone": "a", "part": "guard", "area": "4 m2"},
    ]
    result, _ = run("coverage", faces=faces, **STAIN)
    shares = {part.id: (part.area, part.volume.central / result.volume.central) for part in result.parts}
    assert shares == {"field": (10, pytest.approx(10 / 14)), "guard": (4, pytest.approx(4 / 14))}
    weathered = [*faces[:2], {**faces[2], "surface": "weathered"}]
    result, _ = run("coverage", faces=weathered, **STAIN)
    volumes = {part.id: part.volume.central for part in result.parts}
    assert volumes["guard"] / volumes["field"] == pytest.approx(8 / 10, rel=1e-4)
    bare, _ = run("coverage", faces=faces, coating="leave-to-grey", species="ipe")
    assert [(part.id, part.volume) for part in bare.parts] == [("field", 0), ("guard", 0)]
