"""Moisture readiness at its edges: beyond scales, contradictions, times out of order, films of water, many zones."""

from dataclasses import replace

import pytest

from latewood.calculators.moisture_readiness.compute.boards import Wood, read_cases
from latewood.formulas.drying_closed import Wetted
from latewood.problems import InputProblem
from latewood.wire import Options

CLIMATE = {"temperature": "20 degC", "relative_humidity": "65 %"}
NOW = "2026-05-04T09:00:00Z"


def readings(*percents, zone="main", **more):
    return [
        {"zone": zone, "reading": f"{percent} %", "pin_depth": "7 mm", "wood_temperature": "20 degC"} | more
        for percent in percents
    ]


def ask(engine, **fields):
    given = {"zones": [{"id": "main"}], "species": "douglas-fir", "weathered": False} | CLIMATE | fields
    return engine.answer("moisture-readiness", {k: v for k, v in given.items() if v is not None}, Options())


def of(answer, zone="main"):
    return next(one for one in answer["result"]["zones"] if one["id"] == zone)


def findings(answer):
    return {finding.id for finding in answer["findings"]}


def hourly(days, rain_at=(), start="2026-05-03T09:00:00Z"):
    count = 24 * days
    return {
        "start": start,
        "step": "1 h",
        "stamp": "start",
        "columns": {
            "air_temperature": {"unit": "degC", "values": [20.0] * count},
            "relative_humidity": {"unit": "%", "values": [65.0] * count},
            "rain": {"unit": "mm", "values": [2.0 if hour in rain_at else 0.0 for hour in range(count)]},
        },
    }


def test_numbers_are_left_out_where_a_reading_lies_above_the_scale(engine):
    """Above 30 % a meter is only qualitative (Wood Handbook ch. 13): no mean, scatter or bound is made of it."""
    zone = of(ask(engine, readings=readings(13, 13, 34)))
    assert zone["verdict"] == "not-ready"
    assert not {"mean", "deviation", "highest", "upper_bound"} & set(zone)
    assert "more than 30\u00a0%" in zone["reasons"][0]


def test_put_right_to_below_the_scale_a_reading_does_not_count(engine):
    """6 % at 60 °C is 2.4 % by the half point for 10 °F: below the 6 % from which a meter can tell."""
    answer = ask(engine, readings=readings(6, wood_temperature="60 degC"), temperature=None, relative_humidity=None)
    assert "below-meter-range" in findings(answer)
    assert of(answer)["count"] == 0
    assert of(answer)["verdict"] == "unknown"


@pytest.mark.parametrize("celsius", [-20, 55])
def test_wood_colder_or_warmer_than_corrections_are_known_for_is_read_again(engine, celsius):
    answer = ask(engine, readings=readings(13, 13, 13, wood_temperature=f"{celsius} degC"), moisture_limit="25 %")
    assert "beyond-temperature-correction" in findings(answer)
    assert of(answer)["verdict"] in ("ready-if-reread", "unknown")
    paths = {line.path for line in answer["basis"]}
    assert {"moisture-meter/resistance/corrects_from", "moisture-meter/resistance/corrects_to"} <= paths


def test_rules_of_ours_stand_in_the_basis_as_judgements(engine):
    """What no source gives is a record that can be overridden, and says so."""
    weather = CLIMATE | {"zones": [{"id": "main", "area": "30 m2"}, {"id": "side"}]}
    answer = ask(
        engine,
        **weather,
        readings=[*readings(13, 13, 13, taken=NOW), *readings(13, zone="side", taken=NOW)],
        now=NOW,
        coating="paint",
    )
    kinds = {line.path: line.kind for line in answer["basis"] if line.path.startswith("reading-practice/usual/")}
    ours = ("near", "implausible", "unexplained", "outlier", "scatter", "stands")
    assert {name: kinds[f"reading-practice/usual/{name}"] for name in ours} == dict.fromkeys(ours, "judgement")
    common = ("few", "some", "most", "large")
    assert {kinds[f"reading-practice/usual/{name}"] for name in common} == {"common-practice"}


def test_a_film_of_water_stops_coating_whatever_lies_below(engine):
    """Just washed in bone-dry air the wood below may be under the limit: the boards are wet all the same."""
    base = {"wettings": [{"cause": "washed"}], "coating": "clear-penetrating-oil", "relative_humidity": "5 %"}
    for method in ("closed-form", "numerical"):
        zone = of(ask(engine, **base, species="ipe", wetted_depth="0 mm", method=method))
        assert zone["verdict"] == "not-ready"
        assert "film of water" in zone["reasons"][0]
        assert zone["time_to_ready"]["value"] > 0
    seen = of(ask(engine, **base, species="ipe", wetted_depth="0 mm", zones=[{"id": "main", "surface_wet": False}]))
    assert seen["verdict"] == "ready-if-reread"


