"""A lead test as a report gives it: a result counts with its method and day."""

from __future__ import annotations

from typing import Final

NO_LEAD: Final = {"lead_test": "none-found", "lead_test_method": "laboratory", "lead_test_date": "2026-04-20"}
