"""How well lines are understood: the right question, the right slots, the right figure, and how sure it was.

An entry has `say`, `is` (an intent, or several that would serve), and where it can be told `slots`, `figure`, `second` (what
the second question of the line is) and `second_figure`. A line that must not be answered is `out_of_scope`.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

import yaml

from assistant.answer import Answer, amount_to_plain
from assistant.dialogue import Session, turn
from assistant.parsing import close
from assistant.terms import Amount, Now, Parse, Slot
from tests.asking import matches, quantity

FOLDER = Path(__file__).parent / "corpus"
NOW = Now(datetime(2026, 9, 5))
# Two intents that answer such a sentence alike: a corpus entry says one, the other is as right.
ALIKE = {
    "feed.amount": {"feed.for_nutrient"},
    "today.spray": {"today.feed"},
    "plan.log": {"plan.start"},  # seed that is down is on record with its day either way
    "water.cost": {"cost.material"},  # the same sum
    "out_of_scope": {"weeds.rate", "unsure"},
}
# and what the slots of an entry are called there: seed that is down is its own step, and two have other names by now
ALIKE_SLOTS = {
    "plan.start": {"happened_on": "seed_day", "step": "", "quantity": "seeded_with"},
    "feed.nutrients": {"amount": "quantity"},
    "plan.tell": {"lawn": "place"},
}
SILENT = ("out_of_scope", "unsure")
_VALUE = re.compile(r"(?P<low>-?\d*\.?\d+)(?:\.\.(?P<high>-?\d*\.?\d+))? ?(?P<unit>[^ ].*?)?(?: per (?P<per>.+))?$")


def corpus(name: str) -> list[dict[str, Any]]:
    return yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))


def wanted(entry: dict[str, Any], field_: str = "is") -> list[str]:
    return entry[field_] if isinstance(entry[field_], list) else [entry[field_]]


def outcome(parse: Parse) -> str:
    return "unsure" if close(parse) else parse.intent


def right(entry: dict[str, Any], found: str, field_: str = "is") -> bool:
    return any(found == one or found in ALIKE.get(one, ()) for one in wanted(entry, field_))


def silent(found: str) -> bool:
    return found in SILENT


def value_of(text: Any) -> dict[str, Any] | None:
    """`4200 sq_ft`, `12..15 floz`, `12 floz per 1000 sq_ft` as a figure; None for a name, a date or an analysis."""
    if isinstance(text, (date, datetime)):
        return None
    found = _VALUE.fullmatch(str(text))
    if not found or re.fullmatch(r"\d+(-\d+){2}", str(text)):
        return None
    ends = (
        {"low": float(found["low"]), "high": float(found["high"])} if found["high"] else {"value": float(found["low"])}
    )
    return {**ends, "unit": found["unit"] or "", "per": found["per"] or ""}


def holds(slot: Slot | None, text: Any) -> bool:
    """True where a slot has the value that an entry names."""
    if slot is None:
        return False
    if isinstance(text, (date, datetime)) or re.fullmatch(r"\d{4}-\d\d-\d\d", str(text)):
        return any(str(text)[:10] == str(one.low) for one in slot.amounts)
    want = value_of(text)
    if want is None:
        if slot.amounts and slot.amount.kind == "analysis":
            return "-".join(f"{value:g}" for value in slot.amount.low) == str(text)
        return any(_same_name(str(one), str(text)) for one in slot.values)
    if slot.name == "area" and slot.amounts:
        from assistant.skills.area import total_of

        total = total_of(slot)
        low, high = (total.low, total.high) if hasattr(total, "low") else (total, total)
        ends = (want.get("low", want.get("value")), want.get("high", want.get("value")))
        return all(
            abs(end.m_as("sq_ft") - goal) <= 0.01 * goal
            for end, goal in zip((low, high), (quantity(one, want["unit"]).m_as("sq_ft") for one in ends), strict=True)
        )
    return any(_same_amount(one, want) for one in slot.amounts)


def _same_name(have: str, want: str) -> bool:
    """`tank.2_4_d` and `ingredients.2_4_d` are one; so are a product and the one of its two forms that was meant."""
    return have == want or have.partition(".")[2] == want.partition(".")[2]


def _same_amount(amount: Amount, want: dict[str, Any]) -> bool:
    plain = amount_to_plain(amount)
    units = plain.get("unit") if isinstance(plain.get("unit"), list) else [plain.get("unit", "")]
    if isinstance(plain.get("value"), list) or "date" in plain:
        return False
    if want["unit"] == "percent" or "USD" in (want["unit"], *units) or want["unit"] == "":
        ends = [plain.get(end, plain.get("value")) for end in ("low", "high")]
        return ends == [want.get(end, want.get("value")) for end in ("low", "high")]
    for unit in units:
        try:
            if matches({**plain, "unit": unit}, {key: one for key, one in want.items() if one != ""}, 0.01):
                return True
        except Exception:  # a unit that the reference registry does not know is another unit
            continue
    return False


@dataclass
class Scored:
    """One line with what became of it."""

    entry: dict[str, Any]
    found: str
    intent: bool
    slots: tuple[int, int]  # right, of
    figure: bool | None
    confidence: float
    status: str
    second: bool | None = None
    wrong_slots: list[str] = field(default_factory=list)

    @property
    def declined(self) -> bool:
        return self.found in SILENT or self.status in ("refused", "unsure", "out_of_scope")

    @property
    def wrong(self) -> bool:
        """Answered, and not rightly: the worst that can happen."""
        if self.declined or self.status == "asks":
            return not self.intent and not self.declined
        return not self.intent or self.figure is False


def score(entry: dict[str, Any], session: Session) -> Scored:
    answered = list(turn(str(entry["say"]), session))
    parse, answer = answered[0]
    found = "unsure" if answer.status == "unsure" or close(parse) else parse.intent
    slots = _called_there(found, entry.get("slots", {})) if right(entry, found) and not silent(found) else {}
    bad = [name for name, text in slots.items() if not holds(_filled(name, parse, answer), text)]
    figure = figure_right(entry.get("figure"), answer) if slots is not None and right(entry, found) else None
    second = None
    if "second" in entry:
        second = len(answered) > 1 and right(entry, answered[1][0].intent, "second")
    return Scored(entry, found, right(entry, found), (len(slots) - len(bad), len(slots)), figure, parse.confidence,
                  answer.status, second, bad)  # fmt: skip


def _called_there(found: str, slots: dict[str, Any]) -> dict[str, Any]:
    """The slots of an entry as the intent that was found calls them."""
    names = ALIKE_SLOTS.get(found, {})
    return {names.get(name, name): value for name, value in slots.items() if names.get(name, name)}


def _filled(name: str, parse: Parse, answer: Answer) -> Slot | None:
    said = parse.slots.get(name)
    return said or next((slot for slot in answer.inputs if slot.name == name), None)


def figure_right(text: Any, answer: Answer) -> bool | None:
    """True where one of the figures is the wanted one; None where none can be told, or nothing was worked out."""
    want = value_of(text) if text is not None else None
    if want is None or answer.status not in ("answered", "recorded") or not answer.figures:
        return None
    want = {key: one for key, one in want.items() if one != "" or key == "unit"}
    for figure in answer.figures:
        plain = figure.to_plain()
        if "per" not in want:  # `what is that a thousand` is answered in dollars, and per thousand
            plain.pop("per", None)
        try:
            if figure.day is None and matches(plain, want, 0.02):
                return True
        except Exception:  # another measure altogether
            continue
    return False


def summary(scored: list[Scored]) -> dict[str, float]:
    """Shares, each of the lines that it can be told of."""
    inside = [one for one in scored if wanted(one.entry) != ["out_of_scope"]]
    outside = [one for one in scored if wanted(one.entry) == ["out_of_scope"]]
    slots = [one.slots for one in inside]
    figures = [one.figure for one in inside if one.figure is not None]
    seconds = [one.second for one in inside if one.second is not None]
    return {
        "lines": len(scored),
        "intent": _share(sum(one.intent for one in inside), len(inside)),
        "slots": _share(sum(a for a, _ in slots), sum(b for _, b in slots)),
        "figures": _share(sum(map(bool, figures)), len(figures)),
        "second": _share(sum(seconds), len(seconds)),
        "wrong": _share(sum(one.wrong for one in scored), len(scored)),
        "wrong inside": _share(sum(one.wrong for one in inside), len(inside)),
        "declined": _share(sum(one.declined or one.intent for one in outside), len(outside)),
    }


def _share(part: float, whole: float) -> float:
    return part / whole if whole else float("nan")


LEVELS = (0.9, 0.8, 0.7, 0.6, 0.5)  # of confidence, in the table of reliability


def reliability(scored: list[Scored]) -> list[tuple[float, int, float]]:
    """(confidence at least, lines answered at it, share of them right), the surest first."""
    answered = [one for one in scored if not one.declined]
    rows, above = [], float("inf")
    for level in LEVELS:
        at = [one for one in answered if level <= one.confidence < above]
        if at:
            rows.append((level, len(at), sum(not one.wrong for one in at) / len(at)))
        above = level
    return rows


def confusion(scored: list[Scored]) -> list[tuple[int, str, str]]:
    """(how often, what it is, what it was taken for), the commonest first."""
    pairs = Counter((" or ".join(wanted(one.entry)), one.found) for one in scored if not one.intent)
    return sorted(((count, want, found) for (want, found), count in pairs.items()), key=lambda row: (-row[0], row[1:]))
