"""The dated program: every seed day of a year, and what moves when a step is late."""

from datetime import date, timedelta

import pytest

from assistant.knowledge_base import load
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import Closing, Emergence, next_of, steps_of
from assistant.lawn.state import LawnState, fold

EVERY_DAY = [date(2026, 1, 1) + timedelta(days=n) for n in range(365)]
UP = Emergence(12, "common practice")


@pytest.fixture(scope="module")
def programs(tmp_path_factory):
    return load(tmp_path_factory.mktemp("cache")).section("programs")


def done(step, day, title="feed"):
    return Event(
        kinds.DONE, "back lawn", "said so", day.isoformat(), day.isoformat(), {"step": step, "title": title}, seq=1
    )


def dates(rules, seed_day, *events):
    steps = steps_of(rules, seed_day, seed_day, UP, fold("back lawn", events))
    return {step.id: step for step in steps}


@pytest.mark.parametrize("key", ["fall_liquid", "fall_granular"])
def test_feeds_keep_their_spacing_on_every_seed_day(programs, key):
    rules = programs[key]
    gaps = {step["id"]: step["least_gap"] for step in rules["steps"] if "least_gap" in step}
    for seed_day in EVERY_DAY:
        for late in (0, 5, 30):
            first = done("feed.first", seed_day + timedelta(days=late))
            steps = dates(rules, seed_day, first)
            for step_id, gap in gaps.items():
                assert (steps[step_id].day - steps[gap["after"]].day).days >= gap["low"]


def test_feeds_fall_on_day_0_21_and_42(programs):
    steps = dates(programs["fall_liquid"], date(2026, 9, 5))
    assert [steps[f"feed.{n}"].day for n in ("first", "second", "third")] == [
        date(2026, 9, 5),
        date(2026, 9, 26),
        date(2026, 10, 17),
    ]


def test_a_late_second_feed_moves_the_third_and_says_why(programs):
    events = (done("feed.first", date(2026, 9, 5)), done("feed.second", date(2026, 10, 1), "second feed"))
    third = dates(programs["fall_liquid"], date(2026, 9, 5), *events)["feed.third"]
    assert third.day == date(2026, 10, 22)
    assert third.offset == 47
    assert "21 days after the second feed" in third.moved_by


def test_granular_nitrogen_waits_for_the_seedlings(programs):
    # Columbus Dispatch, 2010: four to five weeks after the seedlings come up.
    second = dates(programs["fall_granular"], date(2026, 9, 5))["feed.second"]
    assert (second.day, second.until) == (date(2026, 10, 15), date(2026, 10, 22))


def test_what_is_skipped_is_dropped_with_its_reason(programs):
    event = Event(
        kinds.SKIPPED, "back lawn", "skipped the second", "2026-09-27", "2026-09-27", {"step": "feed.second"}, seq=1
    )
    steps = dates(programs["fall_liquid"], date(2026, 9, 5), event)
    assert steps["feed.second"].state == "dropped"
    assert "skipped the second" in steps["feed.second"].moved_by


def test_next_is_the_first_open_step(programs):
    steps = steps_of(
        programs["fall_liquid"],
        date(2026, 9, 5),
        date(2026, 9, 20),
        UP,
        fold("x", [done("feed.first", date(2026, 9, 5))]),
    )
    assert next_of(steps).id == "feed.second"
    assert steps_of(programs["fall_liquid"], date(2026, 9, 5), date(2026, 9, 30), UP, LawnState("x"))[1].late == 25


@pytest.mark.parametrize("key", ["fall_liquid", "fall_granular"])
def test_no_feed_lands_behind_the_closing_and_says_why(programs, key):
    rules = programs[key]
    for seed_day in EVERY_DAY[200:320]:
        closing = Closing(date(2026, 11, 15), "the law of Maryland ends it")
        steps = steps_of(rules, seed_day, seed_day, UP, LawnState("x"), closing)
        for step in steps:
            if step.kind == "feed" and step.state in ("due", "coming"):
                assert not date(2026, 11, 15) < step.day < date(2027, 3, 1)
            if step.state == "dropped":
                assert "the law of Maryland" in step.moved_by
