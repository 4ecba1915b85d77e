"""Which plugins have failed while they answered: named in readiness as long as the server runs."""

from __future__ import annotations

from typing import Any

from latewood.blame import PluginFailed


class Failures:
    """How often each plugin failed, and where it did last."""

    def __init__(self) -> None:
        self._found: dict[str, dict[str, Any]] = {}

    def note(self, failed: PluginFailed, request_id: str) -> None:
        """Remember a failure; the log has more of it under the id of the request."""
        count = self._found.get(failed.plugin, {}).get("count", 0)
        self._found[failed.plugin] = {"count": count + 1, "part": failed.part, "request_id": request_id}

    def of(self, plugin: str) -> dict[str, Any]:
        """Return what readiness says of a plugin beside what it is."""
        return {"failed": self._found[plugin]} if plugin in self._found else {}
