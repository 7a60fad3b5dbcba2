"""What was asked before, lawn by lawn: one file in the data folder that only its owner reads."""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator
from pathlib import Path

from prompt_toolkit.history import History

FILE = "asked.jsonl"
_KEPT = 2_000  # lines that stay when the file is made shorter
_MOST = 4_000


class Asked(History):
    """The lines of this run, and before them those that were said on the lawn in hand or on no lawn."""

    def __init__(self, home: Path) -> None:
        super().__init__()
        self.path = home / FILE
        self.lawn = ""
        self._earlier = self._read()
        self._now: list[tuple[str, str]] = []

    def about(self, lawn: str) -> bool:
        """The lawn in hand, whose lines are looked through; True where it is another one than before."""
        if lawn == self.lawn:
            return False
        self.lawn = lawn
        self._loaded = False
        return True

    def load_history_strings(self) -> Iterator[str]:
        """Newest first, each once."""
        seen: set[str] = set()
        earlier = [said for lawn, said in self._earlier if lawn in ("", self.lawn)]
        for said in reversed([*earlier, *(said for _, said in self._now)]):
            if said not in seen:
                seen.add(said)
                yield said

    def put(self, said: str, keep: bool = True) -> None:
        """Takes a line in; one that was dropped is kept for this run only."""
        if not said.strip():
            return
        self._now.append((self.lawn, said))
        self._loaded = False
        if keep:
            self._write(said)

    def append_string(self, string: str) -> None:
        """The prompt keeps nothing by itself: the talk says what is kept, one question at a time."""

    def store_string(self, string: str) -> None:
        """Never called; what is kept goes through `put`."""

    def _read(self) -> list[tuple[str, str]]:
        try:
            lines = self.path.read_text(encoding="utf-8", errors="replace").splitlines()
        except OSError:
            return []
        found = [pair for line in lines if (pair := _pair(line))]
        if len(lines) > _MOST:
            self._shorten(lines[-_KEPT:])
        return found

    def _shorten(self, lines: list[str]) -> None:
        made = self.path.with_name(f"{FILE}.{os.getpid()}")
        with contextlib.suppress(OSError):
            with open(os.open(made, os.O_CREAT | os.O_WRONLY | os.O_TRUNC, 0o600), "w", encoding="utf-8") as out:
                out.write("\n".join(lines) + "\n")
            made.replace(self.path)

    def _write(self, said: str) -> None:
        """One line at the end of the file; a folder that cannot be written costs only the history."""
        with contextlib.suppress(OSError):
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            line = json.dumps({"lawn": self.lawn, "said": said}) + "\n"
            with open(os.open(self.path, os.O_CREAT | os.O_APPEND | os.O_WRONLY, 0o600), "a", encoding="ascii") as out:
                out.write(line)


def _pair(line: str) -> tuple[str, str] | None:
    try:
        data = json.loads(line)
        return str(data["lawn"]), str(data["said"])
    except (ValueError, TypeError, KeyError):
        return None  # half a line, or somebody else's
