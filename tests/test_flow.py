"""The flow over random journals: no step before its condition or its spacing, no feed behind the closing, nothing dropped
without its reason; the fold survives export and import, and an undo restores the state to the byte."""

import dataclasses
import json
from datetime import date, datetime, timedelta

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.dialogue import Session, turn
from assistant.interfaces.exchange import exported, imported
from assistant.knowledge_base import load
from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.exchange import NotALawn, from_plain, to_plain
from assistant.lawn.program import DONE, DROPPED, DUE, Closing, Emergence, Notice, steps_of
from assistant.lawn.state import LawnState, fold, fold_on
from assistant.lawn.store import Store
from assistant.terms import Amount, Now

KNOWLEDGE = load()
PROGRAMS = KNOWLEDGE.section("programs")
FIRST = date(2026, 1, 1)
days = st.integers(0, 500).map(lambda n: FIRST + timedelta(days=n))


def event(kind, day, body, seq=0, said=None):
    return Event(kind, "back lawn", f"said {kind}", (said or day).isoformat(), day.isoformat(), body, (), seq, seq)


@st.composite
def journals(draw):
    """A program, and things that are said of the lawn over a year and a half, some of them taken back."""
    key = draw(st.sampled_from(sorted(PROGRAMS)))
    ids = [step["id"] for step in PROGRAMS[key]["steps"]]
    seed_day = draw(st.integers(0, 364).map(lambda n: FIRST + timedelta(days=n)))
    amount = Amount("date", seed_day.isoformat(), seed_day.isoformat()).to_plain()
    made = [event(kinds.TOLD, FIRST, {"facts": {"seed_day": {"amount": amount}}}, 1)]
    made.append(event(kinds.STARTED, FIRST, {"program": key, "rules": PROGRAMS[key]}, 2))
    for seq in range(3, 3 + draw(st.integers(0, 12))):
        day = draw(days)
        step = {"step": draw(st.sampled_from(ids)), "title": "a step"}
        until = (day + timedelta(days=draw(st.integers(0, 30)))).isoformat()
        choice = draw(
            st.sampled_from(
                ["done", "moved", "skipped", "up", "not_up", "mowed", "held", "lifted", "part", "joined", "undo"]
            )
        )
        made.append(
            {
                "done": event(kinds.DONE, day, step, seq),
                "moved": event(kinds.MOVED, day, {**step, "day": day.isoformat()}, seq),
                "skipped": event(kinds.SKIPPED, day, step, seq),
                "up": event(kinds.SEEN, day, {"what": "up"}, seq),
                "not_up": event(kinds.SEEN, day, {"what": "not_up"}, seq),
                "mowed": event(kinds.MOWED, day, {}, seq),
                "held": event(kinds.HELD, day, {"what": "heat wave", "kinds": ["feed", "weed"], "until": until}, seq),
                "lifted": event(kinds.LIFTED, day, {"what": "heat wave"}, seq),
                "part": event(kinds.RESOWN, day, {"part": "bare spots"}, seq),
                "joined": event(kinds.JOINED, day, {"part": "bare spots"}, seq),
                "undo": dataclasses.replace(event(kinds.UNDONE, day, {}, seq), voids=(draw(st.integers(2, seq - 1)),)),
            }[choice]
        )
    return key, seed_day, made


def flow(key, seed_day, state, today, closing):
    up = state.seen.get("up")
    not_up = state.seen.get("not_up")
    seen = date.fromisoformat(up.happened_on) if up and up.happened_on >= seed_day.isoformat() else None
    emergence = Emergence(12, "common practice", seen, date.fromisoformat(not_up.happened_on) if not_up else None)
    notice = Notice(3, "common practice", lambda day, count: day - timedelta(days=count))
    return emergence, steps_of(PROGRAMS[key], seed_day, today, emergence, state, closing, notice)


@settings(max_examples=2000, deadline=None)
@given(journals(), days, st.booleans())
def test_no_step_lands_where_it_may_not(journal, today, closes):
    key, seed_day, events = journal
    state = fold("back lawn", events)
    closing = Closing(date(seed_day.year, 11, 15), "the law ends it") if closes else None
    emergence, steps = flow(key, seed_day, state, today, closing)
    rules = {rule["id"]: rule for rule in PROGRAMS[key]["steps"]}
    by_id = {step.id: step for step in steps}
    assert [step.id for step in steps] == list(rules)
    for step in steps:
        rule = rules[step.id]
        assert step.until >= step.day
        if step.state == DROPPED:
            assert step.moved_by
        if step.state == DONE and step.id in state.applied:
            assert step.day.isoformat() == state.applied[step.id].happened_on
        if not step.open:
            continue
        assert (step.state == DUE) == (step.day <= today)
        gap = rule.get("least_gap")
        earlier = by_id[gap["after"]] if gap else None
        if gap and earlier.state != DROPPED:
            since = max(earlier.day, today) if earlier.state == DUE else earlier.day
            assert (step.day - since).days >= gap["low"]
        if "only_after" in rule:
            assert step.day >= emergence.after(seed_day)
        if "after_mowings" in rule and step.state == DUE:
            cut = [one for one in state.mowed if one.happened_on > seed_day.isoformat()]
            assert len(cut) >= rule["after_mowings"]["low"]
        if step.kind == "feed" and closing:
            assert not closing.day < step.day < date(closing.day.year + 1, 3, 1)
            assert not step.day <= closing.day < today
        if "not_after" in rule:
            assert step.day.isoformat()[5:] <= rule["not_after"]["date"] or step.day < seed_day + timedelta(days=365)
        for held in state.held:
            if step.kind in held.body["kinds"] and step.id not in state.moved:
                assert not held.happened_on <= step.day.isoformat() <= held.body["until"]
    assert steps == flow(key, seed_day, state, today, closing)[1]


