"""The journal of all lawns: one SQLite file, written to at its end only.

An event is acknowledged after its transaction is on the disk (WAL, full sync); a kill at any moment leaves whole
events and no others. Triggers in the file itself refuse any change to what was written.
"""

from __future__ import annotations

import contextlib
import json
import os
import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from assistant.lawn.copies import keep_copy, newest_good
from assistant.lawn.events import Event

_VERSION = 1
_NEXT: dict[int, str] = {}  # version -> what makes the next version of it
_MAKE = """
CREATE TABLE events (seq INTEGER PRIMARY KEY AUTOINCREMENT, turn INTEGER NOT NULL, lawn TEXT NOT NULL, kind TEXT NOT NULL,
  body TEXT NOT NULL, text TEXT NOT NULL, happened_on TEXT NOT NULL, said_on TEXT NOT NULL, voids TEXT NOT NULL);
CREATE INDEX events_of_lawn ON events (lawn, seq);
CREATE TRIGGER no_change BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'the journal is only written at its end'); END;
CREATE TRIGGER no_removal BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'the journal is only written at its end'); END;
"""


class StoreError(Exception):
    """The record cannot be read or written; the message says where and what to do."""


class Store:
    """The journal in a folder. Nothing is created before the first event is written.

    With `closed` it is left alone: it reads as empty and takes nothing, so that a question that needs no record is
    answered beside a damaged one.
    """

    def __init__(self, home: Path, closed: bool = False) -> None:
        self.path = home / "lawns.sqlite"
        self.closed = closed
        self._open: sqlite3.Connection | None = None
        self._copied = ""  # the day that the record was last copied on
        self._read: dict[str, tuple[Event, ...]] = {}  # lawn -> its events so far; the journal only grows at its end

    def lawns(self) -> tuple[str, ...]:
        """The names of all lawns, in the order they were first spoken of."""
        rows = self._rows("SELECT lawn FROM events WHERE lawn <> '' GROUP BY lawn ORDER BY MIN(seq)")
        return tuple(row[0] for row in rows)

    def events(self, lawn: str | None = None) -> tuple[Event, ...]:
        """The events of a lawn, or of all lawns, oldest first."""
        if lawn is None:
            return self._events("ORDER BY seq")
        known = self._read.get(lawn, ())
        newer = self._events("WHERE lawn = ? AND seq > ? ORDER BY seq", lawn, known[-1].seq if known else 0)
        if newer:
            self._read[lawn] = known = known + newer
        return known

    def _events(self, which: str, *values: str | int) -> tuple[Event, ...]:
        columns = "SELECT seq, turn, lawn, kind, body, text, happened_on, said_on, voids FROM events"
        try:
            return tuple(
                Event(kind, name, text, said, happened, json.loads(body), tuple(json.loads(voids)), seq, turn)
                for seq, turn, name, kind, body, text, happened, said, voids in self._rows(f"{columns} {which}", values)
            )
        except ValueError as problem:
            raise self._damaged(problem) from problem

    def append(self, events: Iterable[Event]) -> tuple[Event, ...]:
        """Writes events in one transaction and gives them back numbered. Nothing is written where one cannot be.

        They are of one turn. Events that carry numbers of their own, out of another journal, keep what those say: which
        were told in one turn, and which take back which.
        """
        new = list(events)
        if not new:
            return ()
        try:
            connection = self._writable()
            self._copy_of_the_day(connection, new[0].said_on)
            connection.execute("BEGIN IMMEDIATE")
            try:
                made: list[Event] = []
                turns: dict[int, int] = {}  # as numbered there -> as numbered here
                seqs: dict[int, int] = {}
                for event in new:
                    row = self._insert(connection, event, turns.get(event.turn, 0), seqs)
                    turns[event.turn] = row.turn
                    if event.seq:
                        seqs[event.seq] = row.seq
                    made.append(row)
                connection.execute("COMMIT")
                return tuple(made)
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise
        except sqlite3.DatabaseError as problem:
            if isinstance(problem, sqlite3.OperationalError):
                raise self._unwritten(problem) from problem
            raise self._damaged(problem) from problem
        except OSError as problem:
            raise self._unwritten(problem) from problem

    def _unwritten(self, problem: Exception) -> StoreError:
        return self._trouble("could not be written", f"make room or choose another folder with --home ({problem})")

    def _insert(self, connection: sqlite3.Connection, event: Event, turn: int, seqs: dict[int, int]) -> Event:
        """One row at the end; without a turn it begins one."""
        if not turn:
            last = "SELECT COALESCE((SELECT seq FROM sqlite_sequence WHERE name = 'events'), 0) + 1"
            turn = connection.execute(last).fetchone()[0]
        voids = tuple(seqs.get(one, one) for one in event.voids)
        row = (
            turn,
            event.lawn,
            event.kind,
            json.dumps(event.body, ensure_ascii=False, sort_keys=True),
            event.text,
            event.happened_on,
            event.said_on,
            json.dumps(list(voids)),
        )
        columns = "turn, lawn, kind, body, text, happened_on, said_on, voids"
        query = f"INSERT INTO events ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
        seq = connection.execute(query, row).lastrowid
        return replace(event, seq=seq or 0, turn=turn, voids=voids)

    def close(self) -> None:
        if self._open is not None:
            self._open.close()
            self._open = None
            self._read.clear()

    def _rows(self, query: str, values: tuple[str | int, ...] = ()) -> list[tuple]:
        if self.closed or (self._open is None and not self.path.exists()):
            return []
        try:
            return self._connection().execute(query, values).fetchall()
        except sqlite3.DatabaseError as problem:
            raise self._damaged(problem) from problem

    def _connection(self) -> sqlite3.Connection:
        if self._open is None:
            opened = self._connect()
            version = opened.execute("PRAGMA user_version").fetchone()[0]
            if version > _VERSION:
                opened.close()
                raise self._trouble("was written by a newer ligule", "use that one; nothing was touched")
            self._open = self._brought_up(opened, version)
        return self._open

    def _brought_up(self, opened: sqlite3.Connection, version: int) -> sqlite3.Connection:
        """The record in today's form. What it was before stands among the copies; where none can be kept, it stays as it is."""
        while version in _NEXT and version < _VERSION:
            if keep_copy(self.path, opened, f"version-{version}") is None:
                raise self._trouble("is of an older ligule", "make room for a copy of it; nothing was touched")
            opened.executescript(f"BEGIN IMMEDIATE; {_NEXT[version]}; PRAGMA user_version = {version + 1}; COMMIT;")
            version += 1
        return opened

    def _copy_of_the_day(self, connection: sqlite3.Connection, day: str) -> None:
        """Before the first writing of a day the record as it stands is copied, where it holds anything."""
        if day != self._copied:
            self._copied = day
            if connection.execute("SELECT seq FROM events LIMIT 1").fetchone():
                keep_copy(self.path, connection, day)

    def _connect(self) -> sqlite3.Connection:
        """Opened for reading and writing; in a folder that may not be written, as it stands."""
        if os.access(self.path.parent, os.W_OK) and os.access(self.path, os.W_OK):
            return sqlite3.connect(self.path, timeout=30, isolation_level=None)
        still = "" if self.path.with_name(self.path.name + "-wal").exists() else "&immutable=1"
        return sqlite3.connect(f"{self.path.absolute().as_uri()}?mode=ro{still}", uri=True, isolation_level=None)

    def _writable(self) -> sqlite3.Connection:
        if self.closed:
            raise self._trouble("is left alone", "mend or move it first")
        if self._open is None and not self.path.exists():
            self._make()
        connection = self._connection()
        connection.execute("PRAGMA synchronous = FULL")
        return connection

    def _make(self) -> None:
        """A whole empty journal is made beside its place and linked there, so that two writers never meet half of one."""
        self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        made = self.path.with_name(f"{self.path.name}.{os.getpid()}")
        os.close(os.open(made, os.O_CREAT | os.O_RDWR, 0o600))
        try:
            with contextlib.closing(sqlite3.connect(made, isolation_level=None)) as new:
                new.execute("PRAGMA journal_mode = WAL")
                new.executescript(f"{_MAKE} PRAGMA user_version = {_VERSION};")
                new.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            with contextlib.suppress(FileExistsError):  # the other writer was first; its journal is as good
                os.link(made, self.path)
        finally:
            for left in self.path.parent.glob(made.name + "*"):
                left.unlink(missing_ok=True)

    def _damaged(self, problem: Exception) -> StoreError:
        """What is damaged is not touched; the newest good copy is offered beside it."""
        if isinstance(problem, sqlite3.OperationalError) and "table" not in str(problem):
            return self._trouble("could not be read", f"close what holds it, or see to its folder ({problem})")
        copy = newest_good(self.path)
        if copy is None:
            return self._trouble(
                "is damaged and was left as it is", "there is no good copy of it: put back one of your own"
            )
        return self._trouble(
            "is damaged and was left as it is", f"move it away and put its newest good copy in its place: {copy}"
        )

    def _trouble(self, what: str, do: str) -> StoreError:
        return StoreError(f"The record {self.path} {what}; {do}.")
