"""The picture of a job: what it draws, what it says in words, and what it refuses."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from tests.bundled import bundled

from latewood.cli import main
from latewood.problems import InputProblem
from latewood.wire import Options

SVG = "{http://www.w3.org/2000/svg}"
JOBS = Path(__file__).parents[3] / "examples" / "jobs"
ZONE = {
    "id": "main",
    "outline": "0 0, 20 0, 24 4, 24 16, 12 16, 12 12, 0 12 ft",
    "holes": ["2 2, 5 2, 5 4, 2 4 ft"],
    "boards": {"size": "5/4x6", "gap": "1/8 in", "direction": "30 deg"},
    "edges": {"wall_sides": [4, 5, 6], "rail_sides": [7, 1]},
}


@pytest.fixture(scope="module")
def engine():
    return bundled()


@pytest.fixture
def draw(engine):
    def draw(job, **options):
        return engine.plan_svg({"schema": 1, **job}, Options(**options))

    return draw


def rings(element):
    return [
        [tuple(map(float, point.split())) for point in ring.removeprefix("M").split("L")]
        for ring in element.get("d").split("Z")
        if ring
    ]


def zones_of(root):
    return [path for path in root.iter(f"{SVG}path") if path.get("class") == "zone"]


def spans(root):
    """Return from where to where each zone is drawn along x (cm)."""
    corners = [[x for x, _ in rings(path)[0]] for path in zones_of(root)]
    return [(min(xs), max(xs)) for xs in corners]


def numbers(root):
    """Return where the numbers of sides are written (cm)."""
    texts = [text for text in root.iter(f"{SVG}text") if text.text.isdigit()]
    return {text.text: (float(text.get("x")), float(text.get("y"))) for text in texts}


def test_zone_boards_and_edges_are_drawn_where_they_are(draw, engine):
    root = ET.fromstring(draw({"zones": [ZONE]}))
    paths = {path.get("class"): path for path in root.iter(f"{SVG}path")}
    outline = rings(paths["zone"])
    # Centimetres, y upwards on paper: 24 ft by 16 ft.
    assert max(x for x, _ in outline[0]) == pytest.approx(24 * 30.48)
    assert min(y for _, y in outline[0]) == pytest.approx(-16 * 30.48)
    assert len(outline) == 2, "the outline and its hole"
    answer = engine.calculate("area", zones=[ZONE])["result"]
    assert len(rings(paths["board"])) == answer["zones"][0]["pieces"]
    lines = [line.get("class") for line in root.iter(f"{SVG}line")]
    assert sorted(lines) == ["rail", "rail", "wall", "wall", "wall"]
    assert len(list(root.iter(f"{SVG}polygon"))) == 1


def test_boards_fill_the_zone_they_are_drawn_in(draw):
    """The drawn strips, turned back from their own frame, must lie in the outline and cover it but for the gaps."""
    import shapely

    root = ET.fromstring(draw({"zones": [ZONE]}))
    paths = {path.get("class"): path for path in root.iter(f"{SVG}path")}
    outline, hole = rings(paths["zone"])
    floor = shapely.Polygon(outline, [hole])
    boards = shapely.union_all([shapely.Polygon(ring) for ring in rings(paths["board"])])
    assert boards.difference(floor.buffer(0.1)).area == pytest.approx(0, abs=1e-6)
    assert boards.area / floor.area == pytest.approx(0.978, abs=0.003)


def test_the_words_say_what_the_picture_shows(draw):
    low = {"id": "low", "area": "30 ft2"}
    guard = {"id": "south", "zone": "main", "length": "20 ft"}
    text = draw({"zones": [ZONE, low], "guards": [guard]}, units="us")
    root = ET.fromstring(text)
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == "Plan view of main, low"
    words = root.find(f"{SVG}desc").text
    for said in (
        "Zone main: 7 corners, 24\u00a0ft by 16\u00a0ft, ",
        "It has 1 hole.",
        "boards run at 30\u00a0degrees",
        "Sides along walls: 4, 5, 6.",
        "Sides below railings: 7, 1.",
        "Zone low: 30\u00a0sq ft; it has no place and is not drawn.",
        "Not drawn, because they have no place: railing south (main).",
    ):
        assert said in words
    assert {root.get("aria-labelledby")} == {"title desc"}
    assert "script" not in text
    assert "href" not in text


def test_the_words_are_in_the_language_and_units_asked_for(draw):
    zone = {**ZONE, "title": "Patio grande"}
    job = {
        "zones": [zone, {"id": "low", "area": "30 ft2"}],
        "guards": [{"id": "south", "zone": "low", "length": "20 ft"}],
    }
    root = ET.fromstring(draw(job, lang="es", units="metric"))
    assert root.find(f"{SVG}title").text == "Vista en planta de Patio grande, low"
    words = root.find(f"{SVG}desc").text
    assert words.startswith("Zona Patio grande: 7 esquinas, 7.32\u00a0m por 4.88\u00a0m, ")
    assert "Sin dibujar, porque no tienen lugar: baranda south (low)." in words
    legend = [text.text for text in root.iter(f"{SVG}text") if ":" in text.text]
    assert legend == ["línea gruesa: paredes y huecos; línea de trazos: bajo barandas"]


def test_drawings_from_other_corners_stand_apart(draw):
    zones = [
        {"id": "a", "outline": "5 5, 8 5, 8 7, 5 7 m"},
        {"id": "b", "length": "4 m", "width": "2 m"},
    ]
    root = ET.fromstring(draw({"zones": zones}))
    assert spans(root) == [(0, 300), (400, 800)]


def test_levels_over_one_another_are_drawn_apart(draw):
    low = {"id": "low", "outline": "0 0, 8 0, 8 6, 0 6 m", "level": "0.4 m"}
    shed = {"id": "shed", "part_of": "low", "outline": "0 0, 2 0, 2 2, 0 2 m"}
    high = {"id": "high", "outline": "2 2, 6 2, 6 6, 2 6 m", "level": "3 m"}
    root = ET.fromstring(draw({"zones": [low, high, shed]}))
    # The part stays with its zone; the upper level begins a metre beyond.
    assert spans(root) == [(0, 800), (0, 200), (900, 1300)]
    assert "Levels that lie over one another are drawn apart" in root.find(f"{SVG}desc").text
    beside = ET.fromstring(draw({"zones": [low, {**high, "outline": "8 0, 12 0, 12 6, 8 6 m"}]}))
    assert spans(beside) == [(0, 800), (800, 1200)]
    assert "drawn apart" not in beside.find(f"{SVG}desc").text


@pytest.mark.parametrize(
    "outline", ["0 0, 6 0, 6 4, 0 4 m", "0 0, 0 4, 6 4, 6 0 m"], ids=["anticlockwise", "clockwise"]
)
def test_sides_are_numbered_inside_the_outline(draw, outline):
    """The walls of an outline are named by number: each number stands beside the middle of its own side."""
    root = ET.fromstring(draw({"zones": [{"id": "a", "outline": outline}]}))
    points = [tuple(float(value) * 100 for value in point.split()[:2]) for point in outline.split(", ")]
    found = numbers(root)
    assert sorted(found) == ["1", "2", "3", "4"]
    for side, (x, y) in found.items():
        (a, b), (c, d) = points[int(side) - 1], points[int(side) % 4]
        assert abs(x - (a + c) / 2) + abs(-y - (b + d) / 2) < 20
        assert 0 < x < 600
        assert 0 < -y < 400


@pytest.mark.parametrize(
    ("outline", "least"),
    [
        ("0 0, 1500 0, 1500 2, 0 2 m", 8),
        ("0 0, 2 0, 2 300, 0 300 m", 40),
        ("0 0, 0.2 0, 0.2 0.2, 0 0.2 m", 900),
        ("0 0, 30 0, 30 20, 0 20 ft", 600),
    ],
)
def test_any_size_can_be_looked_at(draw, outline, least):
    """No picture is larger than a browser draws, the narrow side is still seen, and all words are inside."""
    root = ET.fromstring(draw({"zones": [{"id": "a-rather-long-name", "outline": outline}]}))
    left, top, wide, tall = map(float, root.get("viewBox").split())
    pixel = wide / float(root.get("width"))
    assert pixel == pytest.approx(tall / float(root.get("height")), rel=1e-2)
    assert max(float(root.get("width")), float(root.get("height"))) < 6500
    drawn = rings(zones_of(root)[0])[0]
    sides = [max(axis) - min(axis) for axis in zip(*drawn, strict=True)]
    assert min(sides) / pixel >= least * 0.99
    for text in root.iter(f"{SVG}text"):
        half = len(text.text) * 0.25 * float(text.get("font-size"))
        assert left < float(text.get("x")) - half
        assert float(text.get("x")) + half < left + wide
        assert top < float(text.get("y")) < top + tall


def test_thick_lines_are_explained_where_there_are_any(draw):
    def words(edges):
        root = ET.fromstring(draw({"zones": [{"id": "a", "length": "4 m", "width": "3 m", "edges": edges}]}))
        return [text.text for text in root.iter(f"{SVG}text") if ":" in text.text]

    assert words({}) == []
    assert words({"wall_sides": [1]}) == ["thick: walls and holes"]
    assert words({"rail_sides": [1], "wall_sides": [2]}) == ["thick: walls and holes; dashed: below railings"]


def test_edge_work_without_a_place_is_said(draw):
    edges = {"wall_length": "4 m", "posts": 3, "obstacles": [{"id": "planter", "perimeter": "2 m"}]}
    text = draw({"zones": [{"id": "a", "length": "4 m", "width": "3 m", "edges": edges}]})
    said = ET.fromstring(text).find(f"{SVG}desc").text
    assert "Edge work without a place in the picture: 4\u00a0m along walls, 3 posts, planter." in said


def test_a_long_boardwalk_stays_small(draw):
    walk = {"id": "walk", "outline": "0 0, 1428 0, 1428 2, 0 2 m", "boards": {"size": "5/4x6", "direction": "90 deg"}}
    text = draw({"zones": [walk]})
    (boards,) = [p for p in ET.fromstring(text).iter(f"{SVG}path") if p.get("class") == "board"]
    assert 1000 < len(rings(boards)) <= 1500
    assert "Only one in 7 of the boards is drawn." in text


def test_a_job_with_nothing_to_draw_still_says_so(draw):
    root = ET.fromstring(draw({"zones": [{"id": "main", "area": "400 ft2"}]}))
    assert "has no place and is not drawn" in root.find(f"{SVG}desc").text
    assert not list(root.iter(f"{SVG}path"))


def test_a_wrong_outline_is_refused_by_its_place(draw):
    with pytest.raises(InputProblem) as caught:
        draw({"zones": [{"id": "main", "outline": "0 0, 2 2, 2 0, 0 2 m"}]})
    assert [fault.pointer for fault in caught.value.faults] == ["/zones/0/outline"]


def test_the_same_picture_every_time(draw):
    assert draw({"zones": [ZONE]}) == draw({"zones": [ZONE]})


@pytest.mark.parametrize("name", ["millrace", "terrace", "two_levels", "quayside"])
def test_the_command_prints_it(name, capsys):
    assert main(["plan", str(JOBS / f"{name}.toml"), "--svg"]) == 0
    assert ET.fromstring(capsys.readouterr().out).tag == f"{SVG}svg"