def as_bytes(state):
    """All that a state holds but its place in the journal."""
    plain = dataclasses.asdict(dataclasses.replace(state, seq=0))
    for one in plain["live"]:
        one.pop("seq"), one.pop("turn")
    return json.dumps(plain, sort_keys=True, default=str).encode()


@settings(max_examples=300, deadline=None)
@given(journals())
def test_undo_after_any_event_restores_the_former_state_to_the_byte(journal):
    _, _, events = journal
    for place in range(2, len(events)):
        before, last = events[:place], events[place]
        if last.kind == kinds.UNDONE:
            continue
        back = dataclasses.replace(event(kinds.UNDONE, FIRST, {}, last.seq + 1), voids=(last.seq,))
        assert as_bytes(fold("back lawn", [*before, last, back])) == as_bytes(fold("back lawn", before))


@settings(max_examples=300, deadline=None)
@given(journals(), st.randoms(use_true_random=False))
def test_events_folded_on_as_they_come_leave_the_same_state_as_all_at_once(journal, chance):
    _, _, events = journal
    state = LawnState("back lawn")
    ends = sorted({chance.randint(0, len(events)) for _ in range(3)} | {len(events)})
    for end in ends:
        state = fold_on(state, tuple(events[:end]))
    assert state == fold("back lawn", events)


@settings(max_examples=300, deadline=None)
@given(journals())
def test_the_fold_is_the_same_after_export_and_import(journal):
    _, _, events = journal
    told = yaml.safe_load(yaml.safe_dump(to_plain("back lawn", events)))
    again = from_plain(told)
    without = [dataclasses.replace(one, turn=0, seq=0, voids=()) for one in events]
    assert [dataclasses.replace(one, turn=0, seq=0, voids=()) for one in again] == without
    was, now = fold("back lawn", events), fold("back lawn", again)
    assert [one.text for one in was.live] == [one.text for one in now.live]
    assert (was.program, was.facts, list(was.applied), list(was.parts)) == (
        now.program,
        now.facts,
        list(now.applied),
        list(now.parts),
    )


SEASON = [
    ("2026-07-20", "the back is 5,200 sq ft of tall fescue in maryland"),
    ("2026-07-20", "start the fall renovation on sep 12, granular program"),
    ("2026-08-10", "sprayed glyphosate this morning"),
    ("2026-09-12", "put the starter down this morning, 52 lb"),
    ("2026-09-13", "undo"),
    ("2026-09-13", "put the starter down yesterday, 50 lb"),
    ("2026-09-25", "it's up"),
    ("2026-10-05", "mowed the back today"),
    ("2026-10-15", "reseeded the bare spots today"),
    ("2026-10-20", "heat wave until oct 25"),
]


def said(home, lines):
    for day, line in lines:
        session = Session(KNOWLEDGE, Store(home), Now(datetime.fromisoformat(day)))
        list(turn(line, session))
    return Store(home)


def test_a_lawn_goes_to_another_home_and_back_unchanged(tmp_path):
    store = said(tmp_path / "a", SEASON)
    text = exported(store, "back lawn")
    (tmp_path / "lawn.yaml").write_text(text, encoding="utf-8")
    other = Store(tmp_path / "b")
    name, count = imported(other, tmp_path / "lawn.yaml")
    assert (name, count) == ("back lawn", len(store.events("back lawn")))
    assert exported(other, "back lawn") == text
    assert as_bytes(fold(name, other.events(name))) == as_bytes(fold(name, store.events(name)))
    with pytest.raises(NotALawn, match="already"):
        imported(other, tmp_path / "lawn.yaml")
    assert imported(other, tmp_path / "lawn.yaml", "front lawn")[0] == "front lawn"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("just text", "no lawn of ligule"),
        ("ligule: 2\nlawn: x\nevents: []\n", "of form 2"),
        ("ligule: 1\nevents: []\n", "names no lawn"),
        ("ligule: 1\nlawn: x\nevents:\n- {seq: 1, turn: 1, kind: bought}\n", "Event 1: is of the kind 'bought'"),
        ("ligule: 1\nlawn: x\nevents:\n- {seq: 1, turn: 1, kind: mowed}\n", "needs said_on"),
        ("ligule: 1\nlawn: x\nevents:\n- {seq: 1, turn: 1, kind: mowed, said_on: '2026-02-30'}\n", "has said_on"),
        ("ligule: 1\nlawn: x\nevents:\n- {seq: 0, turn: 1, kind: mowed, said_on: '2026-02-03'}\n", "needs seq"),
        (
            "ligule: 1\nlawn: x\nevents:\n- {seq: 1, turn: 1, kind: done, said_on: '2026-02-03', body: {a: .nan}}\n",
            "plain data",
        ),
        (
            "ligule: 1\nlawn: x\nevents:\n- {seq: 1, turn: 1, kind: told, said_on: '2026-02-03'}\n",
            "do not fit together",
        ),
        ("ligule: 1\nlawn: x\nevents: &a [*a]\n", "anchors"),
        ("a: &a [1]\nb: [*a, *a]\n", "anchors"),
        ("!!python/object:os.system x\n", "tags"),
        ("ligule: [\n", "readable YAML"),
    ],
)
def test_a_file_that_is_no_lawn_is_refused_in_one_sentence_and_nothing_is_taken_in(tmp_path, text, words):
    (tmp_path / "x.yaml").write_text(text, encoding="utf-8")
    store = Store(tmp_path / "home")
    with pytest.raises(NotALawn, match=words):
        imported(store, tmp_path / "x.yaml")
    assert store.lawns() == ()
