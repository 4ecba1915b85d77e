"""The rhythm of coating and wiping: regimes, deadlines, refusals, the way off, cloths."""

from __future__ import annotations

import itertools
import math

import msgspec
import pytest

from latewood import running
from latewood.messages import Time
from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.uncertainty import spread

DECK = {
    "coating": "clear-penetrating-oil",
    "species": "ipe",
    "surface_temperature": "23 degC",
    "course_length": "16 ft",
    "pitch": "143 mm",
    "courses": 27,
    "appliers": 1,
}
POINT = {"laying_pace": "25 m2/h", "wiping_pace": "40 m2/h", "edge_pace": "40 m/h"}
SINGLE = ("course_length", "pitch", "courses")


def deck(*without, **more):
    return {name: value for name, value in {**DECK, **more}.items() if name not in without}


def runs(*rows):
    return {**deck(*SINGLE), "runs": [{"course_length": "4 m", "pitch": "143 mm", "courses": 8, **row} for row in rows]}


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def refused(run, fields):
    with pytest.raises(InputProblem) as caught:
        run("wipe-cadence", **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_every_course_is_in_one_band_which_stops_at_a_full_board(run):
    result, _ = run("wipe-cadence", **deck(**POINT))
    numbers = [n for band in result.bands for n in range(band.first_course, band.last_course + 1)]
    assert numbers == list(range(1, 28))
    assert [band.stop for band in result.bands] == ["full-board"] * 4 + ["end"]
    assert all(band.slack >= 0 for band in result.bands)
    assert max(band.last_course - band.first_course + 1 for band in result.bands) == result.courses_per_band == 6


def test_bands_stop_at_natural_breaks_where_they_can(run):
    """Corners after 4 and 10 of 15 courses of at most 6: as few bands, at 4 and 10."""
    result, _ = run("wipe-cadence", **runs({"id": "main", "courses": 15, "break_after": [4, 10]}), **POINT)
    assert [(band.last_course, band.stop) for band in result.bands] == [
        (4, "natural-break"),
        (10, "natural-break"),
        (15, "end"),
    ]


def test_the_first_stroke_starts_the_clock_also_at_an_edge(run):
    """18.69 m over 27 courses, 0.69 m each: 1.04 min at 40 m/h. The deadline of a band runs from its first edge."""
    result, _ = run("wipe-cadence", **deck(edge_length="18.6944 m"), **POINT)
    band = result.bands[0]
    assert band.edge_length == pytest.approx(18.6944 / 27 * band.last_course)
    assert band.wipe_deadline - band.begins == pytest.approx(20 * 60)
    cut = band.edge_length / 40 * 3600
    assert band.laid_by - band.begins == pytest.approx(cut + 4.8768 * 0.143 * band.last_course / 25 * 3600)
    assert result.least_dwell < 15 * 60 - 0.143 * 4.8768 / 25 * 3600


def test_a_whole_perimeter_is_not_cut_in_first(run):
    """Common practice: never more than one band ahead. 18.69 m at 40 m/h are 28 min, the oil is due after 15."""
    with pytest.raises(InputProblem) as caught:
        run("wipe-cadence", **deck(edge_length="18.6944 m", edges_ahead=27), **POINT)
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.code) == ("/edges_ahead", "conflict")
    assert [fault.values[name] / 60 for name in ("takes", "due", "by")] == pytest.approx([28, 15, 20], abs=0.1)
    assert refused(run, deck(edges_ahead=2)) == {("/edges_ahead", "conflict")}


def test_one_band_ahead_is_refused_where_one_person_cannot_meet_it(run):
    """The edges of the second band are wet from the start, and its field is laid when the first is wiped."""
    result, _ = run("wipe-cadence", **deck(edge_length="18.6944 m", edges_ahead=1), **POINT)
    assert result.verdict == "no"
    assert "cut-in-with-the-band" in {change.id for change in result.changes}
    result, _ = run("wipe-cadence", **deck(edge_length="18.6944 m", edges_ahead=1, wipers=2, cutters=1), **POINT)
    assert result.verdict == "yes"


