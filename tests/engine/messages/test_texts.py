"""Texts that would not work are refused at load; what a language lacks comes whole from its base, and is counted."""

from __future__ import annotations

from typing import Any, Literal

import babel
import msgspec
import pytest
from babel.units import format_unit

from latewood import messages
from latewood.messages import (
    Area,
    BadText,
    Between,
    Brief,
    Count,
    Name,
    Prose,
    Share,
    Style,
    Texts,
    Word,
    clause,
    shipped,
)
from latewood.messages.sources import Bundle, Source, own


def texts(tree: dict[str, Any], *packs: tuple[str, dict[str, Any]]) -> Texts:
    source = msgspec.convert({"schema": 1, **tree}, Source)
    return Texts([own(), Bundle(sources=(("here", source),), packs=tuple((lang, lang, t) for lang, t in packs))])


def note(text: str, **params: str) -> dict[str, Any]:
    return {"message": {"x": {"severity": "note", "text": text, "params": params}}}


@pytest.mark.parametrize(
    ("tree", "why"),
    [
        (note("{a} b.", a="aera"), "unknown kind 'aera'"),
        (note("{b} b.", a="area"), "{b} is not among its params"),
        (note("{a} b.", a="area", b="count"), "b declared and not shown"),
        (note("{n|# board} b.", n="count"), "1 plural forms of 'n'; this language has 2"),
        (note("{a|# board|# boards} b.", a="area"), "plural of 'a'"),
        (note("About {12 parsecs} b."), "no quantity with a known unit"),
        (note("{a:signed} b.", a="area"), "area has no form 'signed'"),
        (note("{a b.", a="area"), "a brace stands alone"),
        (note("{w} b.", w="word"), "a word names its vocabulary"),
        (note("{w} b.", w="word:no-such"), "there are none of that"),
        ({"message": {"coating-unknown": {"severity": "note", "text": "b."}}}, "is already in"),
        ({"message": {"x": {"text": "b."}}}, "a message has a severity"),
        ({"clause": {"x": {"severity": "note", "text": "b."}}}, "a clause has none"),
        ({"refusal": {"x": {"code": "c", "detail": "d", "params": {"a": "area"}}}}, "a declared and not shown"),
    ],
)
def test_a_broken_text_is_refused(tree: dict[str, Any], why: str) -> None:
    with pytest.raises(BadText) as refused:
        texts(tree)
    assert why in str(refused.value)


@pytest.mark.parametrize(
    ("pack", "why"),
    [
        ({"message": {"no-such": "b."}}, "there is no message of this id"),
        ({"message": {"x": "sin él."}}, "a of the English text is missing"),
        ({"message": {"x": "{zona} {a}"}}, "{zona} is not among its params"),
        ({"words": {"part": {"no-such": "b"}}}, "no-such not in English"),
        ({"mesage": {}}, "unknown table mesage"),
    ],
)
def test_a_broken_translation_is_refused(pack: dict[str, Any], why: str) -> None:
    with pytest.raises(BadText) as refused:
        texts(note("{a} b.", a="area"), ("es", pack))
    assert why in str(refused.value)


def said(text: str, style: Style, values: dict[str, Any], **params: str) -> str:
    return texts(note(text, **params)).speaker(style).say("x", values).replace("\u00a0", " ")


US, METRIC, COMMA = Style("en", "us"), Style(), Style("en", "metric", ",")


def test_values_are_written_in_the_units_and_decimal_mark_asked_for() -> None:
    values = {"a": Area(3.25), "s": Share(0.256), "n": Count(1)}
    kinds = {"a": "area", "s": "share", "n": "count"}
    text = "{a}, {s:signed}, {n|# board|# boards}, {30 in:limit}."
    assert said(text, METRIC, values, **kinds) == "3.25 m², +26 %, 1 board, 30 in (762 mm)."
    assert said(text, COMMA, values, **kinds) == "3,25 m², +26 %, 1 board, 30 in (762 mm)."
    assert said(text, US, values, **kinds) == "35 sq ft, +26%, 1 board, 30 in."


