"""The ASGI application serving one catalogue.

Faults of litestar that touch us:

- OpenAPI made from msgspec types is thin (4575) -> the contract is written from our own declarations, not by the
  framework. Tests: `engine/wire/test_schema::test_what_the_schema_admits_is_read`,
  `test_what_the_schema_refuses_is_refused`
- minItems is lost (4514) -> the contract is written from our own declarations, not by the framework; bounds come
  from the field's declaration. Tests: `engine/wire/test_structs::test_a_list_keeps_its_limits`
- `gt=0` is lost inside Optional (4815) -> the contract is written from our own declarations, not by the framework;
  bounds come from the field's declaration. Tests: `contract/test_schemathesis::test_contract`
- MsgspecDTO with Optional and Meta answers 500 (5028) -> no DTOs: bodies are read by `body.py` and our readers.
  Tests: `api/test_hostile_bodies::test_hostile_body_is_refused`
- struct descriptions are left out (3997) -> each schema has its struct's first line. Tests:
  `api/test_openapi::test_every_object_says_what_it_is`
- the schema of errors cannot be set (4523) -> every problem response is written by us. Tests:
  `api/test_openapi::test_problems_shown_are_problems`
- tagged unions have no discriminator (4048, 4564) -> no tagged unions on the wire. Tests:
  `api/test_openapi::test_no_construct_that_is_misread`
- DTOs and tagged unions do not go together (3398) -> neither is used. Tests:
  `api/test_openapi::test_no_construct_that_is_misread`
- a fault's key loses the index of a list (4215) -> JSON Pointers are made by our readers. Tests:
  `engine/wire/test_structs::test_every_fault_is_reported_at_once`
- middleware does not run on 404 and 405 (175) -> `ResponseHeaders` stands outside the framework. Tests:
  `api/test_response_headers::test_every_answer_carries_what_it_owes`
- cross-origin headers are missing on unknown routes (1133) -> `ResponseHeaders` stands outside the framework.
  Tests: `api/test_response_headers::test_every_answer_carries_what_it_owes`
- the response cache forgets Accept -> no built-in cache; one representation a path. Tests:
  `api/test_openapi::test_one_representation_a_path`
- compression and cache in the wrong order (1301) -> answers are packed by us, after their tag is known. Tests:
  `api/test_response_headers::test_who_takes_gzip_gets_the_same_in_fewer_bytes`
- `Vary: Origin` overwrites; one strong tag for two encodings -> `Vary` is set by us; what is packed has a tag of
  its own. Tests: `api/test_response_headers::test_every_answer_carries_what_it_owes`,
  `test_who_takes_gzip_gets_the_same_in_fewer_bytes`
- a default of one field leaks into a shared enum (3518) -> no default stands beside a reference. Tests:
  `api/test_openapi::test_no_default_beside_a_reference_and_none_that_is_null`
- the problem plugin puts URL and query in the title (3323) -> own handlers for every exception; nothing sent is
  repeated. Tests: `api/test_problems::test_no_answer_repeats_the_query`
- HEAD is 405 on every GET -> HEAD is answered as GET outside the framework. Tests:
  `api/test_response_headers::test_head_is_get_without_the_body`
- a body that is not UTF-8 answers 500 -> read strictly, refused with 400. Tests:
  `api/test_hostile_bodies::test_hostile_body_is_refused`
- deep JSON answers 500 -> depth is counted before decoding. Tests:
  `api/test_hostile_bodies::test_hostile_body_is_refused`
- bodies are converted loosely: "3" is 3, "nan" is NaN -> readers of our own, which convert nothing. Tests:
  `engine/wire/test_scalars::test_whole_refused`, `test_flag_refused`
- Content-Type and Accept are not looked at -> 415 with Accept-Post, 406. Tests:
  `api/test_problems::test_415_names_the_type_that_is_read`, `test_accept_is_honoured_and_junk_in_it_ignored`
- of a key given twice the last wins -> refused while decoding. Tests:
  `api/test_hostile_bodies::test_hostile_body_is_refused`
- queries: unknown names ignored, doubled ones too, `nan` passes -> own parser: each is a fault. Tests:
  `api/test_problems::test_a_name_given_twice_is_refused_and_a_cache_buster_is_not`,
  `engine/test_unit_refusals::test_nothing_infinite_gets_in`
- 429 without Retry-After, counted per worker -> no limiter of the framework's; comes with its own issue. Tests:
  none
- a caller who leaves in mid-body counts as our failure -> mapped to a refusal, logged as nothing. Tests:
  `api/test_problems::test_a_caller_who_leaves_is_not_a_failure_of_ours`,
  `faults/test_sizes::test_is_refused_and_answered`
- a charset in `media_type` is sent twice -> media types are given bare. Tests:
  `api/test_cells::test_a_cell_is_plain_text_in_utf8`
- metrics are labelled by raw path -> no such plugin; a later one labels by route. Tests: none
- data, query and header declarations change in 3.0 -> handlers take the bare request; warnings are errors in tests.
  Tests: `api/test_response_headers::test_every_answer_carries_what_it_owes`
- the limit of bodies is 10 MB -> 1 MB, set and tested, declared or not; what incomplete bodies hold together is
  bounded. Tests: `api/test_problems::test_413_for_a_body_over_the_limit_declared_or_not`,
  `faults/test_crowds::test_many_slow_bodies_at_once`
- a trailing slash is an alias; `//` and NUL pass -> one spelling of each path; control characters refused. Tests:
  `api/test_problems::test_404_names_the_nearest`, `api/test_hostile_bodies::test_hostile_body_is_refused`
- pages of docs load scripts and fonts from elsewhere -> the framework's pages are off; ours allow this server only.
  Tests: `browser/test_docs::test_every_operation_is_drawn`,
  `api/test_pages::test_nothing_inline_and_nothing_from_elsewhere`
"""