@pytest.mark.parametrize("cause", ["dew", "frost"])
def test_dew_and_frost_bring_a_film_not_millimetres(engine, cause):
    """A tenth of a litre on a square metre cannot fill 3 mm of wood: hours, not days, and by no series."""
    fields = {"wettings": [{"cause": cause}], "coating": "clear-penetrating-oil", "species": "ipe", "weathered": True}
    answer = ask(engine, **fields)
    assert of(answer)["model_moisture"]["value"] < 15
    assert "wetted_depth" not in of(answer)
    assert "wetted-depth-assumed" not in findings(answer)
    with pytest.raises(InputProblem) as problem:
        ask(engine, **fields, method="closed-form")
    assert problem.value.faults[0].pointer == "/method"


def test_a_planned_wash_is_waited_for(engine):
    """Dry now and washed tomorrow: ready a good while after the wash, and the curve rises with it."""
    at = "2026-05-05T09:00:00Z"
    zone = of(
        ask(
            engine,
            readings=readings(12, 12, 12, taken=NOW),
            now=NOW,
            wettings=[{"cause": "washed", "at": at}],
            wetted_depth="3 mm",
            coating="paint",
        )
    )
    assert zone["verdict"] == "ready-if-reread"
    assert zone["time_to_ready"]["value"] > 24 + 20
    curve = {point["id"]: point["outer_moisture"]["value"] for point in zone["curve"]}
    assert curve["12"] == pytest.approx(12, abs=0.2)
    assert curve["36"] > 16


def test_a_wetting_after_the_start_does_not_hold_the_start_up(engine):
    answer = ask(
        engine,
        readings=readings(12, 12, 12, taken=NOW),
        start="2026-05-04T12:00:00Z",
        wettings=[{"cause": "washed", "at": "2026-05-05T09:00:00Z"}],
        coating="paint",
    )
    assert (of(answer)["verdict"], of(answer)["time_to_ready"]["value"]) == ("ready", 0)
    assert "wetted-after-start" in findings(answer)


def test_later_readings_take_the_place_of_earlier_ones(engine):
    """Read wet, waited, read dry: the deck is ready, though both days are sent."""
    answer = ask(
        engine,
        readings=[*readings(22, 23, 22, taken="2026-05-01T09:00:00Z"), *readings(12, 12, 12, taken=NOW)],
        coating="paint",
    )
    assert (of(answer)["verdict"], of(answer)["count"]) == ("ready", 3)
    assert [reading["usable"] for reading in answer["result"]["readings"]] == [False] * 3 + [True] * 3
    assert "later readings" in answer["result"]["readings"][0]["why"]


def test_old_readings_do_not_make_it_ready(engine):
    zone = of(ask(engine, readings=readings(12, 12, 12, taken="2025-05-04T09:00:00Z"), now=NOW, coating="paint"))
    assert zone["verdict"] == "ready-if-reread"
    assert zone["reasons"] == ["the readings are more than 24\u00a0h old"]


def test_sunny_places_alone_do_not_make_it_ready(engine):
    """Readings always include shade, low clearance or end grain, which dry last: common practice, no source."""
    sunny = of(ask(engine, readings=readings(12, 12, 12, position="sun"), coating="paint"))
    shady = ask(engine, readings=[*readings(12, 12, position="sun"), *readings(12, position="shade")], coating="paint")
    assert sunny["verdict"] == "ready-if-reread"
    assert sunny["where_to_read"][0].startswith("in the shade")
    assert of(shady)["verdict"] == "ready"


def test_where_boards_of_several_woods_lie_the_lowest_limit_counts(engine):
    """17 % is below the 18 % of softwood and above the 16 % of dense hardwood under a penetrating oil."""
    fields = {"coating": "clear-penetrating-oil", "species": "western-redcedar"}
    cedar = ask(engine, **fields, readings=readings(17, 17, 17))
    mixed = ask(engine, **fields, readings=[*readings(17, 17), *readings(17, species="ipe", species_set=True)])
    assert [of(a)["moisture_limit"]["value"] for a in (cedar, mixed)] == pytest.approx([18, 16])
    assert of(mixed)["verdict"] == "not-ready"