def test_ranges_and_lists() -> None:
    assert said("{a}.", METRIC, {"a": Between(Area(0.662), Area(1.38))}, a="between") == "0.662 to 1.38 m²."
    names = [Name("main"), Name("north"), Name("steps")]
    assert said("{z}.", METRIC, {"z": names}, z="name list") == "Main, north and steps."
    assert said("{z:or}.", METRIC, {"z": names}, z="name list") == "Main, north or steps."
    assert said("{z}.", METRIC, {"z": [Name(str(n)) for n in range(9)]}, z="name list") == "0, 1, 2, 3, 4 and 4 more."


def test_a_whole_language_takes_all_of_a_missing_sentence_from_its_base_and_counts_it() -> None:
    made = texts(note("{p} first.", p="word:part"), ("es", {"words": {"part": {"guard": "baranda"}}}))
    speaker = made.speaker(Style("es"))
    assert speaker.say("x", {"p": Word("part", "guard")}) == "Railing first."
    assert speaker.language_of("x", {"p": Word("part", "guard")}) == "en"
    assert made.fell_back == {("es", "x"): 1}
    assert "x" in made.missing("es")


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        ("clause", clause("y")),
        ("clause list", [clause("y")]),
        ("word:part", Word("part", "guard")),
        ("prose", Prose("caution", "hole", "title", "A hole")),
        ("any", clause("y")),
    ],
)
def test_a_sentence_with_something_of_its_base_in_it_is_marked(kind: str, value: Any) -> None:
    tree = note("{p} first.", p=kind) | {"clause": {"y": {"text": "the hole"}}, "words": {"part": {"guard": "guard"}}}
    pack = {"message": {"x": "{p} primero."}}
    speaker = Texts(
        [
            Bundle(
                sources=(("here", msgspec.convert({"schema": 1, **tree}, Source)),),
                manners=own().manners,
                packs=(("es", "es", pack),),
            )
        ]
    ).speaker(Style("es"))
    assert speaker.say("x", {"p": value}).endswith("primero.")
    assert speaker.language_of("x", {"p": value}) == "en"
    assert sum(speaker.texts.fell_back.values()) == 1


def test_a_pack_of_differences_fills_the_texts_of_its_base_with_its_own_words() -> None:
    made = texts(note("{p} first.", p="word:part"), ("en-US", {"words": {"part": {"guard": "handrail"}}}))
    assert made.speaker(Style("en-US", "us")).say("x", {"p": Word("part", "guard")}) == "Handrail first."


def test_clauses_are_joined_when_they_are_written() -> None:
    tree = note("{w:sentences}", w="clause list") | {"clause": {"c": {"text": "it is wet"}, "d": {"text": "wait"}}}
    assert texts(tree).speaker(METRIC).say("x", {"w": [clause("c"), clause("d")]}) == "It is wet Wait"


def test_every_language_writes_every_unit_the_engine_writes() -> None:
    units = own().manners
    assert {manner.id for manner in units} == {"en", "en-US", "es"}
    assert shipped().listed()


@pytest.mark.parametrize("lang", ["en", "es"])
def test_plurals_are_those_of_cldr(lang: str) -> None:
    """Unicode CLDR as babel carries it: plural categories of whole numbers."""
    speaker = shipped().speaker(Style(lang))
    locale = babel.Locale.parse(lang)
    for n in range(200):
        assert (speaker._index(n) == 0) == (locale.plural_form(n) == "one"), n


#: Units by what CLDR calls them.
CLDR = {
    "m2": "area-square-meter",
    "cm2": "area-square-centimeter",
    "ft2": "area-square-foot",
    "in2": "area-square-inch",
    "m": "length-meter",
    "mm": "length-millimeter",
    "ft": "length-foot",
    "in": "length-inch",
    "L": "volume-liter",
    "mL": "volume-milliliter",
    "us_gal": "volume-gallon",
    "us_qt": "volume-quart",
    "us_fl_oz": "volume-fluid-ounce",
    "kg": "mass-kilogram",
    "g": "mass-gram",
    "lb": "mass-pound",
    "oz_mass": "mass-ounce",
    "degC": "temperature-celsius",
    "degF": "temperature-fahrenheit",
    "m/s": "speed-meter-per-second",
    "mph": "speed-mile-per-hour",
    "psi": "pressure-pound-force-per-square-inch",
    "deg": "angle-degree",
    "s": "duration-second",
    "min": "duration-minute",
    "h": "duration-hour",
    "day": "duration-day",
    "days": "duration-day",
}
#: Where a language writes a shorter name than CLDR: of which of its long names.
SHORTER = {
    ("en", "sq in"): "square inches",
    ("es", "pies²"): "pies cuadrados",
    ("es", "pulg"): "pulgadas",
    ("es", "pulg²"): "pulgadas cuadradas",
    ("es", "oz líq."): "onzas líquidas",
}


