"""Any text becomes a Parse and an answer: no exception, and no confident answer to noise."""

import json
from datetime import date, datetime

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from assistant.answer import to_json, to_text
from assistant.dialogue import Session, turn
from assistant.knowledge_base import load
from assistant.lawn.store import Store
from assistant.parsing import Vocabulary, parse_line
from assistant.terms import Now
from tests.fuzz import run

NOW = Now(datetime(2026, 9, 5))
PIECES = st.sampled_from(
    [
        "how",
        "much",
        "starter",
        "seed",
        "for",
        "4,200",
        "sq",
        "ft",
        "12",
        "oz/k",
        "@",
        "k",
        "M",
        "#",
        "10-20-10",
        "3-5",
        "lbs",
        "oct",
        "3",
        "10/3",
        "feb",
        "30",
        "-50",
        "900F",
        "86°F",
        "½",
        "acre",
        "x",
        "by",
        "minus",
        "less",
        "the",
        "back",
        "tall",
        "fescue",
        "undo",
        "why",
        "in",
        "metric",
        "1/2",
        "lb",
        "N",
        "per",
        "1000",
        "day",
        "21",
        "next",
        "saturday",
        "spray",
        "2,4-d",
        "wind",
        "6",
        "not",
        "$38",
        "ph",
        "6.3",
        "%",
        "'",
        '"',
        "45x70",
        "x",
        "3",
        ";",
        ".",
        "?",
        "late",
        "second",
        "feed",
        "liquid",
        "granular",
        "today",
        "yesterday",
        "half",
        "quarter",
        "99999999999999999999",
        "1e308",
        "nan",
    ]
)


@pytest.fixture(scope="module")
def knowledge(tmp_path_factory):
    return load(tmp_path_factory.mktemp("cache"))


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(max_size=300))
def test_any_text_is_read(text, knowledge):
    for parse in parse_line(text, Vocabulary(knowledge), NOW):
        assert parse.text == text[:4000]


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(words=st.lists(PIECES, min_size=1, max_size=12), more=st.lists(PIECES, max_size=8))
def test_any_shuffle_of_the_trade_is_answered(words, more, knowledge, tmp_path):
    session = Session(knowledge, Store(tmp_path / "closed", closed=True), NOW, keep=False)
    for line in (" ".join(words), " ".join(more)):
        for parse, answer in turn(line, session):
            assert answer.status in ("answered", "recorded", "asks", "unsure", "out_of_scope", "refused")
            json.dumps(to_json(parse, answer), allow_nan=False)
            assert to_text(answer)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    today=st.dates(date(2023, 1, 1), date(2105, 12, 31)),
    told=st.sampled_from(["feb 29", "2/29", "the 31st", "the 29th", "friday", "dec 31", "feb 28"]),
    tense=st.sampled_from(["seeded {}", "fed it {}", "no wait it was {}", "will seed {}"]),
)
@example(today=date(2027, 12, 1), told="feb 29", tense="seeded {}")  # the last one was in 2024
@example(today=date(2103, 12, 1), told="feb 29", tense="seeded {}")  # and of 2104's in 2096
def test_a_day_told_on_any_day_is_read(today, told, tense, knowledge):
    vocabulary = Vocabulary(knowledge)
    now = Now(datetime(today.year, today.month, today.day))
    for parse in parse_line(tense.format(told), vocabulary, now):
        days = [one.low for one in parse.amounts if one.kind == "date" and one.assumed == "the last one"]
        assert all(day <= today.isoformat() for day in days)


@pytest.mark.parametrize(
    "noise",
    [
        "",
        " ",
        "🌱" * 500,
        "9" * 10_000,
        "\x00\x1b[31m\x07",
        "a" * 4000,
        "((((" * 900,
        "½" * 300,
        "1/" * 1000,
        "-" * 4000,
        "no " * 1300,
        "72x 80°F 3180,6e3 gal /0 sq ft",
        "3 lb /.0 sq ft on 5,000",
        "69' 84#/k 5/33. -2- 78#/k e/591102-3-158129//0-9391-17,1 200' 8376658e07399380040086.68/876/ mph",
    ],
)
def test_noise_is_not_answered(noise, knowledge, tmp_path):
    session = Session(knowledge, Store(tmp_path), NOW, keep=False)
    for _, answer in turn(noise, session):
        assert answer.status in ("out_of_scope", "refused", "asks", "unsure")
        assert "\x1b" not in to_text(answer)


def test_lines_that_nobody_would_type_break_nothing(tmp_path):
    broken, _ = run(600, Session(load(), Store(tmp_path), NOW, keep=False))
    assert broken == []
