"""What was acknowledged is on the record: killed five hundred times, written by eight at once, with no room left."""

import os
import random
import resource
import select
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing

import pytest

from assistant.lawn import events as kinds
from assistant.lawn import store as stores
from assistant.lawn.copies import KEPT, copies_of, is_whole, newest_good
from assistant.lawn.events import Event
from assistant.lawn.store import Store, StoreError
from tests.terminal import Terminal, keep_to_permissions, keeps_to_permissions

KILLS = 500


def note(text, day="2026-09-05", lawn="back lawn"):
    return Event(kinds.NOTE, lawn, text, day, day)


def write_until_killed(home, first):
    """In a child: a turn of two events after another, each acknowledged by its number once it is written."""
    reads, writes = os.pipe()
    child = os.fork()
    if child:
        os.close(writes)
        return child, reads
    store = Store(home)
    n = first
    while True:
        store.append([note(f"{n} a"), note(f"{n} b")])
        os.write(writes, f"{n}\n".encode())
        n += 1


def acknowledged_by(child, reads, patience):
    """Kills the child after so many seconds from its first acknowledgement; gives all that it acknowledged."""
    told = b""
    if select.select([reads], [], [], 30)[0]:
        told = os.read(reads, 65536)
    time.sleep(patience)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while more := os.read(reads, 65536):
        told += more
    os.close(reads)
    return [int(line) for line in told.split()]


def test_nothing_acknowledged_is_lost_in_five_hundred_kills(tmp_path):
    chance = random.Random(20260905)
    acknowledged, first = [], 0
    for _ in range(KILLS):
        child, reads = write_until_killed(tmp_path, first)
        acknowledged += acknowledged_by(child, reads, chance.uniform(0, 0.004))
        first = (
            acknowledged[-1] + 2
        )  # the one behind the last may be there as well: it was written, and not acknowledged
    texts = [event.text for event in Store(tmp_path).events()]  # opened as ever: no repair
    kept = set(texts)
    assert len(texts) == len(kept)
    assert all({f"{n} a", f"{n} b"} <= kept for n in acknowledged)
    halves = {text.split()[0] for text in texts}
    assert all({f"{n} a", f"{n} b"} <= kept for n in halves), "half a turn is on the record"
    assert len(halves) - len(acknowledged) <= KILLS
    assert is_whole(tmp_path / "lawns.sqlite")


TALK = [sys.executable, "-m", "assistant", "chat", "--json", "--today", "2026-09-05", "--home"]