@pytest.mark.parametrize("lang", ["en", "es"])
@pytest.mark.parametrize(("ours", "theirs"), CLDR.items())
def test_names_of_units_are_those_of_cldr(lang: str, ours: str, theirs: str) -> None:
    """Unicode CLDR as babel carries it, of Spain and of the Americas: the long, the short or the narrow name."""
    locales = {"en": ["en"], "es": ["es", "es_419", "es_MX"]}[lang]
    lengths: tuple[Literal["long", "short", "narrow"], ...] = ("long", "short", "narrow")
    names = {
        format_unit(n, theirs, length, locale=locale).lstrip("12").strip().casefold()
        for locale in locales
        for length in lengths
        for n in (1, 2)
    }
    unit = shipped().speaker(Style(lang)).manner.units.get(ours, ours)
    assert SHORTER.get((lang, unit), unit).casefold() in names


@pytest.mark.parametrize("lang", ["en", "es"])
def test_days_and_months_are_those_of_cldr(lang: str) -> None:
    locale, words = babel.Locale.parse(lang), shipped().speaker(Style(lang)).manner.moments
    assert [day.casefold() for day in words["days"]] == [
        locale.days["format"]["abbreviated"][n].casefold() for n in range(7)
    ]
    assert words["months"] in (
        [locale.months["format"][width][n] for n in range(1, 13)] for width in ("wide", "abbreviated")
    )
    noons = {locale.day_periods["format"][width][half] for width in ("abbreviated", "wide") for half in ("am", "pm")}
    assert {words["am"], words["pm"]} <= {noon.replace("\u00a0", " ").replace("\u202f", " ") for noon in noons}


@pytest.mark.parametrize(
    ("text", "params", "values", "brief"),
    [
        ("{of}The wood is wet. Wait.", {"of": "name"}, {"of": Name("main: ")}, "the wood is wet"),
        (
            "{zone}: {a} is wet. Wait.",
            {"zone": "name", "a": "area"},
            {"zone": Name("main"), "a": Area(2.5)},
            "2.5\u00a0m² is wet",
        ),
        ("{face} is grooved. Wait.", {"face": "name"}, {"face": Name("main")}, "main is grooved"),
        ("CCA is in it. Wait.", {}, {}, "CCA is in it"),
        ("Wait.", {}, {}, "wait"),
    ],
)
def test_a_brief_is_the_first_sentence_without_its_part(
    text: str, params: dict[str, str], values: dict[str, Any], brief: str
) -> None:
    assert texts(note(text, **params)).speaker(Style()).clause(Brief("x", values)) == brief


def test_a_brief_is_in_the_language_asked_for() -> None:
    told = Brief("x", {"zone": Name("main")})
    tree = note("{zone}: the wood is wet. Wait.", zone="name")
    spanish = texts(tree, ("es", {"message": {"x": "{zone}: La madera está mojada. Espere."}})).speaker(Style("es"))
    assert spanish.clause(told) == "la madera está mojada"
    assert texts(tree).speaker(Style("es")).clause(told) == "the wood is wet"


def test_names_are_written_by_their_labels_in_every_language() -> None:
    tree = note("{zones}: wait.", zones="name list")
    speaker = texts(tree, ("en-US", {})).speaker(Style("en-US", "us")).naming({"main/guards/south": "railing south"})
    said = {"zones": [Name("main/guards/south"), Name("aside")]}
    assert speaker.say("x", said) == "Railing south and aside: wait."
    assert (
        texts(tree).speaker(Style("es")).naming({"aside": "al lado"}).say("x", {"zones": [Name("aside")]})
        == "Al lado: wait."
    )


def test_a_share_that_is_a_limit_is_written_once() -> None:
    limit = messages.Limit("33 %", Share(0.33))
    tree = note("{most} or more.", most="limit")
    assert texts(tree).speaker(Style("en-US", "us")).say("x", {"most": limit}) == "33% or more."
    assert texts(tree).speaker(Style()).say("x", {"most": limit}) == "33\u00a0% or more."
