"""Two OpenAPI documents side by side: operations, parameters, bodies, answers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from tests.contract.compatibility.names import renamed_schemas
from tests.contract.compatibility.schemas import Fit
from tests.contract.compatibility.security import security_breaks
from tests.contract.compatibility.shapes import Json, resolve

METHODS: Final = ("get", "put", "post", "delete", "options", "head", "patch", "trace")
#: How a parameter is written where the document does not say, by where it stands.
STYLES: Final = {"query": "form", "cookie": "form", "path": "simple", "header": "simple"}


def breaks(old: Json, new: Json) -> list[str]:
    """Return every break of the old document's promises, each a sentence that begins with its place."""
    return list(dict.fromkeys(_Documents(old, new).breaks()))


class _Documents:
    def __init__(self, old: Json, new: Json) -> None:
        self.old, self.new = old, new
        self.sent = Fit(old, new, request=True)
        self.answered = Fit(new, old, request=False)

    def breaks(self) -> Iterator[str]:
        for server in self.old.get("servers", ()):
            if server["url"] not in {s["url"] for s in self.new.get("servers", ())}:
                yield f"server {server['url']} is taken away"
        for path, item in self.old.get("paths", {}).items():
            after = resolve(self.new.get("paths", {}).get(path), self.new)
            if after is None:
                yield f"{path} is taken away"
                continue
            before = resolve(item, self.old)
            for method in METHODS:
                if method in before and method not in after:
                    yield f"{method.upper()} {path} is taken away"
                elif method in before:
                    yield from self.operation(f"{method.upper()} {path}", before, after, method)
        for section in ("webhooks",):
            if self.old.get(section, {}) != self.new.get(section, {}):
                yield f"{section} change, which is not compared"
        yield from renamed_schemas(self.old, self.new)

    def operation(self, at: str, before: Json, after: Json, method: str) -> Iterator[str]:
        old, new = before[method], after[method]
        if old.get("operationId") != new.get("operationId"):
            yield f"{at}: operationId goes from {old.get('operationId')} to {new.get('operationId')}"
        if old.get("tags", [])[:1] != new.get("tags", [])[:1]:
            yield f"{at}: the first tag, a module in generated clients, changes to {new.get('tags')}"
        if old.get("callbacks", {}) != new.get("callbacks", {}):
            yield f"{at}: callbacks change, which is not compared"
        yield from security_breaks(at, (self.old, old), (self.new, new))
        yield from self.parameters(at, _parameters(before, old, self.old), _parameters(after, new, self.new))
        yield from self.body(at, resolve(old.get("requestBody"), self.old), resolve(new.get("requestBody"), self.new))
        yield from self.responses(at, old.get("responses", {}), new.get("responses", {}))

    def parameters(self, at: str, old: dict[tuple[str, str], Json], new: dict[tuple[str, str], Json]) -> Iterator[str]:
        for (where, name), before in old.items():
            place = f"{at}: {where} parameter {name}"
            after = new.get((where, name))
            if after is None:
                yield f"{place} is taken away"
                continue
            if after.get("required") and not before.get("required"):
                yield f"{place} is now required"
            for key, usual in (("style", STYLES[where]), ("explode", None), ("allowReserved", False)):
                if before.get(key, usual) != after.get(key, usual):
                    yield f"{place}: {key} goes from {before.get(key, usual)} to {after.get(key, usual)}"
            yield from self.content(place, self.sent, before.get("content", {}), after.get("content", {}))
            yield from self.sent.reasons(before.get("schema", True), after.get("schema", True), place)
        for (where, name), after in new.items():
            if (where, name) not in old and after.get("required"):
                yield f"{at}: {where} parameter {name} is new and required"

    def body(self, at: str, old: Json | None, new: Json | None) -> Iterator[str]:
        if old is None:
            if new is not None and new.get("required"):
                yield f"{at}: a request body is now required"
        elif new is None:
            yield f"{at}: the request body is taken away"
        else:
            if new.get("required") and not old.get("required"):
                yield f"{at}: the request body is now required"
            yield from self.content(f"{at}: request body", self.sent, old.get("content", {}), new.get("content", {}))

    def content(self, at: str, fit: Fit, old: Json, new: Json) -> Iterator[str]:
        """Compare what is carried by media type; each that was there stays."""
        for media, before in old.items():
            after = new.get(media)
            if after is None:
                yield f"{at}: {media} is taken away"
                continue
            pair = (before.get("schema", True), after.get("schema", True))
            yield from fit.reasons(*(pair if fit.request else pair[::-1]), f"{at} {media}")
            if before.get("encoding", {}) != after.get("encoding", {}):
                yield f"{at} {media}: encoding changes, which is not compared"

    def responses(self, at: str, old: Json, new: Json) -> Iterator[str]:
        for status in sorted(set(new) - set(old)):
            if status[:1] == "2" and not {f"{status[0]}XX", "default"} & set(old):
                yield f"{at}: {status} is a success that was not foreseen"
        for status, said in old.items():
            before = resolve(said, self.old)
            found = next((new[key] for key in (status, f"{status[0]}XX", "default") if key in new), None)
            after = resolve(found, self.new)
            place = f"{at}: answer {status}"
            if after is None:
                # An error that no longer happens breaks nobody.
                if status[0] in "2d":
                    yield f"{place} is taken away"
                continue
            yield from self.content(place, self.answered, before.get("content", {}), after.get("content", {}))
            yield from self.headers(place, before.get("headers", {}), after.get("headers", {}))

    def headers(self, at: str, old: Json, new: Json) -> Iterator[str]:
        lower = {name.lower(): one for name, one in new.items()}
        for name, said in old.items():
            before, after = resolve(said, self.old), resolve(lower.get(name.lower()), self.new)
            if after is None:
                yield f"{at}: header {name} is taken away"
                continue
            if before.get("required") and not after.get("required"):
                yield f"{at}: header {name} may now be left out"
            yield from self.answered.reasons(
                after.get("schema", True), before.get("schema", True), f"{at}: header {name}"
            )


def _parameters(item: Json, operation: Json, document: Json) -> dict[tuple[str, str], Json]:
    """Return an operation's parameters and its path's, by place and name; a header's case does not matter."""
    found: dict[tuple[str, str], Json] = {}
    for said in (*item.get("parameters", ()), *operation.get("parameters", ())):
        one = resolve(said, document)
        name = one["name"].lower() if one["in"] == "header" else one["name"]
        found[one["in"], name] = one
    return found
