"""The bundled shelf: every record loads, every number says where it is from, and the records fit one another."""

import re
import tomllib
from datetime import date
from importlib.resources import files
from itertools import pairwise
from typing import get_args

import pytest

from latewood.quantities import units
from latewood.records import KINDS, Caution, Coating, Record, read_pack
from latewood.records.coating import Binder

PACK = "latewood_plugins"
RECORDS = read_pack(PACK)
SHELF = {(record.KIND, record.id): record for record in RECORDS}
NUMBERS = {path: number for record in RECORDS for path, number in record.numbers.items()}
COATINGS = [record for record in RECORDS if isinstance(record, Coating)]
CAUTIONS = [record for record in RECORDS if isinstance(record, Caution)]
SOURCES = {record.id for record in RECORDS if record.KIND == "source"}
#: Evidence that names no document.
LABELS = {"common-practice": "common-practice", "judgement": "judgement"}


def by_path(record: Record) -> str:
    return record.path


def test_the_shelf_holds_what_coverage_needs():
    required = {
        "species": "ipe western-redcedar southern-yellow-pine american-mahogany khaya shorea-red"
        " unidentified-dense-hardwood unidentified-medium-hardwood unidentified-light-hardwood"
        " cumaru jatoba massaranduba garapa balau teak iroko douglas-fir sequoia-redwood european-larch siberian-larch"
        " scots-pine white-oak",
        "names": "mahogany cedar redwood larch",
        "coating": "clear-penetrating-oil tinted-penetrating-oil semi-transparent-oil-stain solid-colour-stain unknown"
        " waterborne-stain water-repellent-preservative film-clear paint leave-to-grey",
        "absorbency": "low medium high",
        "application": "brush roller pad airless-spray air-spray",
        "voc-limits": "us-40-cfr-59-d eu-2004-42-ec us-ca-scaqmd-1113 us-ny-6-nycrr-205 us-md-comar-26-11-39"
        " us-oh-3745-113 us-in-326-iac-8-14 us-il-35-iac-223 gb-si-2012-1715 ca-sor-2009-264",
        "region": "us eu gb",
        "caution": "self-heating-waste lead-paint arsenical-treatment composite-not-refinishable",
    }
    assert {(kind, id) for kind, ids in required.items() for id in ids.split()} <= set(SHELF)
    assert len(SHELF) == len(RECORDS)


def test_every_file_is_a_record_and_is_kept_as_it_is_written():
    # Reference: the standard library's TOML reader.
    written = [tomllib.loads(file.read_text("utf-8")) for file in sorted(files(PACK).glob("[a-z]*/*.toml"))]
    assert sorted((raw["record"], raw["id"]) for raw in written) == sorted(SHELF)
    assert all(SHELF[raw["record"], raw["id"]].raw == raw for raw in written)


def sources_of(record):
    return {named.id for named in record.references if named.kind == "source"}


@pytest.mark.parametrize("record", RECORDS, ids=by_path)
def test_every_source_it_names_exists(record):
    assert sources_of(record) <= SOURCES
    assert {number.unknown for number in record.numbers.values()} <= set(NUMBERS)


@pytest.mark.parametrize("source", [record for record in RECORDS if record.KIND == "source"], ids=by_path)
def test_every_source_says_who_answers_for_it_and_how_it_was_read(source):
    assert source.by is not None
    assert (source.read is None) == (source.by == "project")


def called(raw, kind):
    """Return the sources of all in a file that is of this kind."""
    if isinstance(raw, list):
        return set().union(*(called(one, kind) for one in raw))
    if not isinstance(raw, dict):
        return set()
    own = {raw["source"]} if kind in (raw.get("kind"), raw.get("against")) else set()
    return own | called(list(raw.values()), kind)


def test_nothing_is_published_that_a_stranger_cannot_find():
    names = set().union(*(called(record.raw, "published") for record in RECORDS))
    assert names
    for source in (SHELF["source", name] for name in names):
        assert source.title
        assert source.by in {"author", "institution", "standard-body"}
        assert source.year
        assert source.url or source.where
        assert source.read in {"whole", "passage"}
        assert not list(source.wants())


def test_nothing_is_reported_that_a_stranger_can_find():
    names = set().union(*(called(record.raw, "reported") for record in RECORDS))
    assert names
    assert [name for name in names if not list(SHELF["source", name].wants())] == []


def test_every_source_is_used():
    assert set().union(*(sources_of(record) for record in RECORDS)) == SOURCES


