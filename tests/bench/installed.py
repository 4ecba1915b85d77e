"""What `pip install '.[api]'` brings: each distribution with its size, and whether a running server imports any of it.

Run: python -m tests.bench.installed [PROJECT], where a project is a checkout; this one, where none is named.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

#: Run by the environment that is measured: files by distribution, and what answering a request of each kind imports.
MEASURE = r"""
import asyncio, json, os, sys
from importlib.metadata import distributions, packages_distributions
import latewood
from latewood_api import server
from latewood_api.app import create_app

app = create_app(latewood.load())
PATHS = ("/", "/docs", "/docs/coverage", "/openapi.json", "/health/ready", "/v1/catalogue/species", "/nowhere",
         "/v1/row/coverage?area=10%20m2&coating=clear-penetrating-oil&species=ipe", "/docs/assets/swagger-ui.css")

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


def main() -> None:
    """Install, measure, print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("project", nargs="?", default=str(Path(__file__).parents[2]))
    project = parser.parse_args().project
    with tempfile.TemporaryDirectory() as folder:
        python = Path(folder, "venv", "bin", "python")
        subprocess.run([sys.executable, "-m", "venv", Path(folder, "venv")], check=True)
        subprocess.run([python, "-m", "pip", "install", "--quiet", f"{project}[api]"], check=True)
        done = subprocess.run([python, "-c", MEASURE], capture_output=True, text=True, check=True, cwd=folder)
    found = sorted(json.loads(done.stdout), key=lambda one: -one["bytes"])
    found = [one for one in found if one["name"] not in ("pip", "setuptools")]
    for one in found:
        print(f"{one['bytes'] / 1e6:8.2f} MB  {one['name']}" + ("" if one["imported"] else "  (never imported)"))
    unused = [one for one in found if not one["imported"]]
    for what, those in (("all", found), ("never imported", unused)):
        print(f"{sum(one['bytes'] for one in those) / 1e6:8.2f} MB  {what}: {len(those)} distributions")


if __name__ == "__main__":
    main()
