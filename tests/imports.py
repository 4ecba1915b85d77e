"""Which installed distributions a server imports while it answers, as a program for any environment."""

from __future__ import annotations

from typing import Final

#: Run by the environment that is measured: files by distribution, and what answering a request of each kind imports.
MEASURE: Final = r"""
import asyncio, json, os, sys
from importlib.metadata import distributions, packages_distributions
import latewood
from latewood_api import server
from latewood_api.app import create_app

app = create_app(latewood.load())
PATHS = ("/", "/docs", "/docs/coverage", "/openapi.json", "/health/ready", "/v1/catalogue/species", "/nowhere",
         "/docs/guide/operator", "/v1/row/coverage?area=10%20m2&coating=clear-penetrating-oil&species=ipe",
         "/docs/assets/swagger-ui.css")

async def ask(path):
    path, _, query = path.partition("?")
    scope = {"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "GET", "scheme": "http",
             "path": path, "raw_path": path.encode(), "query_string": query.encode(), "root_path": "", "headers": [],
             "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 2), "state": {}}
    async def receive():
        return {"type": "http.request", "body": b"", "more_body": False}
    async def send(message):
        pass
    await app(scope, receive, send)

for path in PATHS:
    asyncio.run(ask(path))
import uvicorn.protocols.http.httptools_impl
if sys.platform != "win32":
    import uvloop
from latewood_api.dispatch import slot
owners = packages_distributions()
imported = {owner for name in sys.modules for owner in owners.get(name.partition(".")[0], ())}
found = []
for one in distributions():
    places = {os.path.realpath(one.locate_file(file)) for file in one.files or ()}
    size = sum(os.path.getsize(place) for place in places if os.path.isfile(place))
    found.append({"name": one.name, "bytes": size, "imported": one.name in imported})
print(json.dumps(found))
"""