@pytest.mark.parametrize("number", NUMBERS.values(), ids=NUMBERS)
def test_every_number_has_its_origin_and_its_given_text_converts_to_what_is_computed_with(number):
    assert number.source in SOURCES
    assert number.where or number.evidence == "recalled"
    # A label is never passed off as a document, nor a document as a label.
    assert LABELS.get(number.evidence) == (number.source if number.source in LABELS.values() else None)
    if number.starts is not None and number.path.startswith("region/"):
        # A last day: as a number, the first year that lies wholly after it.
        assert date.fromisoformat(number.given) == number.starts < date(int(number.si), 1, 1)
        assert date(int(number.si) - 1, 1, 1) <= number.starts
        return
    if number.unit == "1" and "%" not in number.given:
        assert float(number.given) == number.si
        return
    value, ends = re.fullmatch(r"([^(]+?)(?: \((.+)\))?", number.given).groups()
    dimension = next(d for d in units.DIMENSIONS.values() if value.split(" ", 1)[1] in d.spellings).id
    middle, low, high = units.read_range(value, dimension)
    if ends:
        _, low, high = units.read_range(ends, dimension)
    assert (number.low, number.high) == (pytest.approx(low), pytest.approx(high))
    assert number.si == pytest.approx((low + high) / 2 if dimension == "fraction" and low and not ends else middle)


def test_recalled_numbers_say_so():
    unread = ("voc-limits/us-40-cfr-59-d", "voc-limits/us-ca-scaqmd-1113", "voc-limits/ca-sor-2009-264", "region/")
    for path in (p for p in NUMBERS if p.startswith(unread) and "/limits/" in p):
        assert NUMBERS[path].evidence == "recalled"
    assert "recalled" in SHELF["voc-limits", "us-40-cfr-59-d"].summary
    assert "recalled" in SHELF["voc-limits", "us-ca-scaqmd-1113"].summary


@pytest.mark.parametrize("rule", [record for record in RECORDS if record.KIND == "voc-limits"], ids=by_path)
def test_a_rule_on_solvent_says_whom_it_binds_and_who_may_be_stricter(rule):
    assert rule.stricter is not None
    assert rule.applying is not None or any("crew" in note for note in rule.notes)
    assert set(rule.limits) == set(rule.categories)
    # A number from memory shows in the line that lists see.
    remembered = [n for path, n in rule.numbers.items() if "/limits/" in path and n.evidence == "recalled"]
    assert not remembered or any(word in rule.summary for word in ("recalled", "trade journal", "only when asked for"))


@pytest.mark.parametrize("coating", COATINGS, ids=by_path)
def test_a_coating_names_voc_categories_that_exist(coating):
    rules = [record for record in RECORDS if record.KIND == "voc-limits"]
    assert set(coating.voc_category) <= {rule.categories_of for rule in rules}
    for rule in rules:
        category = coating.voc_category.get(rule.categories_of)
        if category is None:
            continue
        assert rule.rows(category, None)
        # A category that tells carriers apart is chosen by the product's carrier, never by the coating's record.
        assert not category.endswith("-borne")
    assert coating.voc_category or coating.binder == "unknown" or coating.bare


@pytest.mark.parametrize("coating", COATINGS, ids=by_path)
def test_a_film_former_is_advised_against_on_floors_and_is_not_wiped(coating):
    # Forest Products Laboratory: a film on a deck peels, wears and traps water.
    if coating.film:
        assert coating.floors == "advised-against"
        assert not coating.wiped
        assert any(advice.severity == "warning" for advice in coating.advice)


def test_what_is_left_bare_says_how_it_is_kept():
    # Common practice, no source: grey decks are washed, and are slippery when wet.
    bare = [coating for coating in COATINGS if coating.bare]
    assert [coating.id for coating in bare] == ["leave-to-grey"]
    assert not bare[0].film
    assert not bare[0].spreading
    advice = {advice.id: advice for advice in bare[0].advice}
    assert "wash it" in advice["cleaning-upkeep"].message
    assert advice["slippery-when-wet"].severity == "warning"


def test_clear_oil_says_that_it_protects_little():
    assert [advice.id for advice in SHELF["coating", "clear-penetrating-oil"].advice] == ["little-uv-protection"]


def test_the_unknown_coating_spans_the_shelf_in_every_cell():
    table = SHELF["coating", "unknown"].spreading
    assert {(s, a) for s, row in table.items() for a in row} == {
        (s, a) for s in ("planed", "sanded", "rough-sawn", "weathered") for a in ("low", "medium", "high")
    }
    for coating in COATINGS:
        # Nobody takes a varnish or a paint for a deck finish unawares.
        if coating.id not in ("unknown", "film-clear", "paint"):
            for surface, row in coating.spreading.items():
                for absorbency, number in row.items():
                    cell = table[surface][absorbency]
                    assert cell.evidence == "judgement"
                    assert cell.low <= number.low
                    assert number.high <= cell.high


