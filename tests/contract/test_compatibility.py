"""The check for breaking changes: a table of single changes to two documents, each with its verdict.

The first 23 are the changes that were tried on three public tools; none found more than half of the breaks, and two
called an addition a break. What counts as a break within a version follows AIP-180 ("Backwards compatibility",
google.aip.dev/180), with the stricter view that clients made by generators carry operation ids, tags and schema names.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.bundled import bundled
from tests.contract.compatibility import breaks, main, published, undeclared
from tests.contract.write import beside, readable, render, write

from latewood.catalogue import CONTRACT
from latewood_api.openapi import document

NEUTRAL = json.loads((Path(__file__).parent / "neutral.json").read_text("utf-8"))
OPENAPI = Path(__file__).parents[2] / "openapi"
CHANGELOG = (OPENAPI / "CHANGELOG.md").read_text("utf-8")
COMMITTED = json.loads((OPENAPI / "v1.json").read_text("utf-8"))
Json = dict[str, Any]
Change = Callable[[Json], Any]


def S(d: Json, name: str) -> Json:  # noqa: N802  # one letter keeps a change on one line
    return d["components"]["schemas"][name]


def P(d: Json, name: str) -> Json:  # noqa: N802  # one letter keeps a change on one line
    return S(d, name)["properties"]


def rate(d: Json) -> Json:
    return d["paths"]["/v1/rate"]["get"]


def quote(d: Json) -> Json:
    return d["paths"]["/v1/quote"]["post"]


def require(d: Json, name: str, *fields: str) -> None:
    S(d, name).setdefault("required", []).extend(fields)


def leave_out(d: Json, name: str, field: str) -> None:
    S(d, name)["required"].remove(field)


def open_up(d: Json, name: str) -> None:
    del S(d, name)["additionalProperties"]


def tied(d: Json) -> None:
    d["components"]["schemas"]["Tied"] = {
        "type": "object",
        "additionalProperties": False,
        "required": ["kind"],
        "properties": {"kind": {"type": "string", "const": "tied"}},
    }
    P(d, "Parcel")["packing"]["oneOf"].append({"$ref": "#/components/schemas/Tied"})
    P(d, "Parcel")["packing"]["discriminator"]["mapping"]["tied"] = "#/components/schemas/Tied"


def rename(d: Json) -> None:
    d["components"]["schemas"]["Heaviness"] = d["components"]["schemas"].pop("Weight")
    P(d, "Parcel")["weight"]["$ref"] = "#/components/schemas/Heaviness"


def key_needed(d: Json) -> None:
    d["components"]["securitySchemes"] = {"key": {"type": "apiKey", "in": "header", "name": "X-Key"}}
    d["security"] = [{"key": []}]


#: Each change with a piece of the sentence that must be said.
BREAKING: dict[str, tuple[Change, str]] = {
    "resp_field_removed": (
        lambda d: (P(d, "Quote").pop("days"), leave_out(d, "Quote", "days")),
        "Quote, answered: field days is taken away",
    ),
    "resp_field_optional": (lambda d: leave_out(d, "Quote", "days"), "field days may now be left out"),
    "resp_type_change": (lambda d: P(d, "Quote").update(price={"type": "string"}), "field price: type string does not"),
    "req_new_required": (
        lambda d: (P(d, "Parcel").update(x={"type": "string"}), require(d, "Parcel", "x")),
        "Parcel, sent: field x is now required",
    ),
    "req_field_removed_closed": (lambda d: P(d, "Parcel").pop("note"), "field note is taken away"),
    "req_max_narrow": (lambda d: P(d, "Parcel")["pieces"].update(maximum=3), "maximum goes from 5 to 3"),
    "req_enum_removed": (lambda d: P(d, "Parcel")["mode"].update(enum=["full"]), '"fast" is no longer taken'),
    "req_tag_removed": (
        lambda d: P(d, "Parcel").update(packing={"$ref": "#/components/schemas/Bagged"}),
        '"boxed" is no longer taken',
    ),
    "path_removed": (lambda d: d["paths"].pop("/v1/carriers"), "/v1/carriers is taken away"),
    "param_required": (lambda d: rate(d)["parameters"][1].update(required=True), "weight is now required"),
    "param_renamed": (lambda d: rate(d)["parameters"][1].update(name="mass"), "parameter weight is taken away"),
    "resp_ct_removed": (lambda d: rate(d)["responses"]["200"]["content"].pop("text/csv"), "text/csv is taken away"),
    "opid_changed": (lambda d: rate(d).update(operationId="rate"), "operationId goes from readRate to rate"),
    "pattern_narrow": (lambda d: P(d, "Weight")["unit"].update(pattern="^kg$"), "the text 'g' is no longer taken"),
    "default_changed": (lambda d: P(d, "Parcel")["pieces"].update(default=3), "default goes from 1 to 3"),
    "resp_enum_added": (
        lambda d: S(d, "Service").update(enum=["post", "courier", "pigeon"]),
        '"pigeon" may be answered',
    ),
    # Those 16, and more of each kind.
    "method_removed": (lambda d: d["paths"]["/v1/rate"].pop("get"), "GET /v1/rate is taken away"),
    "param_new_required": (
        lambda d: rate(d)["parameters"].append({"name": "z", "in": "query", "required": True, "schema": {}}),
        "parameter z is new and required",
    ),
    "param_type": (lambda d: rate(d)["parameters"][1].update(schema={"type": "string"}), "type number does not fit"),
    "param_bound": (
        lambda d: rate(d)["parameters"][1]["schema"].update(exclusiveMinimum=1),
        "exclusiveMinimum goes from 0 to 1",
    ),
    "param_length": (lambda d: rate(d)["parameters"][0]["schema"].update(minLength=3), "minLength goes from 2 to 3"),
    "param_style": (lambda d: rate(d)["parameters"][0].update(style="pipeDelimited"), "style goes from form"),
    "req_closed": (
        lambda d: quote(d)["requestBody"]["content"]["application/json"].update(
            schema={"allOf": [{"$ref": "#/components/schemas/Parcel"}], "maxProperties": 2}
        ),
        "maxProperties goes from none to 2",
    ),
    "req_format": (lambda d: P(d, "Parcel")["note"].update(format="date"), 'format goes from none to "date"'),
    "req_type_narrow": (lambda d: P(d, "Weight")["value"].update(type="integer"), "type number does not fit"),
    "req_maxlength": (lambda d: P(d, "Parcel")["note"].update(maxLength=39), "maxLength goes from 40 to 39"),
    "req_pattern_new": (lambda d: P(d, "Parcel")["note"].update(pattern="^[a-z]*$"), "is no longer taken"),
    "req_enum_new": (lambda d: P(d, "Parcel")["note"].update(enum=["a", "b"]), "any string where only"),
    "req_default_gone": (lambda d: P(d, "Parcel")["pieces"].pop("default"), "default goes from 1 to none"),
    "req_default_new": (lambda d: P(d, "Parcel")["mode"].update(default="full"), 'default goes from none to "full"'),
    "req_multiple": (lambda d: P(d, "Parcel")["pieces"].update(multipleOf=2), "multipleOf goes from none to 2"),
    "req_variant_narrow": (
        lambda d: P(d, "Boxed")["sides"].update(enum=[4, 6]),
        "Boxed, sent: field sides: any integer where only 4, 6",
    ),
    "req_not": (lambda d: P(d, "Parcel")["note"].update({"not": {"const": "x"}}), "not changes, which is not compared"),
    "req_ct_removed": (
        lambda d: quote(d)["requestBody"].update(content={"text/csv": {"schema": {"type": "string"}}}),
        "request body: application/json is taken away",
    ),
    "body_removed": (lambda d: quote(d).pop("requestBody"), "the request body is taken away"),
    "body_new": (
        lambda d: rate(d).update(requestBody={"required": True, "content": {"text/csv": {}}}),
        "a request body is now required",
    ),
    "resp_status_removed": (lambda d: quote(d).update(responses={"201": {"description": "x"}}), "200 is taken away"),
    "resp_status_new": (
        lambda d: quote(d)["responses"].update({"202": {"description": "Later."}}),
        "202 is a success that was not foreseen",
    ),
    "resp_nullable": (lambda d: P(d, "Quote")["days"].update(type=["integer", "null"]), "does not fit into integer"),
    "resp_wider_number": (lambda d: P(d, "Quote")["days"].update(type="number"), "number does not fit into integer"),
    "resp_bound_gone": (lambda d: P(d, "Quote")["price"].pop("minimum"), "minimum goes from 0 to none"),
    "resp_format_gone": (lambda d: P(d, "Quote")["sent"].pop("format"), 'format goes from "date" to none'),
    "resp_array": (lambda d: P(d, "Quote").update(parts={"type": "string"}), "does not fit into array"),
    "resp_header_removed": (lambda d: quote(d)["responses"]["200"].pop("headers"), "header X-Request-Id is taken"),
    "resp_inline_removed": (
        lambda d: d["paths"]["/v1/carriers"]["get"]["responses"]["200"]["content"]["application/json"].update(
            schema={"type": "object"}
        ),
        "field items is taken away",
    ),
    "tag_changed": (lambda d: rate(d).update(tags=["rates"]), "the first tag"),
    "schema_renamed": (rename, "schema Weight, a type in generated clients"),
    "server_removed": (lambda d: d.update(servers=[{"url": "/api"}]), "server / is taken away"),
    "key_needed": (key_needed, "to call without proof no longer suffices"),
    "discriminator_renamed": (
        lambda d: P(d, "Parcel")["packing"]["discriminator"].update(propertyName="type"),
        "the field that tells alternatives apart changes",
    ),
}
ADDITIVE: dict[str, Change] = {
    "resp_field_added": lambda d: (P(d, "Quote").update(y={"type": "string"}), require(d, "Quote", "y")),
    "req_optional_added": lambda d: P(d, "Parcel").update(x={"type": "string"}),
    "path_added": lambda d: d["paths"].update({"/v1/new": copy.deepcopy(d["paths"]["/v1/carriers"])}),
    "max_widened": lambda d: P(d, "Parcel")["pieces"].update(maximum=9),
    "desc": lambda d: S(d, "Parcel").update(description="new"),
    "new_tag_variant": tied,
    "param_optional_added": lambda d: rate(d)["parameters"].append(
        {"name": "z", "in": "query", "schema": {"type": "string"}}
    ),
    # Those 7, and more of each kind.
    "method_added": lambda d: d["paths"]["/v1/rate"].update(post=copy.deepcopy(quote(d))),
    "pattern_widened": lambda d: P(d, "Weight")["unit"].update(pattern="^(?:kg|g|lb)$"),
    "pattern_rewritten": lambda d: P(d, "Weight")["unit"].update(pattern="^k?g$"),
    "enum_to_pattern": lambda d: P(d, "Parcel").update(mode={"type": "string", "pattern": "^f[a-z]+$"}),
    "req_enum_added": lambda d: P(d, "Parcel")["mode"]["enum"].append("slow"),
    "req_no_longer_required": lambda d: leave_out(d, "Parcel", "weight"),
    "req_opened": lambda d: open_up(d, "Parcel"),
    "req_type_widened": lambda d: P(d, "Boxed").update(sides={"type": ["integer", "string"]}),
    "req_union_widened": lambda d: P(d, "Parcel").update(
        weight={"anyOf": [{"type": "string"}, {"$ref": "#/components/schemas/Weight"}]}
    ),
    "req_bound_by_another_name": lambda d: P(d, "Parcel").update(
        pieces={"type": "integer", "exclusiveMinimum": 0, "exclusiveMaximum": 6, "default": 1}
    ),
    "resp_enum_removed": lambda d: S(d, "Service").update(enum=["post"]),
    "resp_now_required": lambda d: require(d, "Quote", "sent"),
    "resp_narrower": lambda d: P(d, "Quote")["price"].update(type="integer", maximum=1000),
    "resp_error_added": lambda d: quote(d)["responses"].update({"429": {"description": "Wait."}}),
    "resp_ct_added": lambda d: quote(d)["responses"]["200"]["content"].update({"text/csv": {}}),
    "resp_header_added": lambda d: rate(d)["responses"]["200"].update(headers={"ETag": {"schema": {}}}),
    "examples": lambda d: P(d, "Parcel")["note"].update(examples=["fragile"], title="Note", **{"x-order": 3}),
    "through_reference": lambda d: P(d, "Parcel").update(
        weight={"allOf": [{"$ref": "#/components/schemas/Weight"}], "description": "How heavy."}
    ),
    "deprecated": lambda d: rate(d).update(deprecated=True),
}


def changed(document: Json, change: Change) -> Json:
    after = copy.deepcopy(document)
    change(after)
    assert after != document, "the change changes nothing"
    return after


@pytest.mark.parametrize("name", BREAKING)
def test_a_break_is_found_and_said(name: str) -> None:
    change, words = BREAKING[name]
    found = breaks(NEUTRAL, changed(NEUTRAL, change))
    assert any(words in line for line in found), found


@pytest.mark.parametrize("name", ADDITIVE)
def test_an_addition_is_none(name: str) -> None:
    assert breaks(NEUTRAL, changed(NEUTRAL, ADDITIVE[name])) == []


def test_undoing_an_addition_is_a_break_and_the_other_way_round() -> None:
    """Requests and answers turn round together, so only changes of a request or of an answer alone are tried."""
    for name in ("req_optional_added", "req_enum_added", "max_widened", "pattern_widened", "resp_field_added"):
        assert breaks(changed(NEUTRAL, ADDITIVE[name]), NEUTRAL), name
    for name in ("req_enum_removed", "req_max_narrow", "pattern_narrow", "resp_enum_added", "param_length"):
        assert breaks(changed(NEUTRAL, BREAKING[name][0]), NEUTRAL) == [], name


def test_one_schema_sent_and_answered_is_held_both_ways() -> None:
    both = copy.deepcopy(NEUTRAL)
    P(both, "Quote")["parcel"] = {"$ref": "#/components/schemas/Parcel"}
    for change in (lambda d: P(d, "Parcel")["mode"]["enum"].append("slow"), BREAKING["req_enum_removed"][0]):
        assert breaks(both, changed(both, change))


def test_what_several_schemas_have_in_common_is_said_once() -> None:
    """Of a part that stands in other schemas by allOf; what a schema has of its own is still said of it."""
    old = copy.deepcopy(NEUTRAL)
    facts = {"type": "object", "properties": {"sender": {"type": "string"}}, "required": ["sender"]}
    old["components"]["schemas"]["Facts"] = facts
    for name in ("Quote", "Receipt"):
        own = copy.deepcopy(S(old, "Quote") if name == "Quote" else {"type": "object", "properties": {"no": {}}})
        ref = {"$ref": "#/components/schemas/Facts"}
        old["components"]["schemas"][name] = {"allOf": [ref, own]}
    carriers = old["paths"]["/v1/carriers"]["get"]["responses"]["200"]["content"]["application/json"]
    carriers["schema"] = {"$ref": "#/components/schemas/Receipt"}
    gone = changed(old, lambda d: (P(d, "Facts").pop("sender"), S(d, "Facts").pop("required")))
    assert breaks(old, gone) == ["Facts, answered: field sender is taken away"]
    both = changed(gone, lambda d: S(d, "Receipt")["allOf"][1]["properties"].pop("no"))
    assert set(breaks(old, both)) == {
        "Facts, answered: field sender is taken away",
        "Receipt, answered: field no is taken away",
    }


def test_a_union_is_taken_part_by_part() -> None:
    """What one object held under conditions may be two objects now: {value} or {low, high}."""
    number, unit = {"type": "number"}, {"type": "string"}
    old = copy.deepcopy(NEUTRAL)
    S(old, "Weight").update(
        properties={"value": number, "low": number, "high": number, "unit": unit},
        required=["unit"],
        anyOf=[{"required": ["value"]}, {"required": ["low", "high"]}],
    )
    new = copy.deepcopy(old)
    one, two = ({**S(old, "Weight"), "required": names} for names in (["value", "unit"], ["low", "high", "unit"]))
    for part in (one, two):
        del part["anyOf"]
    two["properties"] = {name: two["properties"][name] for name in ("low", "high", "unit")}
    new["components"]["schemas"]["Weight"] = {"anyOf": [one, two]}
    assert breaks(old, new) == []
    new["components"]["schemas"]["Weight"] = {"anyOf": [one]}
    assert breaks(old, new)


class TestOurOwnDocument:
    """Changes to the contract as committed."""

    def test_it_breaks_nothing_of_itself(self) -> None:
        assert breaks(COMMITTED, COMMITTED) == []

    def test_what_runs_breaks_nothing_of_it(self) -> None:
        assert undeclared(breaks(COMMITTED, document(bundled())), CHANGELOG) == []

    def test_the_writing_of_a_job_may_not_narrow(self) -> None:
        after = changed(COMMITTED, lambda d: P(d, "Zone")["exposure"]["enum"].remove("roofed"))
        assert breaks(COMMITTED, after) == ['Zone, sent: field exposure: "roofed" is no longer taken']

    def test_no_output_may_go(self) -> None:
        after = changed(COMMITTED, lambda d: P(d, "CoverageResult").pop("volume"))
        assert "CoverageResult, answered: field volume is taken away" in breaks(COMMITTED, after)

    def test_no_operation_may_go(self) -> None:
        for path in COMMITTED["paths"]:
            others = {other: methods for other, methods in COMMITTED["paths"].items() if other != path}
            assert f"{path} is taken away" in breaks(COMMITTED, {**COMMITTED, "paths": others})

    def test_no_shared_option_may_narrow(self) -> None:
        after = changed(COMMITTED, lambda d: d["components"]["parameters"]["units"]["schema"]["enum"].remove("us"))
        assert '"us" is no longer taken' in "\n".join(breaks(COMMITTED, after))

    @pytest.mark.parametrize("name", ["AreaText", "LengthRangeText", "ConcentrationText"])
    def test_a_unit_more_is_an_addition_and_a_unit_less_a_break(self, name: str) -> None:
        """Patterns of a thousand characters, compared as the sets of texts they take."""
        after = changed(COMMITTED, lambda d: S(d, name).update(pattern=with_unit(S(d, name)["pattern"])))
        assert breaks(COMMITTED, after) == []
        (line,) = breaks(after, COMMITTED)
        assert line.startswith(f"{name}, sent: by its pattern the text ")
        assert "cubits" in line


def with_unit(pattern: str) -> str:
    assert pattern.count("(?: ?(?:") >= 1
    return pattern.replace("(?: ?(?:", "(?: ?(?:cubits|")


class TestWhoMayCall:
    def keyed(self, **scheme: str) -> Json:
        document = copy.deepcopy(NEUTRAL)
        key_needed(document)
        document["components"]["securitySchemes"]["key"].update(scheme)
        return document

    def test_asking_less_is_an_addition(self) -> None:
        assert breaks(self.keyed(), NEUTRAL) == []
        assert breaks(self.keyed(), changed(self.keyed(), lambda d: d["security"].append({"token": []}))) == []

    def test_asking_more_is_a_break(self) -> None:
        after = changed(self.keyed(), lambda d: d.update(security=[{"key": [], "token": []}]))
        assert "GET /v1/rate: key no longer suffices" in breaks(self.keyed(), after)

    def test_one_operation_may_differ(self) -> None:
        after = changed(NEUTRAL, lambda d: (key_needed(d), rate(d).update(security=[])))
        found = breaks(NEUTRAL, after)
        assert any(line.startswith("POST /v1/quote:") for line in found)
        assert not any(line.startswith("GET /v1/rate:") for line in found)

    def test_another_proof_is_a_break(self) -> None:
        assert "GET /v1/rate: how key is proved changes" in breaks(self.keyed(), self.keyed(name="X-Token"))
        assert breaks(self.keyed(), self.keyed(description="Ask us for one.")) == []


class TestDeclared:
    FOUND = ("/v1/rate is taken away", 'Service, answered: "pigeon" may be answered, and never was')

    def test_an_item_of_a_list_declares(self) -> None:
        changelog = f"# Changes\n\n- {self.FOUND[0]}\n- something else\n"
        assert undeclared(list(self.FOUND), changelog) == [self.FOUND[1]]

    def test_an_item_may_be_broken_over_lines(self) -> None:
        assert undeclared([self.FOUND[1]], '* Service, answered: "pigeon" may be\n  answered, and never was\n') == []

    def test_a_mention_is_not_enough(self) -> None:
        text = f"We would never do this: {self.FOUND[0]}.\n- not {self.FOUND[0]}\n"
        assert undeclared([self.FOUND[0]], text) == [self.FOUND[0]]


class TestPublished:
    """From the first published version on no break passes, whatever the changelog says of it."""

    LINE = "CoverageResult, answered: field volume is taken away"
    SECTIONS = "# Changes\n\n## 1.1, not yet published\n\n- {}\n\n## 1.0, {}\n\n- {}\n"

    def test_the_heading_decides(self) -> None:
        before = self.SECTIONS.format(self.LINE, "not yet published", self.LINE)
        after = self.SECTIONS.format(self.LINE, "published 2026-12-01", self.LINE)
        assert (published(before), published(after)) == ([], ["1.0"])
        assert undeclared([self.LINE], before) == []
        assert undeclared([self.LINE], after) == [self.LINE]

    def test_a_planted_break_of_our_contract_is_refused(self, tmp_path: Path) -> None:
        """Publishing is one heading: the changelog as it stands, with that heading changed."""
        file, changelog = tmp_path / "v1.json", tmp_path / "CHANGELOG.md"
        more = changed(COMMITTED, lambda d: P(d, "CoverageResult").update(shine={"type": "string"}))
        planted = "CoverageResult, answered: field shine is taken away"
        file.write_bytes(render(more))
        said = CHANGELOG.replace("## 1.0, not yet published", "## 1.0, published 2026-12-01")
        assert said != CHANGELOG or published(CHANGELOG)
        changelog.write_text(f"{said}\n- {planted}\n", "utf-8")
        assert planted in write(file)
        assert json.loads(file.read_bytes()) == more
        assert not beside(file).exists()
        new = tmp_path / "new.json"
        new.write_bytes(render(COMMITTED))
        assert main([str(file), str(new), "--declared", str(changelog)]) == 1

    def test_every_heading_says_which_it_is(self) -> None:
        headings = re.findall(r"^## .*$", CHANGELOG, re.MULTILINE)
        said = r"## [0-9]+\.[0-9]+, (?:not yet published|published 20[0-9]{2}-[01][0-9]-[0-3][0-9])"
        assert headings
        assert [heading for heading in headings if not re.fullmatch(said, heading)] == []
        assert headings[0].startswith(f"## {CONTRACT}, ")


class TestCommand:
    def files(self, folder: Path, change: Change) -> list[str]:
        old, new = folder / "old.json", folder / "new.json"
        old.write_text(json.dumps(NEUTRAL), "utf-8")
        new.write_text(json.dumps(changed(NEUTRAL, change)), "utf-8")
        return [str(old), str(new)]

    def test_breaks_are_listed_and_the_exit_code_is_one(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert main(self.files(tmp_path, BREAKING["path_removed"][0])) == 1
        assert "- /v1/carriers is taken away\n" in capsys.readouterr().out

    def test_without_a_break_it_is_zero(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(self.files(tmp_path, ADDITIVE["path_added"])) == 0
        assert capsys.readouterr().out == ""

    def test_what_it_prints_can_be_declared(self, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
        files = self.files(tmp_path, BREAKING["resp_enum_added"][0])
        assert main(files) == 1
        changelog = tmp_path / "CHANGELOG.md"
        changelog.write_text(capsys.readouterr().out, "utf-8")
        assert main([*files, "--declared", str(changelog)]) == 0


class TestWriting:
    """The document is not overwritten by one that breaks it."""

    def test_a_break_is_refused_and_the_file_left(self, tmp_path: Path) -> None:
        promised = copy.deepcopy(COMMITTED)
        promised["paths"]["/v1/tea"] = promised["paths"]["/v1/catalogue"]
        file = tmp_path / "v1.json"
        file.write_bytes(render(promised))
        assert write(file) == ["/v1/tea is taken away"]
        assert json.loads(file.read_bytes()) == promised

    def test_a_declared_break_is_written(self, tmp_path: Path) -> None:
        promised = copy.deepcopy(COMMITTED)
        promised["paths"]["/v1/tea"] = promised["paths"]["/v1/catalogue"]
        file = tmp_path / "v1.json"
        file.write_bytes(render(promised))
        (tmp_path / "CHANGELOG.md").write_text("- /v1/tea is taken away\n", "utf-8")
        assert write(file) == []
        assert "/v1/tea" not in json.loads(file.read_bytes())["paths"]

    def test_the_first_is_written(self, tmp_path: Path) -> None:
        assert write(tmp_path / "v1.json") == []
        assert json.loads((tmp_path / "v1.json").read_bytes())["openapi"] == "3.1.1"

    def test_both_files_hold_one_document(self, tmp_path: Path) -> None:
        assert write(tmp_path / "v1.json") == []
        served, read = (tmp_path / name for name in ("v1.json", "v1.readable.json"))
        assert json.loads(served.read_bytes()) == json.loads(read.read_bytes())
        assert served.read_bytes().count(b"\n") == 0
        assert read.read_bytes().count(b"\n") > 10_000

    def test_the_committed_files_hold_one_document(self) -> None:
        file = OPENAPI / "v1.json"
        assert file.read_bytes() == render(COMMITTED)
        assert beside(file).read_bytes() == readable(COMMITTED)
