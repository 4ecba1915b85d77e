"""The paths of the contract that no calculator adds: plan, catalogue, changelog, health."""

from __future__ import annotations

from latewood.catalogue import Catalogue
from latewood.report import WIDTHS
from latewood.wire import Components
from latewood_api import contract_parts as shared
from latewood_api.answers import JSON, MARKDOWN, SVG, TEXT
from latewood_api.contract_parts import Json, ok, option, ref
from latewood_api.contract_plan import job_schema, plan_schema, sample_job
from latewood_api.query import SEARCH_LENGTH

_SAVED: Json = {"304": ref("responses", "NotModified")}


_WIDTH: Json = {
    "name": "width",
    "in": "query",
    "description": "Columns of the text; a phone has 46.",
    "schema": {"type": "integer", "minimum": WIDTHS[0], "maximum": WIDTHS[1], "default": 80},
    "example": 46,
}
_FULL: Json = {
    "name": "full",
    "in": "query",
    "description": "Show everything, however long.",
    "schema": {"type": "boolean", "default": False},
    "example": True,
}


def fixed_paths(lw: Catalogue, parts: Components) -> Json:
    """Return the paths of plan, catalogue, changelog and health."""
    return {**_plan(lw, parts), **_catalogue(), **_changelog(), **_health()}


def _plan(lw: Catalogue, parts: Components) -> Json:
    body = {"required": True, "content": {JSON: {"schema": job_schema(parts), "example": sample_job()}}}

    whole = "The body is the job itself. What the job leaves out is skipped, and the plan says so."
    drawn = (
        "Zones, boards cut against them, and edge work, to scale, with the same said in words for who cannot see it."
    )

    read = (
        "The report of a plan: verdicts, what to do first, dangers, what to buy, work in order, what is assumed, what "
        "is not planned. It stands on 120 lines at most where they hold it. Dangers, warnings, questions and verdicts "
        "are never left out."
    )

    def operation(
        name: str, summary: str, media: str, schema: Json, description: str = whole, more: tuple[Json, ...] = ()
    ) -> Json:
        return {
            "operationId": name,
            "summary": summary,
            "description": description,
            "tags": ["plan"],
            "parameters": [option("units"), option("working"), option("decimal"), option("lang"), *more],
            "requestBody": body,
            "responses": {"200": ok("The plan.", media, schema), **shared.refusals(shared.SEND)},
        }

    return {
        "/v1/plan": {"post": operation("planJob", "Plan a job", JSON, plan_schema(parts, lw.calculators.values()))},
        "/v1/plan.txt": {
            "post": operation(
                "planJobAsText", "Plan a job, as text to read", TEXT, {"type": "string"}, read, (_WIDTH, _FULL)
            )
        },
        "/v1/plan.svg": {"post": operation("drawJob", "Draw the zones of a job", SVG, {"type": "string"}, drawn)},
    }


def _read(name: str, summary: str, description: str, tag: str, schema: str, statuses: tuple[int, ...]) -> Json:
    return {
        "operationId": name,
        "summary": summary,
        "description": description,
        "tags": [tag],
        "responses": {
            "200": ok(f"{summary}.", JSON, ref("schemas", schema), tagged=True),
            **_SAVED,
            **shared.refusals(statuses),
        },
    }


def _catalogue() -> Json:
    def named(name: str, about: str, example: str) -> Json:
        schema = {"type": "string", "minLength": 1, "maxLength": 80, "pattern": "^[a-z][a-z0-9-]*$"}
        return {
            "name": name,
            "in": "path",
            "required": True,
            "description": about,
            "schema": schema,
            "example": example,
        }

    kind = named("kind", "A kind, from the list of kinds.", "species")
    entry = named("id", "An id, from the list of its kind.", "ipe")
    lists = _read(
        "listKinds",
        "List the kinds",
        "Every kind of entry, with its title and its count.",
        "catalogue",
        "CatalogueKinds",
        shared.READ,
    )
    items = _read(
        "listCatalogue",
        "List one kind",
        "All of one kind, unpaged, in order of id; or what of it goes by a name, the best first. A name that several "
        "woods share is answered with what it may mean.",
        "catalogue",
        "CatalogueList",
        shared.READ_ONE,
    )
    search = {
        "name": "search",
        "in": "query",
        "description": "A name or part of one: of the id, the title, the botanical name or a trade name. Case, accents "
        "and hyphens do not count.",
        "schema": {"type": "string", "minLength": 1, "maxLength": SEARCH_LENGTH},
        "example": "philippine mahogany",
    }
    item = _read(
        "getCatalogueEntry",
        "Read one entry",
        "One entry whole. A record comes as its file says it, with its numbers as they are computed with, how each is "
        "known, and the sources they are from.",
        "catalogue",
        "CatalogueItem",
        shared.READ_ONE,
    )
    return {
        "/v1/catalogue": {"get": {**lists, "parameters": [option("lang")]}},
        "/v1/catalogue/{kind}": {"get": {**items, "parameters": [kind, search]}},
        "/v1/catalogue/{kind}/{id}": {"get": {**item, "parameters": [kind, entry, option("units")]}},
    }


def _changelog() -> Json:
    operation = {
        "operationId": "getChangelog",
        "summary": "Read what changed in the contract",
        "description": "What each version of the contract brought, newest first, and what callers change where it "
        "breaks something.",
        "tags": ["contract"],
        "responses": {
            "200": ok("The changelog, in Markdown.", MARKDOWN, {"type": "string"}, tagged=True),
            **_SAVED,
            **shared.refusals(shared.READ),
        },
    }
    return {"/v1/changelog": {"get": operation}}


def _health() -> Json:
    live = _read(
        "getLiveness", "Does the process run", "Answers while the process runs.", "health", "Liveness", shared.READ
    )
    ready = _read(
        "getReadiness",
        "Does the server take work",
        "Names each plugin and why any was left out.",
        "health",
        "Readiness",
        (*shared.READ, 503),
    )
    return {"/health/live": {"get": live}, "/health/ready": {"get": ready}}