def test_a_time_that_cannot_be_met_is_refused_and_says_what_would_help(run):
    """12 m boards, 9.36 min to lay at 11 m2/h and 5.15 to wipe, on boards of 32 °C that are late after 9.07 min."""
    asked = deck(course_length="12 m", surface_temperature="32 degC", laying_pace="11 m2/h", wiping_pace="20 m2/h")
    result, ledger = run("wipe-cadence", **asked)
    assert (result.verdict, result.courses_per_band, result.bands, result.timeline) == ("no", 0, (), ())
    assert result.duration is None
    (stop,) = [finding for finding in ledger.raised if finding.severity == "stop"]
    assert stop.id == "crew-cannot-keep-up"
    assert stop.values["why"].values["by"] / 60 == pytest.approx(9.07, abs=0.005)
    cool, _ = run("wipe-cadence", **{**asked, "surface_temperature": "23 degC"})
    assert [change.id for change in result.changes if change.id == "shade"] == ["shade"]
    assert cool.verdict == next(change.verdict for change in result.changes if change.id == "shade")


def test_every_change_does_what_it_says(run):
    """Each line of advice, done, gives the verdict, the width and the time it promised."""
    asked = deck(edge_length="60 ft", courses_per_band=4, surface_temperature="28 degC", laying_pace="8-40 m2/h")
    result, _ = run("wipe-cadence", **asked)
    done = {
        "one-wiper-more": {"wipers": 1},
        "one-applier-more": {"appliers": 2},
        "somebody-cuts-in": {"cutters": 1},
        "free-width": {"courses_per_band": None},
        "pad-on-a-pole": {"arm_reach": "2.4 m"},
        "shade": {"surface_temperature": "23 degC"},
    }
    assert result.changes
    for change in result.changes:
        fields = {name: value for name, value in {**asked, **done[change.id]}.items() if value is not None}
        then, _ = run("wipe-cadence", **fields)
        assert (then.verdict, then.courses_per_band) == (change.verdict, change.courses_per_band), change.id
        assert then.duration == pytest.approx(change.duration), change.id


def test_a_slow_crew_narrows_the_bands(run):
    """20 min hold 3 courses at 8 m2/h (5.23 min each, a minute to turn, 2.1 min of wiping) and 6 at 25 m2/h."""
    result, ledger = run("wipe-cadence", **deck(laying_pace="8-40 m2/h", wiping_pace="20-60 m2/h"))
    row = result.runs[0]
    assert (row.most_courses, row.limited_by) == (3, "deadline")
    assert row.typical_courses > 3
    assert "measure-the-first-band" in ids(ledger)
    assert result.slow_duration > result.duration
    point, ledger = run("wipe-cadence", **deck(laying_pace="8 m2/h", wiping_pace="20 m2/h"))
    assert point.courses_per_band == 3
    assert "measure-the-first-band" not in ids(ledger)
    assert point.slow_duration == point.duration


def test_what_only_the_typical_pace_meets_is_at_risk(run):
    product = {"hottest": "45 degC", "wipe": "15-20 min"}
    result, ledger = run("wipe-cadence", **deck(surface_temperature="40 degC", wipers=1, product=product))
    assert result.verdict == "at-risk"
    assert result.runs[0].most_courses == 0
    assert "slow-crew-is-late" in ids(ledger)
    assert result.changes[0].id == "shade"


def test_the_regime_goes_by_sheet_then_by_family_and_wood(run):
    stain = deck(coating="semi-transparent-oil-stain", species="southern-yellow-pine")
    for fields, regime in (
        (stain, "wet-on-wet"),
        ({**stain, "species": "ipe"}, "one-flood-coat"),
        ({**stain, "coating": "clear-penetrating-oil"}, "one-flood-coat"),
        ({**stain, "coating": "unknown"}, "one-flood-coat"),
        ({**stain, "product": {"regime": "one-flood-coat"}}, "one-flood-coat"),
    ):
        result, ledger = run("wipe-cadence", **fields)
        assert result.regime.id == regime
        assert (result.second_coat_after is not None) == (regime == "wet-on-wet")
        assert [line for line in ledger.basis if line.path == f"wiping-regime/{regime}/chosen"]
    missing = {name: value for name, value in stain.items() if name != "species"}
    result, ledger = run("wipe-cadence", **missing)
    assert (result.regime.id, result.wipe_after) == ("one-flood-coat", 15 * 60)
    assert "species-not-given" in ids(ledger)


