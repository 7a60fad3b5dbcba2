"""ligule on a terminal of our own: a real pseudo-terminal, and pyte as the screen behind it."""

from __future__ import annotations

import ctypes
import os
import sys
import time
from pathlib import Path

import pexpect
import pyte
import pytest

KEYS = {
    "up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "tab": "\t", "enter": "\r", "escape": "\x1b",
    "f1": "\x1bOP", "f2": "\x1bOQ", "f4": "\x1bOS", "f5": "\x1b[15~", "f6": "\x1b[17~",
    "ctrl-c": "\x03", "ctrl-d": "\x04", "ctrl-r": "\x12",
}  # fmt: skip


keeps_to_permissions = pytest.mark.skipif(
    sys.platform != "linux" and (not hasattr(os, "geteuid") or os.geteuid() == 0),
    reason="root keeps to permissions by a call of Linux; elsewhere it is asked of a plain user",
)


def keep_to_permissions() -> None:
    """What root is before it starts a program: without the leave to write where permissions say no."""
    if os.geteuid() == 0 and sys.platform == "linux":
        for leave in (1, 2):  # CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH
            assert ctypes.CDLL(None).prctl(24, leave, 0, 0, 0) == 0  # PR_CAPBSET_DROP


class Screen(pyte.HistoryScreen):
    """pyte knows no dim; it is kept where blinking would be, which ligule never does."""

    def select_graphic_rendition(self, *attributes: int, **options: object) -> None:
        super().select_graphic_rendition(*(5 if one == 2 else one for one in attributes), **options)


class Terminal:
    """One run of ligule. `seen` is every byte that it wrote; `text` is what stands on the screen."""

    def __init__(self, home: Path, *arguments: str, columns: int = 80, rows: int = 24, today: str = "2026-09-20",
                 drop: tuple[str, ...] = (), **env: str) -> None:  # fmt: skip
        held = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "LC_ALL", "LANG", *drop)}
        held |= {"TERM": "xterm", "LANG": "C.UTF-8", **env}
        self.screen = Screen(columns, rows, history=2000)
        self.stream = pyte.ByteStream(self.screen)
        self.seen = b""
        call = ["-m", "assistant", "--home", str(home), "--today", today, *arguments]
        self.child = pexpect.spawn(
            sys.executable,
            call,
            env={k: v for k, v in held.items() if v is not None},
            dimensions=(rows, columns),
            preexec_fn=keep_to_permissions,
        )
        self.child.delaybeforesend = None

    @property
    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.screen.display)

    @property
    def scrolled(self) -> str:
        """What has gone off the top, and what stands on the screen."""
        gone = ["".join(row[place].data for place in range(self.screen.columns)) for row in self.screen.history.top]
        return "\n".join(line.rstrip() for line in gone) + "\n" + self.text

    def read(self, seconds: float = 0.05) -> None:
        """Takes in what was written within so many seconds."""
        end = time.monotonic() + seconds
        while True:
            try:
                data = self.child.read_nonblocking(65536, timeout=max(end - time.monotonic(), 0.005))
            except pexpect.TIMEOUT:
                return
            except pexpect.EOF:
                return
            self.seen += data
            self.stream.feed(data)
            if time.monotonic() > end:
                return

    def until(self, *words: str, seconds: float = 10, scrolled: bool = False) -> None:
        """Waits until all these words stand on the screen."""
        end = time.monotonic() + seconds
        while True:
            shown = self.scrolled if scrolled else self.text
            missing = [one for one in words if one not in shown]
            if not missing:
                return
            assert time.monotonic() < end, f"never shown: {missing}\n{shown}"
            self.read(0.03)

    def gone(self, words: str, seconds: float = 10) -> None:
        end = time.monotonic() + seconds
        while words in self.text:
            assert time.monotonic() < end, f"still there: {words}\n{self.text}"
            self.read(0.03)

    def type(self, *words: str) -> None:
        """Words as they are, keys by name: type("help", "enter")."""
        self.child.send("".join(KEYS.get(one, one) for one in words))

    def paste(self, text: str) -> None:
        self.child.send(f"\x1b[200~{text}\x1b[201~")

    def resize(self, columns: int, rows: int = 24) -> None:
        self.screen.resize(rows, columns)
        self.child.setwinsize(rows, columns)

    def ended(self, seconds: float = 10) -> int:
        """Waits for the end; gives the exit code."""
        end = time.monotonic() + seconds
        while self.child.isalive():
            assert time.monotonic() < end, f"still running\n{self.text}"
            self.read(0.03)
        self.read(0.03)
        self.child.close()
        return self.child.exitstatus if self.child.exitstatus is not None else -(self.child.signalstatus or 0)

    def close(self) -> None:
        self.child.close(force=True)
