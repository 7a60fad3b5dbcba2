"""What people type, by kinds of people and errors. Sentences known to fail are listed; one that is mended must leave the list.

dev.yaml, short.yaml and asked.yaml are tuned on, and most of their lines stand in knowledge/asks; held_back.yaml and asked_held_back.yaml are not looked at while tuning.
`python -m tests.test_corpus` prints for each part what is right, the table of reliability, and what is taken for what.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
import yaml

from assistant.dialogue import Session
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.parsing import Vocabulary, parse_line
from tests.asking import matches
from tests.scoring import FOLDER, NOW, confusion, corpus, outcome, reliability, right, score, silent, summary

KNOWN_TO_FAIL = set(yaml.safe_load((FOLDER / "known_to_fail.yaml").read_text(encoding="utf-8")))
PARTS = ("dev", "asked", "held_back", "asked_held_back")


@pytest.fixture(scope="module")
def vocabulary(tmp_path_factory):
    return Vocabulary(load(tmp_path_factory.mktemp("cache")))


def scored(name: str):
    """Every line of a part, asked on its own of a record that holds nothing."""
    with tempfile.TemporaryDirectory() as home:
        session = Session(load(), Store(Path(home)), NOW, False)
        return [score(entry, session.afresh()) for entry in corpus(name)]


@pytest.mark.parametrize("entry", corpus("dev"), ids=lambda entry: entry["say"][:50])
def test_sentence(entry, vocabulary):
    found = outcome(parse_line(entry["say"], vocabulary, NOW)[0])
    if entry["say"] in KNOWN_TO_FAIL:
        assert not right(entry, found), "it is understood now: take it off known_to_fail.yaml"
    else:
        assert right(entry, found), found


@pytest.mark.parametrize("entry", corpus("short"), ids=lambda entry: entry["say"])
def test_a_short_line_is_read_as_it_stands(entry, vocabulary):
    assert right(entry, outcome(parse_line(entry["say"], vocabulary, NOW)[0]))


def has_area(entry):
    return "area" in entry.get("slots", {}) and entry["say"] not in KNOWN_TO_FAIL


@pytest.mark.parametrize("entry", list(filter(has_area, corpus("dev"))), ids=lambda entry: entry["say"][:50])
def test_area(entry, vocabulary):
    """The pieces of the area added and taken off."""
    from assistant.skills.area import total_of
    from assistant.units import Q

    value, unit = str(entry["slots"]["area"]).split(" ", 1)
    slot = parse_line(entry["say"], vocabulary, NOW)[0].slots["area"]
    assert total_of(slot).m_as("sq_ft") == pytest.approx(Q(float(value), unit).m_as("sq_ft"), rel=0.002)


def test_the_figure_behind_wind_is_no_temperature(vocabulary):
    slots = parse_line("can i spray 2,4-d today 78 degrees wind 6", vocabulary, NOW)[0].slots
    assert (slots["temperature"].amount.low, slots["temperature"].amount.high) == (78, 78)
    assert slots["wind"].amount.low == 6


def test_what_is_not_understood_is_seldom_answered(vocabulary):
    for name, most in (("dev", 0.03), ("held_back", 0.14)):
        entries = corpus(name)
        taken = [(entry, outcome(parse_line(entry["say"], vocabulary, NOW)[0])) for entry in entries]
        wrong = sum(not right(entry, found) and not silent(found) for entry, found in taken)
        many = wrong > most * len(entries)
        assert not many, f"{name}: {wrong} of {len(entries)}"  # a count alone: lines that are held back are never shown


# What the parts come to today, a little below; a change that falls under it has lost something.
FLOORS = {
    "asked": {"intent": 0.89, "slots": 0.88, "figures": 0.93, "declined": 0.96},
    "asked_held_back": {"intent": 0.78, "slots": 0.84, "figures": 0.86, "declined": 0.93},
}
MOST_WRONG = {"asked": 0.05, "asked_held_back": 0.125}
SUREST = 0.9
SURE_ENOUGH = {"asked": 0.92, "asked_held_back": 0.88}  # how many of the answers given at 0.9 or more are right


@pytest.mark.parametrize("name", FLOORS)
def test_a_part_of_the_corpus_is_understood_as_well_as_before(name):
    lines = scored(name)
    found = summary(lines)
    for what, least in FLOORS[name].items():
        assert found[what] >= least, f"{what}: {found[what]:.3f}"
    assert found["wrong"] <= MOST_WRONG[name]
    surest, count, share = reliability(lines)[0]
    assert surest == SUREST
    assert count >= 90
    assert share >= SURE_ENOUGH[name]


@pytest.mark.parametrize("entry", corpus("numbers") + corpus("quantities"), ids=lambda entry: entry["text"][:50])
def test_quantity(entry, vocabulary):
    assert reads(entry, vocabulary), found_in(entry, vocabulary)


@pytest.mark.parametrize("entry", corpus("quantities_missed"), ids=lambda entry: entry["text"][:50])
def test_a_quantity_that_is_missed_is_listed_as_missed(entry, vocabulary):
    assert not reads(entry, vocabulary), "it is read now: move it to quantities.yaml"


def found_in(entry, vocabulary):
    from assistant.answer import amount_to_plain
    from assistant.parsing.reading import read

    return [amount_to_plain(reading.amount) for reading in read(entry["text"], vocabulary, NOW).amounts]


def reads(entry, vocabulary):
    found = found_in(entry, vocabulary)
    return len(found) == len(entry["amounts"]) and all(
        have["kind"] == want["kind"] and same_amount(have, want)
        for have, want in zip(found, entry["amounts"], strict=True)
    )


def same_amount(have, want):
    if "date" in want:
        return have["date"] == str(want["date"])
    if isinstance(want.get("unit"), list) or isinstance(have.get("unit"), list):
        return have["unit"] == want["unit"] and have["value"] == want["value"]
    if isinstance(want.get("value"), list):
        return have["value"] == pytest.approx(want["value"])
    if want.get("per") in ("bag", "day", "week", "jug", "load", "roll"):
        return (have["value"], have["per"]) == (want["value"], want["per"])
    if want.get("unit") in ("degF", "degC", "USD", "", None):
        return all(
            have.get(end) == pytest.approx(want[end], abs=1e-5) for end in ("value", "low", "high") if end in want
        )
    if "bound" in want and have.get("bound") != want["bound"]:
        return False
    if "of" in want and have.get("of") != want["of"]:
        return False
    return matches(have, {key: value for key, value in want.items() if key != "of"}, 1e-6)


def test_a_general_reader_misses_what_ours_reads(vocabulary):
    """quantulum3, a well-kept general reader of quantities, on the same strings: values and units, as far as it names them.
    It is asked for the values alone here; ours are held to kind, unit, denominator and what they are of as well."""
    from quantulum3 import parser

    entries = corpus("quantities") + corpus("quantities_missed")
    ours = sum(reads(entry, vocabulary) for entry in entries)
    theirs = 0
    for entry in entries:
        values = [float(value) for amount in entry["amounts"] for value in values_of(amount)]
        try:
            found = [float(value) for one in parser.parse(entry["text"]) for value in ends_of(one)]
        except Exception:  # it breaks on some strings; that is a miss
            continue
        theirs += len(values) == len(found) and all(
            abs(one - other) < 1e-6 for one, other in zip(sorted(values), sorted(found), strict=True)
        )
    assert ours >= 0.95 * len(entries)
    assert theirs <= 0.75 * len(entries), f"{theirs} of {len(entries)}"


def values_of(amount):
    """The numbers of an amount, its ends where it is a range."""
    if "date" in amount:
        return []
    value = amount.get("value")
    return list(value) if isinstance(value, list) else [value] if value is not None else [amount["low"], amount["high"]]


def ends_of(quantity):
    spread = quantity.uncertainty or 0
    return [quantity.value - spread, quantity.value + spread] if spread else [quantity.value]


def report():
    """Prints how every part is understood, how sure the answers were and how often right, and what is taken for what."""
    for name in PARTS:
        lines = scored(name)
        shares = summary(lines)
        print(f"\n{name}: {len(lines)} lines")
        print("  " + "  ".join(f"{what} {share:.1%}" for what, share in shares.items() if what != "lines"))
        print("  confidence  answered  right")
        for least, count, share in reliability(lines):
            print(f"  {least:>9.0%}+  {count:8d}  {share:5.1%}")
        if not name.endswith("held_back"):
            print("  taken for another (count, what it is, what it was taken for)")
            for count, want, found in confusion(lines)[:25]:
                print(f"  {count:4d}  {want:50.50}  {found}")


if __name__ == "__main__":
    report()