def test_drops_that_disagree_are_told_and_the_slowest_decides(engine):
    drops = [{"zone": "main", "soak_time": t, "sanded": True} for t in ("2 s", "200 s")]
    answer = ask(engine, readings=readings(12, 12, 12), coating="paint", drop_tests=drops)
    assert of(answer)["verdict"] == "not-ready"
    assert "drop-tests-disagree" in findings(answer)


def test_a_drop_on_weathered_wood_says_nothing_where_the_whole_deck_is_weathered(engine):
    answer = ask(engine, weathered=True, drop_tests=[{"zone": "main", "soak_time": "200 s"}])
    assert "drop-test-says-nothing" in findings(answer)


@pytest.mark.parametrize(
    ("fields", "pointer"),
    [
        ({"drop_tests": [{"zone": "main"}]}, "/drop_tests/0"),
        ({"drop_tests": [{"zone": "main", "beads": True, "soak_time": "2 s"}]}, "/drop_tests/0/soak_time"),
        ({"thickness": "5 mm", "wetted_depth": "20 mm"}, "/wetted_depth"),
        ({"zones": [{"id": "main", "thickness": "8 mm", "wetted_depth": "9 mm"}]}, "/zones/0/wetted_depth"),
        ({"thickness": "5 mm", "outer_depth": "6 mm"}, "/outer_depth"),
        ({"thickness": "1 mm"}, "/thickness"),
        ({"now": NOW, "readings": readings(12, taken="2027-05-04T09:00:00Z")}, "/readings/0/taken"),
        ({"now": NOW, "start": "2026-05-01T09:00:00Z"}, "/start"),
        ({"start": "2026-05-01T09:00:00Z", "readings": readings(12, taken=NOW)}, "/start"),
        ({"readings": readings(*[12] * 1001)}, "/readings"),
    ],
)
def test_refused(engine, fields, pointer):
    with pytest.raises(InputProblem) as problem:
        ask(engine, **fields)
    assert problem.value.faults[0].pointer == pointer


@pytest.mark.parametrize("thickness", [5, 10, 100])
@pytest.mark.parametrize("method", ["closed-form", "numerical"])
def test_thin_and_thick_boards_never_hold_more_than_they_were_filled_to(engine, thickness, method):
    """Wetted right through, a board of 5 mm holds what wetting fills it to, by either method, and settles at 12 %."""
    zone = of(
        ask(
            engine,
            species="ipe",
            wettings=[{"cause": "washed"}],
            thickness=f"{thickness} mm",
            wetted_depth=f"{min(thickness, 20)} mm",
            outer_depth="5 mm",
            method=method,
        )
    )
    curve = [point["outer_moisture"]["value"] for point in zone["curve"]]
    assert max(curve) <= 33
    assert min(curve) >= 11.9


def test_the_series_takes_a_wetting_deeper_than_the_board_as_right_through():
    board = {
        "basic_density": 450.0,
        "thickness": 0.005,
        "core": 0.12,
        "cap": 0.28,
        "film": 0.0,
        "temperature": 293.15,
        "relative_humidity": 0.65,
        "exchange": 5e-8,
        "exchange_under": 5e-8,
    }
    through, deeper = (Wetted(**board, depth=depth).time_until(0.15, 0.005) for depth in (0.005, 0.02))
    assert deeper == through


def test_what_is_said_of_one_zone_does_not_hide_what_is_said_of_another(engine):
    zones = [{"id": "a"}, {"id": "b"}]
    answer = ask(engine, zones=zones, wettings=[{"cause": "washed"}], relative_humidity="90 %", coating="paint")
    for kind in ("never-in-this-weather", "wait-after-wetting"):
        told = [finding.params["zone"] for finding in answer["findings"] if finding.id == kind]
        assert told == ["a", "b"], kind


def test_freezing_is_said(engine):
    assert "frozen" in findings(ask(engine, temperature="-10 degC", wettings=[{"cause": "washed"}]))


def test_an_hour_of_weather_is_not_passed_off_as_weeks(engine):
    weather = hourly(1)
    fields = {"temperature": None, "relative_humidity": None, "coating": "paint", "now": "2026-05-03T10:00:00Z"}
    answer = ask(engine, weather=weather, wettings=[{"cause": "washed"}], wetted_depth="3 mm", **fields)
    assert "beyond-the-weather" in findings(answer)


def test_a_slow_end_that_is_not_in_sight_is_said(engine):
    answer = ask(engine, species="ipe", coating="clear-penetrating-oil", readings=readings(34, 34, 34))
    assert "slow-end-open" in findings(answer)
    assert of(answer)["time_to_ready"]["high"] == pytest.approx(60 * 24)