def test_the_data_sheet_overrides_the_times(run):
    sheet = {"wipe": "30-45 min", "longest_wipe": "50 min"}
    result, _ = run("wipe-cadence", **deck(product=sheet))
    assert (result.wipe_after, result.wipe_by) == (30 * 60, 45 * 60)
    cold, _ = run("wipe-cadence", **deck(product=sheet, surface_temperature="8 degC"))
    assert (cold.wipe_after, cold.wipe_by) == (30 * 60, 50 * 60)
    once, _ = run("wipe-cadence", **deck(product={"wipe": "20 min"}))
    assert (once.wipe_after, once.wipe_by) == (20 * 60, 25 * 60)
    twice = {"regime": "wet-on-wet", "wipe": "60 min", "second_coat": "30-45 min"}
    wet, _ = run("wipe-cadence", **deck(product=twice))
    assert (wet.second_coat_after, wet.second_coat_by) == (30 * 60, 45 * 60)
    assert refused(run, deck(product={"regime": "wet-on-wet", "wipe": "60 min"})) == {
        ("/product/second_coat", "missing")
    }
    assert refused(run, deck(product={"regime": "wet-on-wet"})) == {("/product/wipe", "missing")}


def test_the_second_coat_goes_on_while_the_first_is_wet(run):
    """Wood Handbook, chapter 16: 20 to 60 minutes after the first; about an hour later it is wiped."""
    stain = deck(coating="semi-transparent-oil-stain", species="southern-yellow-pine", **POINT)
    result, _ = run("wipe-cadence", **stain)
    again = [event for event in result.timeline if event.id.endswith("-again")]
    lay = {event.id.removesuffix("-lay"): event.begins for event in result.timeline if event.id.endswith("-lay")}
    assert len(again) == len(result.bands)
    for event in again:
        assert 20 * 60 <= event.begins - lay[event.id.removesuffix("-again")] <= 60 * 60
    assert result.most_dwell <= 75 * 60 + 1e-6
    assert result.wipe_after == 60 * 60


def test_families_whose_excess_stays_are_refused(run):
    for coating in ("paint", "leave-to-grey", "water-repellent-preservative", "waterborne-stain"):
        assert refused(run, deck(coating=coating)) == {("/coating", "conflict")}


def test_the_way_ends_where_one_gets_off(run):
    """A door at course 3 of 8: two courses from the far side, then back from course 8 to the door."""
    result, _ = run("wipe-cadence", **runs({"id": "main", "exit_course": 3, "break_after": [5]}), **POINT)
    way = [(band.first_course, band.last_course) for band in result.bands]
    assert way == [(1, 2), (8, 3)]
    last, _ = run("wipe-cadence", **runs({"id": "main", "exit_course": 1, "first_edge": "4 m"}), **POINT)
    assert [(band.first_course, band.last_course) for band in last.bands] == [(8, 5), (4, 1)]
    assert [band.edge_length for band in last.bands] == [0, pytest.approx(4)]


def test_nobody_crosses_wet_boards(run):
    """The way off a run leads out, or over a run that is not coated yet."""
    two = runs({"id": "main", "leads_to": "wing"}, {"id": "wing", "leads_to": "exit"})
    result, _ = run("wipe-cadence", **two, **POINT)
    first, second = result.runs
    assert [band.run for band in result.bands] == sorted(band.run for band in result.bands)
    wing = next(band for band in result.bands if band.run == "wing")
    assert wing.begins == pytest.approx(first.duration + 60)
    assert result.duration == pytest.approx(first.duration + 60 + second.duration)
    assert refused(run, runs({"id": "main"}, {"id": "wing", "leads_to": "main"})) == {("/runs/1/leads_to", "conflict")}
    assert refused(run, runs({"id": "main", "leads_to": "main"})) == {("/runs/0/leads_to", "conflict")}
    assert refused(run, runs({"id": "main", "leads_to": "wnig"})) == {("/runs/0/leads_to", "unknown-id")}


