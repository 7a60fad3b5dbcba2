"""The dated program: every seed day of a year, and what moves when a step is late."""

from datetime import date, timedelta

import holidays
import pytest

from assistant.calculations.season import public_holidays, working_days_before
from assistant.knowledge_base import load
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.program import Closing, Emergence, next_of, steps_of
from assistant.lawn.state import LawnState, fold
from assistant.terms import Amount

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


@pytest.mark.parametrize("year", range(2021, 2041))
def test_public_holidays_are_those_of_an_open_library(year):
    # holidays (PyPI), the federal government of the United States: 5 U.S.C. 6103 and Executive Order 11582.
    # Its Inauguration Day is kept around Washington only and left out here, as it is in the rule.
    season = load().section("season")["public_holidays"]
    theirs = holidays.US(years=year, observed=True)
    days = {day for day, name in theirs.items() if "Inauguration" not in name and day.weekday() < 5}
    ours = {day for day in public_holidays(year, season["fixed"], season["moving"]) if day.year == year}
    new_year = {day for day in days if day.month == 12 and day.day == 31}  # 1 January of the next year, kept on Friday
    assert ours == days - new_year


@pytest.mark.parametrize("day", EVERY_DAY[::11])
def test_working_days_skip_weekends_and_holidays(day):
    # By hand: count back whole weekdays that are no holiday; the day of the call is not one of them.
    free = set(holidays.US(years=(2025, 2026)))
    for count in (2, 3, 5):
        call = working_days_before(day, count, free)
        between = [call + timedelta(days=n) for n in range(1, (day - call).days)]
        assert sum(one.weekday() < 5 and one not in free for one in between) == count
        assert call.weekday() < 5
        assert call not in free


def test_every_program_stands_on_every_seed_day(programs):
    for key, rules in programs.items():
        for seed_day in EVERY_DAY[::5]:
            for today in (seed_day - timedelta(days=40), seed_day, seed_day + timedelta(days=200)):
                steps = steps_of(rules, seed_day, today, UP, LawnState("x"))
                assert [step.id for step in steps] == [rule["id"] for rule in rules["steps"]], key
                assert all(step.moved_by for step in steps if step.state == "dropped"), key
                assert all(step.until >= step.day for step in steps), key


def test_what_seed_waits_for_is_late_or_dropped_but_never_behind_it(programs):
    for key, rules in programs.items():
        kinds_before = {rule["id"] for rule in rules["steps"] if rule["kind"] in ("kill", "prepare", "order")}
        for late in range(0, 60, 3):
            seed_day = date(2026, 9, 12)
            today = seed_day - timedelta(days=late)
            for step in steps_of(rules, seed_day, today, UP, LawnState("x")):
                if step.id in kinds_before and step.open and step.offset <= 0:
                    assert step.day <= seed_day, (key, late, step)


def told_seed_day(day, said):
    amount = Amount("date", day.isoformat(), day.isoformat()).to_plain()
    return Event(
        kinds.TOLD, "x", "seed day", said.isoformat(), said.isoformat(), {"facts": {"seed_day": {"amount": amount}}}
    )


def test_a_seed_day_that_was_only_planned_sows_nothing(programs):
    seed_day = date(2026, 9, 5)
    planned = fold("x", [told_seed_day(seed_day, date(2026, 8, 1))])
    told = fold("x", [told_seed_day(seed_day, date(2026, 9, 6))])
    fed = fold("x", [told_seed_day(seed_day, date(2026, 8, 1)), done("feed.first", seed_day)])
    states = [
        next(
            step.state
            for step in steps_of(programs["fall_liquid"], seed_day, date(2026, 9, 8), UP, state)
            if step.kind == "sow"
        )
        for state in (planned, told, fed)
    ]
    assert states == ["due", "done", "done"]


def test_dormant_seed_that_sprouts_in_a_thaw_moves_no_date_of_spring(programs):
    seed_day = date(2026, 12, 5)
    asleep = Emergence(21, "common practice", from_day="04-12")
    thaw = Emergence(21, "common practice", date(2026, 12, 20), from_day="04-12")
    days = [
        [step.day for step in steps_of(programs["dormant_granular"], seed_day, date(2026, 12, 21), one, LawnState("x"))]
        for one in (asleep, thaw)
    ]
    assert days[0] == days[1]


def test_a_cut_before_anything_can_be_up_opens_no_gate(programs):
    seed_day = date(2026, 9, 9)
    cut = Event(kinds.MOWED, "x", "mowed", "2026-09-10", "2026-09-10", {}, seq=1)
    up = Emergence(12, "common practice", least=7)
    without = {
        one.id: one.day for one in steps_of(programs["renovation_liquid"], seed_day, seed_day, up, LawnState("x"))
    }
    with_it = {
        one.id: one.day for one in steps_of(programs["renovation_liquid"], seed_day, seed_day, up, fold("x", [cut]))
    }
    assert with_it == without
