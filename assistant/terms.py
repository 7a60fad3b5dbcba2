"""The small shared words of the program: amounts, analyses, slots, and the day.

All of them are frozen plain data. An Amount meets pint only through `.q`, at the door of a calculation.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from datetime import date, datetime
from typing import Any, NamedTuple

Value = Any  # a float, an ISO date, or a tuple of floats
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


class Range(NamedTuple):
    """Two quantities between which the true one lies."""

    low: Any
    high: Any


METRIC = {"m", "cm", "mm", "m**2", "ha", "L", "mL", "kg", "g", "degC", "kph", "mps", "kPa", "bar"}
FAHRENHEIT = "Fahrenheit"  # what degrees are taken for where no scale is said
SEED_WEIGHT, SEED_RATE = SEED_TOLD = (
    "seeded_with",
    "seeded_at",
)  # facts: the seed that went down in all, and at which rate
SHAPED = "from its sides"  # an area that was worked from the sides of its shape
YOUNG_DAYS = 120  # grass younger than this is told from an established lawn
HOT_IN_CELSIUS = 45  # above it degrees of the air are Fahrenheit without doubt
# What is counted and has no measure: a price may be for one of them.
EACH = {"bag", "jug", "bale", "pallet", "roll", "tank", "load", "sack", "man"}


@dataclass(frozen=True, slots=True)
class Analysis:
    """What a fertilizer label guarantees, in percent by weight: N, P2O5, K2O."""

    nitrogen: float
    phosphate: float
    potash: float

    def __str__(self) -> str:
        return "-".join(f"{share:g}" for share in (self.nitrogen, self.phosphate, self.potash))

    def share(self, nutrient: str) -> float:
        """The fraction of the product's weight that is this nutrient (`N`, `P2O5` or `K2O`)."""
        return {"N": self.nitrogen, "P2O5": self.phosphate, "K2O": self.potash}[nutrient] / 100


@dataclass(frozen=True, slots=True)
class Amount:
    """A quantity as it was said or as it stands in the knowledge base: plain data, not yet a pint quantity.

    `low` and `high` are equal for a single value. A size and an analysis hold a tuple, a date its ISO text.
    `units` has several entries while it is open which is meant (an ounce). `of` says pounds of what.
    `sign` is -1 for a part that is to be taken off. `assumed` says what was taken for granted in reading it.
    """

    kind: str
    low: Value
    high: Value
    units: tuple[str, ...] = ()
    per: str = ""
    of: str = ""
    bound: str = ""
    sign: int = 1
    text: str = ""
    span: tuple[int, int] = (0, 0)
    assumed: str = ""

    @property
    def unit(self) -> str:
        """The unit taken: the first of those still open."""
        return self.units[0] if self.units else ""

    @property
    def measures(self) -> str:
        """What it is an amount of: a size, as 60 by 70, is an area."""
        return "area" if self.kind == "size" else self.kind

    @property
    def is_metric(self) -> bool:
        """True where its unit, or what it is per, is a metric one."""
        return bool({self.unit, self.per.rpartition(" ")[2]} & METRIC)

    @property
    def single(self) -> bool:
        return self.low == self.high

    @property
    def q(self) -> Any:
        """The pint quantity, or a Range of two."""
        low, high = self._quantity(self.low), self._quantity(self.high)
        return low if self.single else Range(low, high)

    def _quantity(self, value: Value) -> Any:
        from assistant.units import measured

        return measured(value, self.unit, "" if self.per in EACH else self.per)

    @property
    def qs(self) -> list[Any]:
        """The quantities of a row of values."""
        return [self._quantity(value) for value in self.low]

    @property
    def analysis(self) -> Analysis:
        return Analysis(*self.low)

    @property
    def day(self) -> date:
        return date.fromisoformat(str(self.low))

    def as_unit(self, unit: str) -> Amount:
        """The same amount with its open unit settled."""
        return replace(self, units=(unit,))

    def to_plain(self) -> dict[str, Any]:
        """Plain data for the journal; what is empty is left out."""
        kept = {key: value for key, value in asdict(self).items() if value not in ("", (), (0, 0))}
        if self.sign == 1:
            del kept["sign"]
        return kept

    @classmethod
    def from_plain(cls, data: dict[str, Any]) -> Amount:
        made = dict(data)
        for name in ("low", "high", "units", "span"):
            if isinstance(made.get(name), list):
                made[name] = tuple(made[name])
        return cls(**made)


