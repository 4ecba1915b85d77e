"""What the evidence comes to, as README says it. ``python -m tests.evidence`` writes it there."""

from __future__ import annotations

import re
from pathlib import Path

from tests.bundled import bundled

from latewood.verify import ENOUGH, Report, groups, verify

README = Path(__file__).parents[1] / "README.md"
BLOCK = re.compile(r"(?<=<!-- python -m tests\.evidence -->\n)(.*)(?=<!-- end -->)", re.DOTALL)


def block(report: Report) -> str:
    """Return the lines between the marks."""
    numbers = report.numbers
    others = ", ".join(f"{count} {kind}" for kind, count in numbers.items() if kind not in ("published", "reported"))
    told = report.groups
    lines = [
        f"Of {sum(numbers.values())} numbers {numbers['published']} are published and {numbers['reported']} reported;",
        f"{others}.",
        "",
        f"Independent evidence about an answer: {report.outside} groups. Beside it {told['reported']} are reported,",
        f"{told['restated']} restate a record and {told['arithmetic']} are arithmetic.",
        f"{len(report.disagreements)} rows disagree with their source.",
        "",
        "| calculator | independent groups | reported | |",
        "|---|---|---|---|",
    ]
    found = [group for group in groups(report.outcomes) if not group.missed]
    for id, count in sorted(report.calculators.items()):
        reported = sum(group.against == "reported" for group in found if group.calculator in report.targets[id])
        lines.append(f"| `{id}` | {count} | {reported} | {'' if count >= ENOUGH else 'not validated'} |")
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write the lines into README."""
    text = README.read_text("utf-8")
    written = block(verify(bundled()))
    README.write_text(BLOCK.sub(lambda _: written, text), "utf-8")


if __name__ == "__main__":
    main()
