"""What the intent files say of themselves: every example parses to its slots, every near miss goes where it says."""

from datetime import datetime

import pytest
import yaml

from assistant.knowledge_base import load
from assistant.parsing import Vocabulary, close, parse_line
from assistant.terms import Amount, Now
from knowledge import FOLDER
from tests.asking import quantity

FILES = sorted(path for path in (FOLDER / "intents").glob("*.yaml") if path.stem not in ("slots", "words"))
ENTRIES = [
    (intent, entry) for path in FILES for intent, entry in yaml.safe_load(path.read_text()).items() if intent != "words"
]
EXAMPLES = [(intent, example) for intent, entry in ENTRIES for example in entry.get("examples", ())]
MISSES = [(intent, miss) for intent, entry in ENTRIES for miss in entry.get("near_misses", ())]
NOW = Now(datetime(2026, 9, 5))


@pytest.fixture(scope="module")
def vocabulary(tmp_path_factory):
    return Vocabulary(load(tmp_path_factory.mktemp("cache")))


def outcome(parse):
    return "unsure" if close(parse) else parse.intent


def total_square_feet(value):
    parts = value if isinstance(value, tuple) else (value,)
    total = 0.0
    for part in parts:
        if part.kind == "size":
            length = [quantity(side, part.unit).to("ft").magnitude for side in part.low[:2]]
            total += part.sign * length[0] * length[1]
        else:
            total += part.sign * quantity(part.low, part.unit).to("sq_ft").magnitude
    return total


def same(slot, want):
    """A slot's value against what the file says: a name, a day, an area, a quantity, or a rate in full."""
    value = slot.value[0] if slot.name == "happened_on" else slot.value
    if isinstance(want, dict):
        return value.low == want["value"] and list(value.units) == want["unit"] and value.per == want["per"]
    if slot.name == "area":
        number, _, unit = want.partition(" ")
        return total_square_feet(value) == pytest.approx(quantity(float(number), unit).to("sq_ft").magnitude)
    if isinstance(value, Amount):
        if value.kind == "date":
            return value.low == str(want)
        number, _, unit = want.partition(" ")
        return (value.low, value.unit) == (float(number), unit)
    return value == want


@pytest.mark.parametrize(("intent", "example"), EXAMPLES, ids=lambda one: one["say"] if isinstance(one, dict) else one)
def test_example(intent, example, vocabulary):
    parse = parse_line(example["say"], vocabulary, NOW)[0]
    assert outcome(parse) == intent
    for name, want in example.get("slots", {}).items():
        assert same(parse.slots[name], want), (name, parse.slots[name])


@pytest.mark.parametrize(("intent", "miss"), MISSES, ids=lambda one: one["say"] if isinstance(one, dict) else one)
def test_near_miss(intent, miss, vocabulary):
    parse = parse_line(miss["say"], vocabulary, NOW)[0]
    assert outcome(parse) != intent
    assert outcome(parse) == miss["is"]


def test_every_intent_shows_both(vocabulary):
    for intent, entry in ENTRIES:
        assert entry.get("examples"), intent
        assert entry.get("near_misses"), intent