def test_what_does_not_fit_together_is_refused(run):
    assert refused(run, deck("pitch")) == {("/pitch", "missing")}
    assert refused(run, deck(*SINGLE)) == {(f"/{name}", "missing") for name in SINGLE}
    assert refused(run, {**runs({"id": "main"}), "courses": 3}) == {("/runs", "conflict")}
    assert refused(run, runs({"id": "a"}, {"id": "a"})) == {("/runs/1/id", "repeated")}
    assert refused(run, runs({"id": "a", "exit_course": 9})) == {("/runs/0/exit_course", "conflict")}
    assert refused(run, runs({"id": "a", "break_after": [3, 8]})) == {("/runs/0/break_after/1", "conflict")}
    assert refused(run, deck(gap_pace="45 m/h")) == {("/gap_pace", "conflict")}
    many = runs({"id": "a", "courses": 400}, {"id": "b", "courses": 1})
    assert refused(run, many) == {("/runs", "conflict")}


def test_wider_than_one_reaches_is_refused(run):
    result, _ = run("wipe-cadence", **deck(courses_per_band=7), **POINT)
    assert result.verdict == "no"
    assert result.text.values["why"].id == "bands-beyond-reach"
    assert result.text.values["why"].values["reach"] == pytest.approx(0.9)
    result, _ = run("wipe-cadence", **deck(courses_per_band=5), **POINT)
    assert (result.verdict, result.runs[0].limited_by) == ("yes", "asked")
    assert result.courses_per_band == 5


def test_brushing_into_gaps_takes_its_time(run):
    """4.8768 m of gap at 45 m/h are 6.5 min on each course of 1.67 min."""
    result, _ = run("wipe-cadence", **deck(gap_faces="coated", gap_pace="45 m/h"), **POINT)
    each = result.runs[0].laying_time / result.runs[0].courses_per_band
    assert each == pytest.approx(4.8768 * 0.143 / 25 * 3600 + 4.8768 / 45 * 3600)
    assert result.courses_per_band == 2
    usual, ledger = run("wipe-cadence", **deck(gap_faces="coated"))
    assert usual.verdict in ("yes", "at-risk")
    assert "rate/coat-gaps/length_pace" in {line.path for line in ledger.basis}


@pytest.mark.parametrize(
    ("temperature", "finding"),
    [
        # An article on painting decks: boards below 90 degF, 32 degC. Data sheets of natural oils: from 5 degC on.
        ("32 degC", None),
        ("32.3 degC", "boards-beyond-hottest"),
        ("40 degC", "boards-beyond-hottest"),
        ("5 degC", None),
        ("4.99 degC", "boards-beyond-coldest"),
        ("2 degC", "boards-beyond-coldest"),
    ],
)
def test_no_hour_is_an_instruction_on_boards_the_finish_does_not_bear(run, temperature, finding):
    result, ledger = run("wipe-cadence", **deck(surface_temperature=temperature))
    stops = {one.id for one in ledger.findings if one.severity == "stop"}
    assert stops == (set() if finding is None else {finding})
    nothing = (result.wipe_after, result.wipe_by, result.duration, result.courses_per_band, result.cloths)
    assert (nothing == (None, None, None, 0, 0)) is (finding is not None)
    assert (result.verdict == "no") is (finding is not None)
    if finding is not None:
        assert (result.runs, result.bands, result.timeline, result.changes, result.duties) == ((), (), (), (), ())
        assert not {"wipe-deadline", "crew-cannot-keep-up"} & ids(ledger)
        assert result.text.id == "nothing-laid"
        assert not any(isinstance(value, Time) for value in result.text.values["why"].values.values())


def test_the_limit_is_the_one_the_windows_go_by_or_the_data_sheets(run, engine):
    for coating in ("clear-penetrating-oil", "semi-transparent-oil-stain"):
        limit = engine.shelf.record("coating", coating).limits.hottest.si - 273.15
        at, above = ({"surface_temperature": f"{limit + more} degC", "coating": coating} for more in (0, 0.5))
        assert "boards-beyond-hottest" not in ids(run("wipe-cadence", **{**deck(), **at})[1])
        assert "boards-beyond-hottest" in ids(run("wipe-cadence", **{**deck(), **above})[1])
        sheet = {"hottest": f"{limit + 1} degC"}
        # The family's time to wipe does not hold beyond its limit: common practice, no source.
        for product, stopped in ((sheet, True), ({**sheet, "wipe": "15-20 min"}, False)):
            result, ledger = run("wipe-cadence", **{**deck(), **above, "product": product})
            assert ("boards-beyond-hottest" in ids(ledger)) is stopped
            assert (result.wipe_after is None) is stopped
            raised = next(one for one in ledger.raised if one.id == "sheet-raises-hottest")
            assert raised.severity == "warning"
            named = [raised.values[name] - 273.15 for name in ("usual", "stated")]
            assert named == pytest.approx([limit, limit + 1])
        assert "sheet-raises-hottest" not in ids(run("wipe-cadence", **{**deck(), **at, "product": sheet})[1])
    with pytest.raises(InputProblem) as caught:
        run("wipe-cadence", **deck(product={"hottest": "10 degC", "coldest": "10 degC"}))
    assert [fault.pointer for fault in caught.value.faults] == ["/product/hottest"]


