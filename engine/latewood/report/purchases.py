"""Lines of what to buy: the amount, how sure it is, and what stands before buying."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from latewood.messages import Code, Count, Share
from latewood.report import figures
from latewood.report.labels import Json, Reader, beside
from latewood.report.model import Purchase

#: Fields of a purchase by its measure: what is cut from a roll, a powder, a liquid.
_MEASURED: Final = ("sheet_area", "cover_area", "tape_length", "product_mass", "stock_volume")
#: A smaller risk of running short than this is not told in figures.
_RARE: Final = 0.01
#: The condition that questions are open, and those that say what a question leaves open.
_OPEN: Final = "rests-on-open-questions"
_ASKED_ABOVE: Final = frozenset({"finish-unknown", "route-open"})


class Purchases(Reader):
    """Reads what one plan buys."""

    def rows(self) -> tuple[Purchase, ...]:
        """Return every line, in the order of the plan."""
        return tuple(map(self._purchase, self.answer["purchases"]))

    def _purchase(self, row: Json) -> Purchase:
        cans = " + ".join(f"{one['count']} × {one['label']}" for one in row["containers"])
        amount, details = cans, []
        if row["kind"] == "finish":
            if "volume" in row:
                details.append(figures.quantity(row["volume"], self.speaker))
                risk = row["shortage_risk"]["value"] / 100
                least = Share(max(risk, _RARE))
                details.append(self._say("report-shortage" if risk >= _RARE else "report-rarely-short", risk=least))
            amount = amount or self._say("report-no-amount")
        elif measure := next((row[name] for name in _MEASURED if name in row), None):
            amount = figures.quantity(measure, self.speaker)
        elif "count" in row:
            amount = str(row["count"])
            if (likely := row.get("typical_count", row["count"])) < row["count"]:
                amount = self._say("report-likely-buy", likely=Count(likely), buy=Count(row["count"]))
        if "boxes" in row:
            details.append(self._say("report-boxes", boxes=Count(row["boxes"])))
        lifted = row.get("lifted_by", ())
        first = (self._say("report-not-before", fields=Code(self.labels.fields(lifted))),) if lifted else ()
        stands = {one["id"] for one in row["conditions"]}
        # What is open is asked above, so that questions may stand for what each leaves open.
        left = _ASKED_ABOVE if _OPEN in stands else frozenset()
        told = sorted((one for one in row["conditions"] if one["id"] not in left), key=lambda one: one["id"] != _OPEN)
        conditions = (*first, *(self._condition(one, row["places"]) for one in told))
        counts = dict.fromkeys((row.get("typical_count", row.get("count")), row.get("count")))
        numbers = " ".join(f"({one})" if place else str(one) for place, one in enumerate(counts))
        short = f"{row.get('grade_label', '').removeprefix('FEPA ')} {numbers}"
        forms = dict.fromkeys(can["label"] for can in row["containers"])
        group = ""
        if "machine" in row:
            group = f"{row['machine_label']}, {self._say('report-counted', what=Code(', '.join(forms)))}"
        alike = [one for one in self.answer["purchases"] if one["title"] == row["title"]]
        apart = row["kind"] == "wash-agent" and len(alike) > 1
        title = beside(row["title"], self.where(row["places"])) if apart else row["title"]
        return Purchase(row["kind"], title, amount, tuple(details), conditions, group, short)

    def _condition(self, one: Json, places: Iterable[str]) -> str:
        where = "" if {*one["places"]} >= {*places} else self.where(one["places"])
        return beside(str(one["message"]), where)