def test_a_chat_that_is_killed_keeps_what_it_answered(tmp_path):
    for round_ in range(3):
        talk = subprocess.Popen([*TALK, str(tmp_path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        answered = 0
        for n in range(4):
            talk.stdin.write(f"note: round {round_} line {n}\n")
            talk.stdin.flush()
            answered += '"recorded"' in talk.stdout.readline()
        talk.stdin.write(f"note: round {round_} line 4\n")
        talk.stdin.flush()
        talk.send_signal(signal.SIGKILL)
        talk.communicate()
        kept = [event.text for event in Store(tmp_path).events()]
        assert answered == 4
        assert [f"round {round_} line {n}" for n in range(4)] == [one for one in kept if f"round {round_} " in one][:4]


KEPT_ROWS = {"lawn": "home lawn", "ground": "4,200 sq ft", "grass": "tall fescue", "state": "Maryland"}


def test_a_form_that_is_killed_half_way_is_picked_up_where_it_was(tmp_path):
    row = {label: f"{label:<12}{value:<25}on record" for label, value in KEPT_ROWS.items()}
    walk = Terminal(tmp_path, "walk")
    walk.until("a new lawn")
    for words, label in (("", "lawn"), ("4,200 sq ft", "ground"), ("tall fescue", "grass")):  # the name as it stands
        walk.type(words, "enter")
        walk.until(row[label])
    walk.type("maryl")
    walk.until('"maryl" is no state')
    walk.child.kill(signal.SIGKILL)
    walk.ended()
    assert is_whole(tmp_path / "lawns.sqlite")
    assert [event.text for event in Store(tmp_path).events()] == ["it is 4,200 sq ft", "it is tall fescue"]
    again = Terminal(tmp_path, "walk")
    again.until(row["lawn"], row["ground"], row["grass"], "like Maryland")
    for key in ("escape", "enter", "enter", "enter"):  # from the question line to the form, and over what is on record
        again.type(key)
        again.read(0.4)
    again.type("maryland", "enter")
    again.until(row["state"])
    again.close()
    assert [event.text for event in Store(tmp_path).events()][2:] == ["it is in Maryland"]


def test_eight_writers_at_once_lose_nothing(tmp_path):
    children = []
    for writer in range(8):
        child = os.fork()
        if not child:
            store = Store(tmp_path)
            for n in range(25):
                store.append([note(f"{n}", lawn=f"lawn {writer}")])
            os._exit(0)
        children.append(child)
    assert all(os.waitpid(child, 0)[1] == 0 for child in children)
    store = Store(tmp_path)
    assert all([event.text for event in store.events(f"lawn {n}")] == [str(k) for k in range(25)] for n in range(8))
    assert [event.seq for event in store.events()] == list(range(1, 201))


def test_a_full_disk_is_said_and_the_earlier_record_stays_whole(tmp_path):
    def little_room():
        resource.setrlimit(resource.RLIMIT_FSIZE, (70_000, 70_000))

    lines = "".join(f"note: {'x' * 900} {n}\n" for n in range(200))
    done = subprocess.run(
        [*TALK, str(tmp_path)], input=lines, capture_output=True, text=True, preexec_fn=little_room, check=False
    )
    recorded = done.stdout.count('"recorded"')
    kept = Store(tmp_path).events()
    assert 0 < recorded < 200
    assert recorded == len(kept)
    assert "could not be written" in done.stdout + done.stderr
    assert "Traceback" not in done.stdout + done.stderr
    assert is_whole(tmp_path / "lawns.sqlite")


@keeps_to_permissions
def test_a_folder_that_cannot_be_written_is_said_and_the_record_is_still_read(tmp_path):
    home = tmp_path / "home"
    Store(home).append([note("stands")])
    before = (home / "lawns.sqlite").read_bytes()
    home.chmod(0o500)
    (home / "lawns.sqlite").chmod(0o400)
    said = {}
    try:
        for line in ("note: one more", "how much starter for 4,200 sq ft", "what have I done on the back lawn"):
            call = [sys.executable, "-m", "assistant", "ask", "--home", str(home), "--lawn", "back lawn", line]
            done = subprocess.run(call, capture_output=True, text=True, preexec_fn=keep_to_permissions, check=False)
            said[line] = (done.returncode, done.stdout + done.stderr)
    finally:
        home.chmod(0o700)
        (home / "lawns.sqlite").chmod(0o600)
    (code, refused), (_, worked), (_, read) = said.values()
    assert code == 2
    assert "could not be written; make room or choose another folder" in refused
    assert len(refused.splitlines()) == 1
    assert "50.4 fl oz" in worked
    assert "Back lawn: 1 entry" in read
    assert (home / "lawns.sqlite").read_bytes() == before


def test_a_clock_that_was_set_back_changes_no_order(tmp_path):
    Store(tmp_path).append([note("first", "2026-09-20")])
    Store(tmp_path).append([note("second", "2026-09-01")])
    assert [event.text for event in Store(tmp_path).events()] == ["first", "second"]


# copies of the day ----------------------------------------------------------------------------------------------------


def test_a_day_begins_with_a_copy_of_the_days_before(tmp_path):
    for day in range(1, 13):
        store = Store(tmp_path)
        store.append([note(f"day {day}", f"2026-09-{day:02}")])
        store.append([note(f"day {day}, again", f"2026-09-{day:02}")])
        store.close()
    copies = copies_of(tmp_path / "lawns.sqlite")
    assert [copy.name for copy in copies] == [f"lawns-2026-09-{day:02}.sqlite" for day in range(12, 12 - KEPT, -1)]
    assert all(is_whole(copy) and copy.stat().st_mode & 0o077 == 0 for copy in copies)
    assert copies[0].parent.stat().st_mode & 0o077 == 0
    with closing(sqlite3.connect(copies[0])) as copy:
        assert copy.execute("SELECT COUNT(*) FROM events").fetchone()[0] == 22  # two a day, eleven days


@pytest.mark.parametrize("harm", ["text", "cut", "middle"])
def test_a_damaged_record_is_left_alone_and_the_newest_good_copy_is_named(tmp_path, harm):
    for day in (1, 2, 3):
        store = Store(tmp_path)
        store.append([note(f"{n} of a long talk about the lawn", f"2026-09-0{day}") for n in range(400)])
        store.close()
    record = tmp_path / "lawns.sqlite"
    copies_of(record)[0].write_bytes(b"not a database, though it lies there")
    whole = record.read_bytes()
    bad = {
        "text": b"somebody's shopping list\n" * 40,
        "cut": whole[: len(whole) // 3],
        "middle": whole[:4096] + b"\xff" * 40_000 + whole[44_096:],
    }[harm]
    record.write_bytes(bad)
    good = newest_good(record)
    assert good is not None
    assert good.name == "lawns-2026-09-02.sqlite"
    with pytest.raises(StoreError, match="damaged") as told:
        Store(tmp_path).events()
    assert str(good) in str(told.value)
    with pytest.raises(StoreError, match="damaged"):
        Store(tmp_path).append([note("more", "2026-09-04")])
    assert record.read_bytes() == bad


def test_an_older_record_is_brought_up_and_kept_as_it_was(tmp_path, monkeypatch):
    Store(tmp_path).append([note("from before")])
    monkeypatch.setattr(stores, "_VERSION", 2)
    monkeypatch.setattr(stores, "_NEXT", {1: "ALTER TABLE events ADD COLUMN place TEXT NOT NULL DEFAULT ''"})
    store = Store(tmp_path)
    assert [event.text for event in store.events()] == ["from before"]
    store.append([note("from now on")])
    with closing(sqlite3.connect(tmp_path / "lawns.sqlite")) as now:
        assert now.execute("PRAGMA user_version").fetchone()[0] == 2
    with closing(sqlite3.connect(tmp_path / "copies" / "lawns-version-1.sqlite")) as before:
        assert before.execute("PRAGMA user_version").fetchone()[0] == 1
        assert before.execute("SELECT text FROM events").fetchall() == [("from before",)]