def test_silence_on_the_boards_is_neither_too_cold_nor_too_warm(run):
    _, ledger = run("wipe-cadence", **deck("surface_temperature"))
    assert "default-surface-temperature" in ids(ledger)
    assert not {"boards-beyond-coldest", "boards-beyond-hottest"} & ids(ledger)


def test_cloths_go_by_what_is_laid_on_else_by_area(run):
    """18.83 m2 at 4 m2 a cloth, 2 m2 at worst; 5 L at half a litre, a quarter at worst (judgement)."""
    result, _ = run("wipe-cadence", **deck())
    assert (result.cloths, result.most_cloths) == (math.ceil(18.83 / 4), math.ceil(18.83 / 2))
    result, _ = run("wipe-cadence", **deck(applied="5 L"))
    assert (result.cloths, result.most_cloths) == (10, 20)
    result, _ = run("wipe-cadence", **deck(applied="0.1 L", wipers=4))
    assert result.cloths == 4


def test_oily_cloths_are_a_duty(run, engine):
    result, ledger = run("wipe-cadence", **deck(wipers=1))
    assert [duty.id for duty in result.duties] == ["before", "each-band", "end-of-day"]
    assert result.duties[0].message.values == {"most": result.most_cloths}
    into_can = [event for event in result.timeline if event.id.endswith("-cloths")]
    assert [event.begins for event in into_can] == [band.wiped for band in result.bands]
    shown = {caution.id for caution in ledger.cautions(engine.shelf.records("caution").values())}
    assert "self-heating-waste" in shown


def test_the_time_line_runs_forward(run):
    result, _ = run("wipe-cadence", **deck(wipers=1, edge_length="20 ft"))
    times = [event.begins for event in result.timeline]
    assert all(after >= before - 1e-6 for before, after in itertools.pairwise(times))
    assert times[0] == 0
    assert len({event.id for event in result.timeline}) == len(times)
    assert result.timeline[-1].begins == pytest.approx(result.duration)


def test_the_working_leads_to_the_wait_of_the_first_course(run):
    result, ledger = run("wipe-cadence", **deck(**POINT))
    (wait,) = [step for step in ledger.steps if step.formula.id == "first-wait"]
    band = result.bands[0]
    lay, wipe = 4.8768 * 0.143 / 25 * 3600, 4.8768 * 0.143 / 40 * 3600
    assert wait.value == pytest.approx(band.last_course * lay + 60 + wipe)
    (within,) = [step for step in ledger.steps if step.formula.id == "courses-within"]
    assert spread.central(within.value) == pytest.approx(20 * 60 / lay)


def test_with_somebody_who_follows_boards_are_laid_one_by_one(run):
    """Six courses of 143 mm are within 0.9 m: the seventh is begun when the first is wiped, at 16 min or so."""
    result, _ = run("wipe-cadence", **deck(wipers=1, edge_length="20 ft", courses=18), **POINT)
    assert [(band.first_course, band.last_course) for band in result.bands] == [(1, 6), (7, 12), (13, 18)]
    first, second, _ = result.bands
    assert first.wiping_begins == pytest.approx(first.begins + 15 * 60)
    assert second.begins == pytest.approx(first.wiping_begins + result.runs[0].wiping_time / 6)
    assert result.least_dwell > 13 * 60
    corner = {"id": "main", "courses": 16, "edge_length": "4 m", "break_after": [5]}
    result, _ = run("wipe-cadence", **runs(corner), wipers=1, **POINT)
    assert [band.last_course for band in result.bands if band.stop == "natural-break"] == [5]