@pytest.mark.parametrize("binder", get_args(Binder))
def test_self_heating_is_warned_of_for_oils_and_for_the_unknown(binder):
    # Drying oils and alkyds cure by taking up oxygen (Fire Safety Science 10, paper 389); acrylics, wax do not.
    warned = SHELF["caution", "self-heating-waste"].holds({"binder": binder})
    assert warned is (binder in ("drying-oil", "alkyd", "oil-modified-waterborne", "unknown"))


def test_self_heating_names_every_kind_of_waste_and_the_can():
    # Common practice, no source: the sanding dust of oiled wood too, in the extractor; a can with water at the work.
    caution = SHELF["caution", "self-heating-waste"]
    for word in ("cloths", "pads", "brushes", "masking", "oily dust", "extractor"):
        assert word in caution.message
    assert caution.severity == "danger"
    assert all(word in caution.do[0] for word in ("metal can", "lid", "water", "where the work is done"))
    # 29 CFR 1910.106: combustible waste goes every day.
    assert any("emptied every day" in step for step in caution.do)
    # Common practice, no source: where it ends.
    assert any("wet and sealed" in step and "flat outdoors until hard" in step for step in caution.do)
    assert any("drain" in step for step in caution.do)


@pytest.mark.parametrize(
    ("caution", "fact", "yes", "no"),
    [
        ("lead-paint", "lead_paint", ("yes", "suspected"), "no"),
        ("arsenical-treatment", "arsenical", ("yes", "suspected"), "no"),
        ("composite-not-refinishable", "material", ("composite",), "wood"),
    ],
)
def test_hazards_are_warned_of_on_suspicion(caution, fact, yes, no):
    assert all(SHELF["caution", caution].holds({fact: value}) for value in yes)
    assert not SHELF["caution", caution].holds({fact: no})


@pytest.mark.parametrize("caution", CAUTIONS, ids=by_path)
def test_a_caution_defers_to_the_rules_of_the_place(caution):
    assert any(re.search(r"\b(local|law)\b", step, re.IGNORECASE) for step in caution.do)


def test_an_ambiguous_name_is_no_species_and_no_synonym():
    species = [record for record in RECORDS if record.KIND == "species"]
    names = {record.id for record in RECORDS if record.KIND == "names"}
    spoken = [word.lower() for record in species for word in (record.id, *record.synonyms)]
    assert not names & set(spoken)
    assert len(spoken) == len(set(spoken))
    assert all(len(SHELF["names", name].candidates) >= 2 for name in names)


def test_mahogany_may_be_any_of_three_genera_and_redwood_a_pine():
    genera = {candidate.botanical.split()[0] for candidate in SHELF["names", "mahogany"].candidates}
    assert {"Swietenia", "Khaya", "Shorea"} <= genera
    assert {c.botanical for c in SHELF["names", "redwood"].candidates} == {"Sequoia sempervirens", "Pinus sylvestris"}


def test_a_candidate_on_the_shelf_is_the_wood_it_says():
    species = {record.id: record for record in RECORDS if record.KIND == "species"}
    candidates = [c for record in RECORDS if record.KIND == "names" for c in record.candidates]
    found = [c for c in candidates if c.id in species]
    for candidate in found:
        assert candidate.botanical.split()[0] == species[candidate.id].botanical.split()[0]
    # Whatever a name may mean and the shelf has, it has under the candidate's id.
    assert {c.id for c in candidates if any(c.botanical == s.botanical for s in species.values())} <= set(species)
    assert {"sequoia-redwood", "scots-pine", "european-larch", "siberian-larch"} <= {c.id for c in found}


def test_absorbency_classes_lose_less_to_wiping_the_more_they_take_up():
    classes = sorted((record for record in RECORDS if record.KIND == "absorbency"), key=lambda record: record.order)
    assert [record.id for record in classes] == ["low", "medium", "high"]
    for less, more in pairwise(classes):
        assert less.wiped_off.low > more.wiped_off.low
        assert less.wiped_off.si > more.wiped_off.si
        assert less.wiped_off.high > more.wiped_off.high


def test_every_jurisdiction_lies_in_one_region_only():
    codes = [code for record in RECORDS if record.KIND == "region" for code in record.jurisdictions]
    assert len(codes) == len(set(codes))
    # The European Union has 27 members, and a code of its own that ISO 3166 reserves for it.
    union = set(SHELF["region", "eu"].jurisdictions)
    assert "EU" in union
    assert len(union - {"EU"}) == 27
    assert union == set(SHELF["voc-limits", "eu-2004-42-ec"].jurisdictions)


def test_every_kind_of_record_is_on_the_shelf_or_is_a_check():
    # No published rate of one coating on one species has been found, so no pairing is shipped.
    assert set(KINDS) - {"check", "pairing"} <= {record.KIND for record in RECORDS}