from __future__ import annotations

from collections.abc import Sequence

from litestar import Litestar, get
from litestar.datastructures import State
from litestar.handlers import HTTPRouteHandler
from litestar.response.base import ASGIResponse
from litestar.types import ASGIApp

from latewood.catalogue import Catalogue
from latewood_api import errors, kept_contract, query
from latewood_api.answers import JSON, AnyRequest, check_accept, got
from latewood_api.body import MAX_BYTES
from latewood_api.dispatch.desk import Desk
from latewood_api.pages.layout import Site
from latewood_api.response_headers import ResponseHeaders
from latewood_api.routes import calculate, catalogue, cell, changelog, docs, health, plan, security, table


def create_app(
    lw: Catalogue,
    readiness: health.Readiness | None = None,
    *,
    desk: Desk | None = None,
    contact: Sequence[str] = (),
) -> ASGIApp:
    """Return the application. Everything a calculator needs here is made from its declaration.

    ``desk`` says where calculations run; without one they run in this process, however long they take.
    ``contact`` are addresses for reports of security faults, as security.txt names them.
    """
    contract, concrete = kept_contract.contract(lw)
    paths = sorted([*concrete, "/docs", "/openapi.json"])
    desk = desk or Desk(lw)
    site = Site(lw)
    routes = [
        *calculate.handlers(lw, desk),
        *cell.handlers(lw, desk),
        *table.handlers(lw, desk),
        *plan.handlers(desk),
        *catalogue.handlers(lw),
        *changelog.handlers(),
        *health.handlers(lw, readiness or health.Readiness(), desk.failures),
        *docs.handlers(lw, desk, site, contract),
        *security.handlers(contact),
        _contract_route(contract),
    ]
    app = Litestar(
        routes,
        exception_handlers=errors.handlers(paths, desk.failures),
        openapi_config=None,
        logging_config=None,
        debug=False,
        state=State({"languages": lw.languages, "texts": lw.shelf.texts, "site": site}),
        pdb_on_exception=False,
        request_max_body_size=MAX_BYTES,
    )
    return ResponseHeaders(app, paths, site)


def _contract_route(contract: bytes) -> HTTPRouteHandler:
    @get("/openapi.json")
    async def openapi_json(request: AnyRequest) -> ASGIResponse:
        check_accept(request, JSON)
        query.options_only(query.Asked.of(request))
        return got(request, contract)

    return openapi_json
