"""Copies of the record beside it: one before the first writing of a day, the newest few kept.

They are made by SQLite's own backup, so that another writer at the same moment does no harm.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from pathlib import Path

KEPT = 7  # copies that stay; older ones go


def keep_copy(record: Path, connection: sqlite3.Connection, name: str) -> Path | None:
    """A copy of the record under the name of a day, or of a version, unless there is one. None where none could be made: that
    the day's copy is missing must not keep anybody from writing."""
    target = _folder(record) / f"{record.stem}-{name}.sqlite"
    if target.exists():
        return target
    made = target.with_name(f"{target.name}.{os.getpid()}")
    try:
        target.parent.mkdir(mode=0o700, exist_ok=True)
        os.close(os.open(made, os.O_CREAT | os.O_RDWR, 0o600))
        try:
            with contextlib.closing(sqlite3.connect(made)) as copy:
                connection.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")  # one file, to be moved as one
            made.replace(target)
        finally:
            for left in target.parent.glob(made.name + "*"):
                left.unlink(missing_ok=True)
        for old in copies_of(record)[KEPT:]:
            old.unlink(missing_ok=True)
    except (OSError, sqlite3.Error):
        return None
    return target


def copies_of(record: Path) -> list[Path]:
    """The copies of a record, the newest first."""
    return sorted(_folder(record).glob(f"{record.stem}-*.sqlite"), key=lambda one: one.name, reverse=True)


def newest_good(record: Path) -> Path | None:
    """The newest copy that is whole."""
    return next((copy for copy in copies_of(record) if is_whole(copy)), None)


def is_whole(file: Path) -> bool:
    """True for a database that SQLite finds no fault with, and that holds events."""
    try:
        with contextlib.closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro", uri=True)) as opened:
            found = opened.execute("PRAGMA integrity_check").fetchone()[0]
            opened.execute("SELECT seq FROM events LIMIT 1").fetchone()
    except sqlite3.Error:
        return False
    return bool(found == "ok")


def _folder(record: Path) -> Path:
    return record.parent / "copies"