def high_end(value: Any) -> Any:
    """The high end of a Range; a single value as it is.

    >>> high_end(Range(2, 3)), high_end(10)
    (3, 10)
    """
    return value.high if isinstance(value, Range) else value


def low_end(value: Any) -> Any:
    """The low end of a Range, or the value itself."""
    return value.low if isinstance(value, Range) else value


def over_range(formula: Callable[..., Any], *inputs: Any) -> Any:
    """Carry ranges through a single-valued formula by trying its corners; right for any formula that is
    monotonic in each input, as the trade's are. Gives one quantity, or a Range.

    >>> over_range(lambda a, b: a * b, Range(2, 3), 10)
    Range(low=20, high=30)
    """
    if not any(isinstance(value, Range) for value in inputs):
        return formula(*inputs)
    ends = [tuple(value) if isinstance(value, Range) else (value,) for value in inputs]
    results = [formula(*corner) for corner in itertools.product(*ends)]
    low, high = min(results), max(results)
    return low if low == high else Range(low, high)


@dataclass(frozen=True, slots=True)
class Slot:
    """One input of an answer and where it came from.

    `origin` is one of said, context, lawn, program, label, practice, assumed.
    """

    name: str
    value: Any
    origin: str = "said"
    why: str = ""
    source: str = ""
    said_on: str = ""

    @property
    def values(self) -> tuple[Any, ...]:
        """All that the slot holds: pieces of an area, several names, or the one value."""
        return self.value if isinstance(self.value, tuple) else (self.value,)

    @property
    def amounts(self) -> tuple[Amount, ...]:
        """The amounts among them."""
        return tuple(value for value in self.values if isinstance(value, Amount))

    @property
    def amount(self) -> Amount:
        """The value where it is one amount."""
        return self.values[0]

    @property
    def q(self) -> Any:
        return self.amount.q


def instead_of(spec: dict[str, Any]) -> set[str]:
    """The slots that make another one needless: a rate was said, so no grass is asked for."""
    named = spec.get("not_with", ())
    return {named} if isinstance(named, str) else set(named)


class Now(NamedTuple):
    """The clock as it was given: `--today`, with the hour where one was said."""

    moment: datetime
    has_hour: bool = False

    @property
    def day(self) -> date:
        return self.moment.date()


class Row(NamedTuple):
    """One figure of the knowledge base with the place it holds for and its source."""

    amount: Amount
    source: str
    where: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Parse:
    """What a line was read as: stateless, never an exception."""

    text: str
    intent: str = "out_of_scope"
    topic: str = "other"
    slots: dict[str, Slot] = field(default_factory=dict)
    amounts: tuple[Amount, ...] = ()
    names: tuple[Name, ...] = ()
    unread: tuple[str, ...] = ()
    corrected: tuple[tuple[str, str], ...] = ()
    score: float = 0.0
    confidence: float = 0.0
    runner_up: tuple[str, float] = ("", 0.0)
    nearest: tuple[str, ...] = ()
    found: tuple[str, ...] = ()  # entries of the practice that may be meant
    terms: frozenset[str] = frozenset()  # the words of cues that it holds; what the dialogue knows its turns by
    doubled: tuple[str, ...] = ()  # what was said twice where one counts
    rivals: tuple[Amount, ...] = ()  # figures that say the same thing differently, so that neither was taken

    def with_slot(self, slot: Slot) -> Parse:
        return replace(self, slots={**self.slots, slot.name: slot})


@dataclass(frozen=True, slots=True)
class Name:
    """A thing of the knowledge base, or of the user, that the line names."""

    id: str
    text: str
    span: tuple[int, int]

    @property
    def type(self) -> str:
        return self.id.partition(".")[0]


UNSOURCED = ("common practice", "from memory")  # what stands where a source has no key


def capital(words: str) -> str:
    """Words as a sentence or a line begins; the other letters stay as they are."""
    return words[:1].upper() + words[1:]


def day_words(day: date) -> str:
    """`Sat 26 September 2026`: no platform's locale in it."""
    week = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    return f"{week[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def short_day(day: date) -> str:
    """`Sep 26`."""
    return f"{short_month(day)} {day.day}"


def short_month(day: date) -> str:
    """`Sep`."""
    return _MONTHS[day.month - 1][:3]
