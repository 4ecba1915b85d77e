"""Every error becomes a problem document, the framework's own included; a cell's error becomes one line."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, cast
from urllib.parse import parse_qsl

import msgspec
from litestar import Response
from litestar.exceptions import HTTPException
from litestar.response.base import ASGIResponse
from litestar.types import ExceptionHandlersMap

from latewood.blame import PluginFailed
from latewood.messages import Speaker, Style, shipped
from latewood.messages import written as in_words
from latewood.problems import Fault, InputProblem, Malformed, NotFound, nearest
from latewood_api import accept
from latewood_api.answers import HTML, TEXT, AnyRequest
from latewood_api.failures import Failures
from latewood_api.pages.layout import Site, policy
from latewood_api.problem import KINDS, MEDIA, Refusal, document, from_engine, line, refusal

log = logging.getLogger("latewood_api")

#: Spreadsheets read cells from here, and can show nothing but a body of plain text.
CELLS = "/v1/cell/"
_BY_STATUS = {kind.status: kind.slug for kind in KINDS.values()}


@dataclass(frozen=True, slots=True)
class Written:
    """A refusal as it goes over the wire."""

    status: int
    media: str
    headers: dict[str, str]
    body: bytes

    def bare(self) -> ASGIResponse:
        """Return it as a response that needs no request around it."""
        return ASGIResponse(body=self.body, status_code=self.status, media_type=self.media, headers=self.headers)


def write(
    refused: Refusal, *, path: str, instance: str, on_error_text: bool = False, speaker: Speaker | None = None
) -> Written:
    """Write a refusal as a problem document, or as one line of text where a cell was asked for."""
    status = refused.kind.status
    headers = {"cache-control": "no-store", **refused.headers}
    if path.startswith(CELLS):
        return Written(200 if on_error_text else status, TEXT, headers, line(refused, speaker).encode())
    return Written(status, MEDIA, headers, msgspec.json.encode(document(refused, instance)))


def as_page(site: Site, refused: Refusal, path: str) -> Written:
    """Write a refusal as a page, with the nearest page where there is none at this path."""
    from latewood_api.pages.search import nearest_page

    kind = refused.kind
    close = nearest_page(site, path) if kind.slug == "not-found" else None
    body = site.page("refused", kind.title, kind=kind, faults=refused.faults, close=close)
    headers = {"cache-control": "no-store", **refused.headers, "content-security-policy": policy()}
    return Written(kind.status, HTML, headers, body)


def wants_page(path: str, accepted: str | None) -> bool:
    """Say whether a person asks, with a browser: for anything but what programs ask for."""
    return not path.startswith(("/v1/", "/health/")) and HTML in (accepted or "").lower()


def wants_text(method: str, query: bytes) -> bool:
    """Say whether a cell was asked to answer faults with status 200, even where the rest of the query is unusable."""
    return method in ("GET", "HEAD") and ("on_error", "text") in parse_qsl(query.decode("latin-1"))


def own(request: AnyRequest, key: str) -> str:
    """Return what `latewood_api.response_headers` put into the scope beside what ASGI has there."""
    return str(cast("dict[str, Any]", request.scope).get(key, ""))


def _speaker(request: AnyRequest) -> Speaker:
    """Return what writes texts as a request asks for them, as far as what it asks can be used."""
    texts = request.app.state.get("texts") or shipped()
    said = dict(parse_qsl(request.scope["query_string"].decode("latin-1")))
    asked = said.get("lang")
    lang = asked if asked in texts.packs else accept.language(request.headers.get("accept-language"), [*texts.packs])
    decimal = "," if said.get("decimal") == "," else "."
    return texts.speaker(Style.of(lang, "us" if said.get("units") == "us" else "metric", decimal))


def _reply(request: AnyRequest, refused: Refusal) -> Response[bytes]:
    speaker = _speaker(request)
    refused = Refusal(refused.kind.slug, in_words(refused.faults, speaker), refused.headers)
    scope = request.scope
    if wants_page(scope["path"], request.headers.get("accept")) and "site" in request.app.state:
        page = as_page(request.app.state["site"], refused, scope["path"])
        return Response(page.body, status_code=page.status, media_type=page.media, headers=page.headers)
    written = write(
        refused,
        path=scope["path"],
        instance=own(request, "instance"),
        on_error_text=wants_text(scope["method"], scope["query_string"]),
        speaker=speaker,
    )
    return Response(written.body, status_code=written.status, media_type=written.media, headers=written.headers)


def handlers(paths: Iterable[str], failures: Failures) -> ExceptionHandlersMap:
    """Return the exception handlers of the application; ``paths`` are what an unknown path is compared with."""
    known = list(paths)

    def engine(request: AnyRequest, error: Any) -> Response[bytes]:
        return _reply(request, from_engine(error))

    def ours(request: AnyRequest, error: Refusal) -> Response[bytes]:
        return _reply(request, error)

    def frameworks(request: AnyRequest, error: HTTPException) -> Response[bytes]:
        return _reply(request, _from_framework(request, error, known))

    def plugins(request: AnyRequest, error: PluginFailed) -> Response[bytes]:
        request_id = own(request, "request_id")
        failures.note(error, request_id)
        return _reply(request, plugin_failure(error, request_id))

    def unforeseen(request: AnyRequest, error: Exception) -> Response[bytes]:
        return _reply(request, failure(error, own(request, "request_id")))

    return {
        InputProblem: engine,
        Malformed: engine,
        NotFound: engine,
        Refusal: ours,
        HTTPException: frameworks,
        PluginFailed: plugins,
        Exception: unforeseen,
    }


def _from_framework(request: AnyRequest, error: HTTPException, known: list[str]) -> Refusal:
    if error.status_code >= 500:
        return failure(error, own(request, "request_id"))
    slug = _BY_STATUS.get(error.status_code, "malformed")
    headers = {name.lower(): value for name, value in (error.headers or {}).items()}
    if slug == "not-found":
        return no_such_path(request.scope["path"], known)
    if slug == "method-not-allowed":
        allowed = headers.get("allow", "")
        fault = refusal(slug, f"{request.method[:20]} is not answered here", expected=f"one of {allowed}")
        return Refusal(slug, fault.faults, headers)
    return refusal(slug, KINDS[slug].meaning)


def no_such_path(path: str, known: list[str]) -> Refusal:
    """Return the refusal of a path nothing is served at, naming the nearest that is."""
    fault = Fault(
        pointer="", code="not-found", detail="nothing is served at this path", nearest=nearest(path[:120], known)
    )
    return Refusal("not-found", [fault])


def failure(error: BaseException, request_id: str) -> Refusal:
    """Log an error nobody foresaw and return the refusal that says so, and nothing of the error itself."""
    log.error("request %s failed", request_id, exc_info=error)
    return refusal("internal", "a fault of this server", expected=f"a report that quotes request id {request_id}")


def plugin_failure(error: PluginFailed, request_id: str) -> Refusal:
    """Log a failure of a plugin and return the refusal that names it, and nothing of the error itself."""
    log.error("request %s failed in %s of plugin %s", request_id, error.part, error.plugin, exc_info=error)
    detail = f"plugin {error.plugin} failed in {error.part}"
    expected = f"a report to its author that quotes request id {request_id}"
    return Refusal("internal", [Fault(pointer="", code="plugin-failed", detail=detail, expected=expected)])