def deck(count):
    zones = [{"id": f"z{place}", "thickness": f"{20 + place % 5} mm"} for place in range(count)]
    read = [one for zone in zones for one in readings(12, 13, 14, zone=zone["id"], taken=NOW)]
    return {
        "zones": zones,
        "readings": read,
        "weather": hourly(30, rain_at={30, 31}),
        "now": NOW,
        "coating": "paint",
        "temperature": None,
        "relative_humidity": None,
    }


def test_zones_side_by_side_come_out_as_each_alone(engine):
    """Solved together, they share the steps that the wettest needs: a finer step moves an answer by minutes."""
    together = ask(engine, **deck(5))
    for place, zone in enumerate(deck(5)["zones"]):
        fields = deck(5) | {"zones": [zone], "readings": readings(12, 13, 14, zone=zone["id"], taken=NOW)}
        alone = of(ask(engine, **fields), zone["id"])
        beside = together["result"]["zones"][place]
        assert beside["verdict"] == alone["verdict"]
        assert beside["time_to_ready"]["value"] == pytest.approx(alone["time_to_ready"]["value"], rel=0.01)
        for one, other in zip(beside["curve"], alone["curve"], strict=True):
            assert one["outer_moisture"]["value"] == pytest.approx(other["outer_moisture"]["value"], abs=0.05)


def test_many_zones_with_hours_of_weather_take_the_steps_of_a_few(engine, solved):
    """Sixty zones one after the other would take fifteen times the steps of four; side by side each step is wider."""
    ask(engine, **deck(4))
    few = solved.copy()
    solved.clear()
    ask(engine, **deck(60))
    assert len(solved) == len(few)
    assert sum(solved) == 15 * sum(few)


WOOD = Wood(basic_density=430.0, thickness=0.025, filled=0.3, film=0.0, outer=0.005, factors=(0.5, 1.0, 2.0))


def reaches(wood, *, skin):
    return [(case.skin_depth, case.core, case.factor) for case in read_cases(wood, 0.2, 0.15, 0.003, skin=skin)]


def test_a_board_that_reads_wet_may_be_wet_twice_as_deep_or_all_through():
    """5 mm of 25 mm after a wetting, twice that, or all; without one 10 mm at best, else all of it. Judgement."""
    assert reaches(WOOD, skin=True) == [(0.005, 0.15, 2.0), (0.01, 0.15, 1.0), (0.025, 0.15, 0.5)]
    assert reaches(WOOD, skin=False) == [(0.01, 0.15, 2.0), (0.025, 0.15, 1.0), (0.025, 0.15, 0.5)]


def test_no_board_is_wet_deeper_than_it_is_thick():
    thin = replace(WOOD, thickness=0.008)
    assert [depth for depth, *_ in reaches(thin, skin=True)] == [0.005, 0.008, 0.008]


@pytest.mark.parametrize("reading", [0.15, 0.12])
def test_a_board_that_reads_no_wetter_than_it_is_inside_is_the_same_throughout(reading):
    cases = read_cases(WOOD, reading, 0.15, 0.003, skin=True)
    assert [(case.core, case.skin, case.skin_depth, case.factor) for case in cases] == [
        (reading, 0.0, 0.0, 2.0),
        (reading, 0.0, 0.0, 1.0),
        (reading, 0.0, 0.0, 0.5),
    ]


@pytest.mark.parametrize(
    ("temperature", "reading", "used"),
    [("5 degC", 18, {"coldest"}), ("20 degC", 28, {"wettest"}), ("20 degC", 18, set())],
)
def test_the_bound_of_the_model_that_is_passed_is_in_the_basis(engine, temperature, reading, used):
    """The drying model is fitted from 10 degC up, and to 25 % of moisture."""
    climate = {**CLIMATE, "temperature": temperature}
    answer = ask(engine, readings=readings(reading, reading, reading), **climate)
    assert {line.path.split("/")[-1] for line in answer["basis"]} & {"coldest", "wettest"} == used


@pytest.mark.parametrize(("temperature", "open_ended"), [("25 degC", False), ("1 degC", True)])
def test_the_slow_end_is_open_only_where_it_lies_beyond_sixty_days(engine, temperature, open_ended):
    """Thick boards, wet throughout: in the cold the slowest case takes longer than is looked ahead, in summer not."""
    climate = {"temperature": temperature, "relative_humidity": "60 %"}
    answer = ask(engine, zones=[{"id": "main", "thickness": "50 mm"}], readings=readings(26, 26, 26), **climate)
    assert of(answer)["verdict"] == "not-ready"
    assert ("slow-end-open" in findings(answer)) is open_ended