@pytest.fixture
def other(engine):
    """Run the calculator with a family as a pack from outside might bring it."""

    def other(temperature=296.15, **changed):
        calculator = engine.calculator("wipe-cadence")
        family = msgspec.structs.replace(engine.shelf.record("coating", "clear-penetrating-oil"), **changed)
        inputs = calculator.inputs(
            coating=family, course_length=4.0, pitch=0.143, courses=12, appliers=1, surface_temperature=temperature
        )
        ledger = Ledger("wipe-cadence")
        return running.run(calculator, inputs, ledger, engine.shelf), ledger

    return other


def test_cloths_of_what_does_not_heat_itself_are_no_fire_duty(other):
    result, _ = other(binder="wax")
    assert [duty.id for duty in result.duties] == ["after"]


def test_a_family_without_limits_is_not_held_to_any(other):
    _, ledger = other(323.15, limits=None)
    assert not {"boards-beyond-coldest", "boards-beyond-hottest"} & ids(ledger)
    _, ledger = other(323.15)
    assert "boards-beyond-hottest" in ids(ledger)


def test_a_family_brings_its_own_dwell_and_clock(other, engine, monkeypatch):
    """The models are those the record names: wiping at twice the time given, whatever the boards are like."""
    chosen = engine.shelf.model

    def slow(kind, name):
        if (kind, name) == ("dwell", "twice"):
            return lambda *, earliest, latest, longest, slow, fast: (2 * earliest, 2 * latest)
        return chosen(kind, name)

    monkeypatch.setattr(engine.shelf, "model", slow)
    result, _ = other(models={"cure-clock": "oxidative", "dwell": "twice"})
    assert (result.wipe_after, result.wipe_by) == (30 * 60, 40 * 60)


@pytest.mark.parametrize("wipers", [0, 1])
def test_warmer_boards_never_let_more_courses_in(run, wipers):
    """From 15 to 55 °C an oil that bears them hurries, by the fast clock; the cold only gives time."""
    product = {"hottest": "60 degC", "wipe": "15-20 min"}
    rows = [
        run("wipe-cadence", **deck(wipers=wipers, surface_temperature=f"{celsius} degC", product=product))[0]
        for celsius in range(15, 56, 5)
    ]
    for field in ("wipe_after", "wipe_by"):
        times = [getattr(row, field) for row in rows]
        assert times == sorted(times, reverse=True)
    for field in ("most_courses", "typical_courses"):
        widths = [getattr(row.runs[0], field) if row.runs else 0 for row in rows]
        assert widths == sorted(widths, reverse=True)
    assert rows[-1].verdict == "no"


@pytest.mark.parametrize(("longest", "stands"), [("10 min", False), ("15 min", True), ("30 min", True)])
def test_a_longest_time_cannot_be_over_before_the_first(run, longest, stands):
    job = deck(product={"wipe": "15-20 min", "longest_wipe": longest})
    if stands:
        assert run("wipe-cadence", **job)
    else:
        assert ("/product/longest_wipe", "conflict") in refused(run, job)


def test_a_refusal_always_says_what_to_do(run):
    """Courses as long as a street: no single change helps, and that is said with what would."""
    result, ledger = run("wipe-cadence", **deck(course_length="100 m", pitch="600 mm"))
    assert (result.verdict, result.changes) == ("no", ())
    said = next(finding for finding in ledger.raised if finding.id == "crew-cannot-keep-up")
    assert said.values["advice"].id == result.text.values["advice"].id == "no-change-helps"


def test_the_time_to_cut_in_is_the_mean_of_the_bands(run):
    """10 m of edge at 70 m/h are 514.3 s, over three bands 171.4 s each."""
    asked = runs({"id": "main", "courses": 15, "break_after": [4, 10], "edge_length": "10 m"})
    result, _ = run("wipe-cadence", **{**asked, **POINT, "edge_pace": "70 m/h"})
    [row] = result.runs
    assert row.band_count == 3
    assert row.edge_time == pytest.approx(10 / 70 * 3600 / 3)
    # The widest band is of six courses, each 4 m by 143 mm.
    assert row.courses_per_band == 6
    assert row.band_area == pytest.approx(6 * 4 * 0.143)
