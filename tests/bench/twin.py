"""The twin: the same calculation behind FastAPI, with models of pydantic for what is asked and answered.

It says what the request costs on the stack that most would choose; it has none of our limits, pages and checks.
"""

from __future__ import annotations

import argparse
import sys
from typing import Any

import msgspec
import uvicorn
from fastapi import FastAPI
from pydantic import BaseModel, ConfigDict

import latewood
from latewood.wire import Options


class Asked(BaseModel):
    """What one coverage calculation is asked with."""

    model_config = ConfigDict(extra="forbid")
    area: str
    species: str | None = None
    coating: str | None = None
    coats: int | None = None


class Finding(BaseModel):
    """A finding, as far as every client reads it; the rest is passed on."""

    model_config = ConfigDict(extra="allow")
    id: str
    severity: str
    message: str


class Answer(BaseModel):
    """The answer; its quantities are passed on as they are."""

    model_config = ConfigDict(extra="allow")
    result: dict[str, Any]
    findings: list[Finding]


catalogue = latewood.load()
app = FastAPI()


@app.get("/health/live")
async def live() -> str:
    """Answer."""
    return "live"


@app.post("/v1/calculate/coverage", response_model=Answer)
async def coverage(asked: Asked) -> Any:
    """Calculate."""
    return msgspec.to_builtins(catalogue.answer("coverage", asked.model_dump(exclude_none=True), Options()))


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--port", type=int, required=True)
    sys.exit(uvicorn.run(app, host="127.0.0.1", port=parser.parse_args().port, access_log=False, log_level="warning"))
