"""The journal: what was acknowledged survives a kill, nothing written is changed, two writers lose nothing."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time

import pytest

from assistant.lawn import events as kinds
from assistant.lawn.events import Event
from assistant.lawn.state import fold
from assistant.lawn.store import Store, StoreError
from assistant.terms import Amount

WRITER = """
import sys
from pathlib import Path
from assistant.lawn.events import Event
from assistant.lawn.store import Store
store = Store(Path(sys.argv[1]))
for n in range(int(sys.argv[3])):
    store.append([Event("note", sys.argv[2], f"{sys.argv[2]} {n}", "2026-09-05", "2026-09-05")])
    print(n, flush=True)
"""


def note(text, lawn="back lawn"):
    return Event(kinds.NOTE, lawn, text, "2026-09-05", "2026-09-05")


def writer(home, lawn, count):
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(home), lawn, str(count)], stdout=subprocess.PIPE, text=True
    )


@pytest.mark.parametrize("seed", range(6))
def test_acknowledged_events_survive_a_kill(tmp_path, seed):
    running = writer(tmp_path, "back lawn", 100_000)
    assert running.stdout.readline().strip() == "0"
    time.sleep(random.Random(seed).uniform(0.0, 0.15))
    os.kill(running.pid, signal.SIGKILL)
    acknowledged = [0] + [int(line) for line in running.stdout.read().split()]
    running.wait()
    kept = [event.text for event in Store(tmp_path).events("back lawn")]
    assert kept[: len(acknowledged)] == [f"back lawn {n}" for n in acknowledged]
    assert len(kept) <= len(acknowledged) + 1


def test_two_writers_lose_nothing(tmp_path):
    both = [writer(tmp_path, lawn, 60) for lawn in ("front lawn", "back lawn")]
    for one in both:
        one.communicate()
        assert one.returncode == 0
    events = Store(tmp_path).events()
    assert len(events) == 120
    assert [event.seq for event in events] == sorted({event.seq for event in events})


def test_the_file_refuses_change(tmp_path):
    store = Store(tmp_path)
    store.append([note("as it was said")])
    store.close()
    with sqlite3.connect(tmp_path / "lawns.sqlite") as raw:
        with pytest.raises(sqlite3.IntegrityError):
            raw.execute("UPDATE events SET text = 'another'")
        with pytest.raises(sqlite3.IntegrityError):
            raw.execute("DELETE FROM events")


def test_the_record_is_the_users_own(tmp_path):
    Store(tmp_path / "data").append([note("mine")])
    assert (tmp_path / "data" / "lawns.sqlite").stat().st_mode & 0o077 == 0
    assert (tmp_path / "data").stat().st_mode & 0o077 == 0


def test_reading_makes_nothing(tmp_path):
    store = Store(tmp_path / "none")
    assert store.events() == ()
    assert store.lawns() == ()
    assert not (tmp_path / "none").exists()


def test_a_newer_record_is_left_alone(tmp_path):
    with sqlite3.connect(tmp_path / "lawns.sqlite") as raw:
        raw.execute("PRAGMA user_version = 99")
    before = (tmp_path / "lawns.sqlite").read_bytes()
    with pytest.raises(StoreError, match="newer"):
        Store(tmp_path).events()
    with pytest.raises(StoreError, match="newer"):
        Store(tmp_path).append([note("no")])
    assert (tmp_path / "lawns.sqlite").read_bytes() == before


def test_a_damaged_record_is_said_and_kept(tmp_path):
    (tmp_path / "lawns.sqlite").write_bytes(b"no database at all, " * 200)
    with pytest.raises(StoreError):
        Store(tmp_path).events()
    assert (tmp_path / "lawns.sqlite").read_bytes().startswith(b"no database")


def told(store, text, **facts):
    body = {
        "facts": {
            name: {"amount": Amount("area", value, value, ("sq_ft",)).to_plain()} for name, value in facts.items()
        }
    }
    return store.append([Event(kinds.TOLD, "back lawn", text, "2026-09-05", "2026-09-05", body)])[0]


def test_undo_leaves_the_state_as_it_was(tmp_path):
    store = Store(tmp_path)
    told(store, "4,200", area=4200.0)
    before = fold("back lawn", store.events("back lawn"))
    second = told(store, "no, 5,200", area=5200.0)
    assert fold("back lawn", store.events("back lawn")).facts["area"].amount.low == 5200
    store.append([Event(kinds.UNDONE, "back lawn", "undo", "2026-09-05", "2026-09-05", voids=(second.seq,))])
    after = fold("back lawn", store.events("back lawn"))
    assert (after.facts, after.live) == (before.facts, before.live)
    assert len(store.events()) == 3


def test_events_of_one_line_share_a_turn(tmp_path):
    store = Store(tmp_path)
    first = store.append([note("one"), note("two")])
    second = store.append([note("three")])
    assert first[0].turn == first[1].turn == first[0].seq
    assert second[0].turn == second[0].seq == 3
