"""Looking things up by the names people use; a name that several woods share is never taken for one of them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bundled import bundled

from latewood.cli import main
from latewood.problems import InputProblem, fold


@pytest.fixture(scope="module")
def engine():
    return bundled()


def found(engine, kind, text):
    return [entry["id"] for entry in engine.items(kind, text)["items"]]


@pytest.mark.parametrize(
    ("given", "folded"),
    [
        ("IPÉ", "ipe"),
        ("ipe\u0301", "ipe"),
        ("Maçaranduba", "macaranduba"),
        ("western red-cedar", "western red cedar"),
        ("  Pau  d'Arco ", "pau d arco"),
        ("Weißeiche", "weisseiche"),
        ("--", ""),
    ],
)
def test_names_are_compared_without_case_accents_and_signs(given, folded):
    assert fold(given) == folded


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("ipe", "ipe"),
        ("IPÉ", "ipe"),
        ("lapacho", "ipe"),
        ("Tectona grandis", "teak"),
        ("tectona", "teak"),
        ("bangkirai", "balau"),
        ("macaranduba", "massaranduba"),
        ("PHILIPPINE MAHOGANY", "shorea-red"),
        ("western red cedar", "western-redcedar"),
        ("kwila", "merbau"),
        ("robinia", "black-locust"),
        ("grandis", "teak"),
    ],
)
def test_a_wood_is_found_by_id_title_botanical_and_trade_name(engine, text, first):
    answer = engine.items("species", text)
    assert answer["items"][0]["id"] == first
    assert fold(text) in fold(answer["items"][0]["matched"])
    assert "ambiguous" not in answer
    assert answer["count"] == len(answer["items"])


def test_the_better_match_comes_first(engine):
    # Whole name, start of a name, start of a word, within a word; then by id.
    assert found(engine, "species", "teak") == ["teak", "cumaru"]
    assert found(engine, "species", "yellow") == ["balau", "yellow-meranti", "southern-yellow-pine"]
    assert found(engine, "species", "redwood coast") == ["sequoia-redwood"]
    assert found(engine, "species", "edwood")[-1] == "sequoia-redwood"


def test_every_word_must_be_found(engine):
    assert found(engine, "species", "larch siberian") == ["siberian-larch"]
    assert found(engine, "species", "larch teak") == []


@pytest.mark.parametrize("text", ["mahogany", "Mahogany", " MAHOGANY "])
def test_a_shared_name_lists_what_it_may_mean_and_which_of_it_is_here(engine, text):
    # Trade rule: mahogany is at least Swietenia, Khaya and Shorea.
    answer = engine.items("species", text)
    shared = answer["ambiguous"]
    assert shared["id"] == "mahogany"
    assert {wood["botanical"].split()[0] for wood in shared["candidates"]} >= {"Swietenia", "Khaya", "Shorea"}
    on_shelf = [wood["id"] for wood in shared["candidates"] if wood["on_shelf"]]
    assert on_shelf == ["american-mahogany", "khaya", "shorea-red"]
    assert [entry["id"] for entry in answer["items"]][:3] == on_shelf
    assert answer["items"][0]["matched"] == "Mahogany"


def test_what_a_shared_name_may_mean_is_listed_though_no_name_of_it_matches(engine):
    assert found(engine, "species", "ironwood") == ["ipe", "massaranduba"]


def test_a_shared_name_says_which_of_its_woods_have_a_record(engine):
    """Wherever it is read: in a search, in its own entry, and in the problem that refuses it."""
    for name in engine.shelf.records("names"):
        entry = engine.item("names", name)
        assert entry["candidates"] == engine.items("species", name)["ambiguous"]["candidates"]
        held = {wood["id"]: wood["on_shelf"] for wood in entry["candidates"]}
        assert held == {id: id in engine.shelf.records("species") for id in held}
        with pytest.raises(InputProblem) as refused:
            engine.calculate("movement", species=name)
        (fault,) = [fault for fault in refused.value.faults if fault.code == "ambiguous"]
        marked = [id if here else f"{id} (not on this shelf)" for id, here in held.items()]
        assert fault.expected == "one of " + ", ".join(marked)


def test_every_shared_name_is_answered_with_its_candidates(engine):
    for name in (entry["id"] for entry in engine.items("names")["items"]):
        assert len(engine.items("species", name)["ambiguous"]["candidates"]) >= 2
        with pytest.raises(InputProblem, match="may mean several kinds of wood"):
            engine.calculate("coverage", area="10 m2", coating="clear-penetrating-oil", species=name)


@pytest.mark.parametrize(("text", "nearest"), [("bangkiray", "balau"), ("tektona grandis", "teak"), ("zzz", None)])
def test_where_nothing_matches_the_nearest_is_named(engine, text, nearest):
    answer = engine.items("species", text)
    assert (answer["items"], answer["count"], answer.get("nearest")) == ([], 0, nearest)


@pytest.mark.parametrize("text", ["--", " ", "́"])
def test_signs_alone_find_nothing(engine, text):
    assert engine.items("species", text)["items"] == []


def test_entries_of_every_kind_are_found_by_their_id_and_their_title(engine):
    for kind in engine.kinds():
        entries = engine.items(kind)["items"]
        # Of hundreds of sources and checks, each tenth.
        for entry in entries if len(entries) < 100 else entries[::10]:
            assert entry["id"] in found(engine, kind, entry["id"])
            assert not fold(entry["title"]) or entry["id"] in found(engine, kind, entry["title"])


#: Names of the trade, in the Wood Handbook, EN 13556 or common use (no source), however people write them.
TRADE_NAMES = [
    ("species", "Ipe", "ipe"),
    ("species", "western red cedar", "western-redcedar"),
    ("species", "Western Redcedar", "western-redcedar"),
    ("species", "brazilian walnut", "ipe"),
    ("species", "SYP", "southern-yellow-pine"),
    ("species", "Southern Yellow Pine", "southern-yellow-pine"),
    ("species", "Bangkirai", "balau"),
    ("coating", "Clear penetrating oil", "clear-penetrating-oil"),
    ("coating", "Solid Color Stain", "solid-colour-stain"),
    ("machine", "5-inch random orbital sander", "random-orbit-125"),
    ("abrasive", "P 80", "p80"),
    ("abrasive", "P-80", "p80"),
    ("wash-agent", "Oxygen bleach", "percarbonate"),
    ("region", "U.S.A.", "us"),
]


@pytest.mark.parametrize(("kind", "written", "id"), TRADE_NAMES)
def test_names_are_read_as_people_write_them(engine, kind, written, id):
    assert engine.shelf.candidates(kind, written) == []
    assert engine.shelf.meant(kind, written) == id


@pytest.mark.parametrize(
    ("kind", "written", "several"),
    [
        ("species", "Redwood", ["sequoia-redwood", "scots-pine"]),
        ("abrasive", "80 grit", ["p80", "cami-80"]),
        ("abrasive", "80", ["p80", "cami-80"]),
    ],
)
def test_a_name_of_several_is_taken_for_none(engine, kind, written, several):
    found = engine.shelf.candidates(kind, written)
    assert set(several) <= set(found)


@pytest.mark.parametrize("written", ["p80.0", "p80-0", "p8.0", "80.0", "120.0", "p1.20", "cami-80.0"])
def test_a_number_with_a_point_is_no_other_grade(engine, written):
    assert engine.shelf.meant("abrasive", written) is None
    assert engine.shelf.candidates("abrasive", written) == []


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("uk", "GB"),
        ("UK-LND", "GB-LND"),
        ("uk sct", "GB-SCT"),
        ("USA-CA", "US-CA"),
        ("us ca", "US-CA"),
        ("US_NY", "US-NY"),
        ("fr", "FR"),
    ],
)
def test_places_are_read_as_people_write_them(engine, written, code):
    asked = {"area": "10 m2", "coating": "clear-penetrating-oil", "species": "ipe"}
    as_written, as_code = (engine.calculate("coverage", **asked, jurisdiction=one) for one in (written, code))
    assert as_written["result"] == as_code["result"]
    told = [one for one in as_written["findings"] if one.id != "name-taken"]
    assert told == as_code["findings"]


def test_a_trade_name_is_taken_for_its_wood_and_a_finding_says_so(engine):
    asked = {"area": "10 m2", "coating": "clear-penetrating-oil"}
    found = engine.calculate("coverage", **asked, species="Bangkirai")
    same = engine.calculate("coverage", **asked, species="balau")
    (said,) = [one for one in found["findings"] if one.id == "name-taken"]
    assert (said.pointer, said.values["name"]) == ("/species", "Bangkirai")
    assert said.message.startswith("The name Bangkirai is read as ")
    assert found["result"] == same["result"]
    assert engine.calculate("coverage", **asked, species="BALAU")["findings"] == same["findings"]


def test_the_command_lists_what_it_found_and_says_what_a_shared_name_may_mean(capsys):
    assert main(["catalogue", "species", "--search", "mahogany"]) == 0
    said = capsys.readouterr()
    assert [line.split(":")[0] for line in said.out.splitlines()] == ["american-mahogany", "khaya", "shorea-red"]
    assert "Mahogany may mean several woods:" in said.err
    assert "Santos mahogany (Myroxylon balsamum, flooring trade), not on this shelf" in said.err


def test_the_command_names_the_nearest_where_nothing_was_found(capsys):
    assert main(["catalogue", "species", "--search", "bangkiray"]) == 0
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "nothing found; did you mean balau?\n")


@pytest.mark.parametrize("words", [[], ["species", "ipe"]])
def test_the_command_searches_one_kind_only(words, capsys):
    assert main(["catalogue", *words, "--search", "teak"]) == 2
    assert "looks through one kind" in capsys.readouterr().err


@st.composite
def as_people_write(draw, name):
    """Return a name with other capitals, accents put on or taken off, and other signs between its words."""
    written = ""
    for letter in name:
        if letter in " -'":
            written += draw(st.sampled_from([" ", "-", "  ", "_"]))
        else:
            accent = draw(st.sampled_from(["", "", "\u0301", "\u0327", "\u0303"])) if letter.isalpha() else ""
            written += draw(st.sampled_from([letter, letter.upper(), letter.lower()])) + accent
    return written


@settings(deadline=None)
@given(data=st.data())
def test_a_name_is_found_however_it_is_written(engine, data):
    woods = engine.shelf.records("species")
    wood = woods[data.draw(st.sampled_from(sorted(woods)))]
    name = data.draw(st.sampled_from(wood.spoken))
    written = data.draw(as_people_write(name))
    answer = engine.items("species", written)
    best = [entry["id"] for entry in answer["items"] if fold(entry["matched"]) == fold(name)]
    assert wood.id in best
    assert engine.shelf.meant("species", written) in (wood.id, None)


@settings(deadline=None)
@given(text=st.text(min_size=1, max_size=80))
def test_any_text_is_answered_and_only_with_what_goes_by_it(engine, text):
    answer = engine.items("species", text)
    assert answer["count"] == len(answer["items"])
    assert len({entry["id"] for entry in answer["items"]}) == answer["count"]
    for entry in answer["items"] if "ambiguous" not in answer else ():
        assert all(word in fold(entry["matched"]) for word in fold(text).split())
    assert ("nearest" in answer) <= (answer["count"] == 0)
