"""Heads of fasteners before sanding: which are set, which are replaced, how many, and in how many hours."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

import msgspec

from latewood.declare import F, Q, RecordLookup
from latewood.formulas import fastening as count_of
from latewood.formulas import pace
from latewood.messages import Code, Count, Word, clause, refusal
from latewood.problems import Fault
from latewood.provenance import Ledger, SIValue
from latewood.records import FastenerPractice
from latewood.rules.signs import Sign
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Fastener = Literal["nail", "screw", "hidden-clip", "unknown"]
FastenerMaterial = Literal["stainless", "galvanised", "coated", "plain", "unknown"]

#: Fields asked in the same words and bounds wherever they are asked.
ShareProud = Annotated[Number, Q("%", "Heads that stand proud", ge=0, le=100, example="3-20 %", uncertain=True)]
ShareStuck = Annotated[float, Q("%", "Of the proud ones, those that cannot go deeper", ge=0, le=100, example="10 %")]
ShareStaining = Annotated[
    Number, Q("%", "Heads that rust, stain the boards or are loose", ge=0, le=100, example="5-40 %", uncertain=True)
]
RisenBefore = Annotated[bool, F("Whether nails here have been set once and risen again")]
HeadsCanBeSet = Annotated[bool, F("Whether heads can be set deeper or replaced; yes if left out")]

#: The practice taken where none is asked for.
PRACTICE: Final = "set-below"
#: Signs of heads that are replaced, for setting them cures nothing. Common practice, no source.
REPLACED: Final[frozenset[Sign]] = frozenset({"iron-stain", "rusty-fasteners", "loose-fasteners"})
#: Smallest sample that narrows what is not known; below it the share says little. Judgement.
SMALL_SAMPLE: Final = 30


def replaced_for(held: Any, signs: Iterable[Sign]) -> frozenset[Sign]:
    """Return the signs for which heads are replaced. Stainless heads do not stain: that stain came from elsewhere."""
    stainless: frozenset[Sign] = frozenset({"iron-stain"}) if held.fastener_material == "stainless" else frozenset()
    return (REPLACED & set(signs)) - stainless


FastenerCover = Annotated[float, Q("mm", "Wood above the heads of the fasteners", ge=-20, le=50, example="2 mm")]


class FastenerSample(msgspec.Struct, frozen=True, kw_only=True):
    """Heads looked at here and there, and how many of them stood proud."""

    inspected: Annotated[int, F("Heads looked at, taken all over the floor", ge=1, le=1_000_000, example=60)]
    proud: Annotated[int, F("Those that stood proud or too high", ge=0, le=1_000_000, example=5)]


class Fastening(msgspec.Struct, frozen=True, kw_only=True):
    """What holds the boards, and what is known of it."""

    fastener: Annotated[Fastener, F("What holds the boards")] | None = None
    fastener_material: Annotated[FastenerMaterial, F("What they are made of")] | None = None
    share_proud: ShareProud | None = None
    sample: Annotated[FastenerSample, F("Heads looked at so far, instead of a share")] | None = None
    share_stuck: ShareStuck | None = None
    share_staining: ShareStaining | None = None
    risen_before: RisenBefore | None = None
    heads_can_be_set: HeadsCanBeSet | None = None
    practice: Annotated[FastenerPractice, F("Practice to go by", example="set-below")] | None = None


@dataclass(frozen=True)
class Shares:
    """Shares of the heads: those replaced for what they are, and of the others those set; how many resist or return."""

    replaced: Number
    set: Number
    stuck: float
    loose: Number

    @property
    def treated(self) -> Number:
        """The share of all heads that is set or replaced."""
        return self.set if not self._any else self.replaced + (1.0 - self.replaced) * self.set

    @property
    def replacing(self) -> Number:
        """The share of all heads that is replaced: for what they are, stuck, or loose again once set."""
        again = self.set * (self.stuck + (1 - self.stuck) * self.loose)
        return again if not self._any else self.replaced + (1.0 - self.replaced) * again

    @property
    def setting(self) -> Number:
        """The share of all heads that is set or driven deeper."""
        moved = self.set * (1 - self.stuck)
        return moved if not self._any else (1.0 - self.replaced) * moved

    @property
    def _any(self) -> bool:
        return not (isinstance(self.replaced, float) and self.replaced == 0.0)


class HeadWork:
    """Heads and hours of one floor."""

    def __init__(self, count: float, shares: Shares, practice: Practice, about: str, ledger: Ledger) -> None:
        rates, kind = practice.rates, practice.kind
        self.treated = ledger.step(count_of.heads_to_treat, about, fasteners=count, share_proud=shares.treated)
        self.replaced = count * shares.replacing
        self.looking = ledger.step(pace.time_by_count, f"{about}, look", count=count, pace=rates["inspect"])
        self.setting = ledger.step(
            pace.time_by_count, f"{about}, {kind}", count=count * shares.setting, pace=rates[kind]
        )
        self.replacing = ledger.step(
            pace.time_by_count, f"{about}, replace", count=self.replaced, pace=rates["replace"]
        )

    def times(self, *, look: bool) -> list[Number]:
        """Return the hours, one by one."""
        return [*([self.looking] if look else []), self.setting, self.replacing]


@dataclass(frozen=True)
class Practice:
    """A practice with the paces of its tasks, and whether heads are set as nails or driven as screws."""

    record: FastenerPractice
    rates: Mapping[str, Number]
    kind: Literal["nail", "screw"]


def practice_of(held: Any, ledger: Ledger, known: RecordLookup) -> Practice:
    """Return the practice that was asked for, else the usual one. Nails that rose before are replaced by screws."""
    record: FastenerPractice = held.practice or known.record("fastener-practice", PRACTICE)
    rates = {task: ledger.take(known.record("rate", id).pace) for task, id in record.rates.items()}
    return Practice(record, rates, "nail" if held.fastener == "nail" and not held.risen_before else "screw")


def shares_of(held: Any, signs: Iterable[Sign], moved: Number, practice: FastenerPractice, ledger: Ledger) -> Shares:
    """Return the shares of heads to set and to replace; ``moved`` of those that are not replaced for what they are."""
    if held.heads_can_be_set is False:
        return Shares(0.0, 0.0, 0.0, ledger.take(practice.share_loose))
    stuck = 1.0 if held.risen_before else held.share_stuck or 0.0
    return Shares(_staining(held, signs, practice, ledger), moved, stuck, ledger.take(practice.share_loose))


def share_proud(held: Any, heads: int, practice: FastenerPractice, ledger: Ledger, at: str = "") -> Number:
    """Return the share that stands proud: as given, from a sample, or the practice's judgement.

    ``at`` is where the fields stand in the inputs, such as ``fastening.``.
    """
    if held.share_proud is not None:
        share: Number = held.share_proud
        return share
    if held.sample is None:
        share = ledger.take(practice.share_proud)
        judged = practice.share_proud
        ends = [end for end in (judged.low, judged.high) if end is not None]
        ledger.default(f"{at}share_proud", judged.given, others=ends, why=clause("heads-judged"))
        return share
    return _sampled(held.sample, heads, f"/{at.replace('.', '/')}sample", ledger)


def _sampled(sample: FastenerSample, heads: int, pointer: str, ledger: Ledger) -> Number:
    if sample.inspected > heads:
        inspected, params = Count(sample.inspected), {"fasteners": heads}
        at = f"{pointer}/inspected"
        ledger.find("sample-of-more", pointer=at, params=params, inspected=inspected, heads=Count(heads))
    elif sample.inspected == heads:
        # Nothing is left to be guessed.
        given = clause("heads-proud-of", proud=Count(sample.proud), inspected=Count(heads))
        exact = sample.proud / heads
        note = clause("every-head-looked-at")
        ledger.use("input/sample", given, "input", note=note, si=SIValue(value=exact, unit="1"))
        return exact
    numbers = {"found": float(sample.proud), "inspected": float(sample.inspected)}
    middle = spread.central(ledger.step(count_of.share_in_sample, "sample", **numbers))
    half = spread.central(ledger.step(count_of.share_half_width, "sample", **numbers))
    low, high = max(middle - half, 0.0), min(middle + half, 1.0)
    ledger.use(
        "input/sample",
        clause("heads-proud-of", proud=Count(sample.proud), inspected=Count(sample.inspected)),
        "input",
        note=clause("score-interval"),
        si=SIValue(value=middle, low=low, high=high, unit="1"),
    )
    if sample.inspected < min(SMALL_SAMPLE, heads):
        inspected, enough = Count(sample.inspected), Count(min(SMALL_SAMPLE, heads))
        ledger.find("small-sample", pointer=f"{pointer}/inspected", inspected=inspected, enough=enough)
    return spread.normal("input/sample", low, middle, high, lowest=0.0, highest=1.0)


def _staining(held: Any, signs: Iterable[Sign], practice: FastenerPractice, ledger: Ledger) -> Number:
    """Return the share replaced for what the heads are: as given, or a judgement where signs ask for it."""
    if held.share_staining is not None:
        given: Number = held.share_staining
        return given
    if held.fastener == "hidden-clip" or not replaced_for(held, signs):
        return 0.0
    return ledger.take(practice.share_staining)


def fastening_faults(held: Any, at: str = "") -> Iterator[Fault]:
    """Find what is said of fasteners that cannot be: two counts of one thing, heads of clips, nails that are screws."""
    if held.sample is not None and held.share_proud is not None:
        yield refusal("share-and-sample", f"{at}/sample")
    if held.sample is not None and held.sample.proud > held.sample.inspected:
        yield refusal("sample-proud-over-inspected", f"{at}/sample/proud")
    if held.fastener == "hidden-clip":
        for name in ("share_proud", "sample", "share_stuck", "share_staining"):
            if getattr(held, name) is not None:
                yield refusal("clips-have-no-heads", f"{at}/{name}", field=Code(name))
    if held.risen_before and held.fastener in ("screw", "hidden-clip"):
        yield refusal("risen-is-of-nails", f"{at}/risen_before", fastener=Word("fastener", held.fastener))
