"""Pictures of the chat for the README, taken off the screen of the real program: `python -m tests.pictures`.

Each is a scene on a fixed day in an empty data folder. Nothing is drawn that was not on the screen; the SVG follows
the light or dark ground of the reader.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable
from itertools import groupby
from pathlib import Path
from xml.sax.saxutils import escape

from tests.asking import ligule
from tests.terminal import Screen, Terminal

FOLDER = Path(__file__).parent.parent / "transcripts_demo"
_WIDE, _HIGH, _EDGE = 8.4, 18, 14  # a cell, and the margin
_PIECE = re.compile(r"\S+(?: \S+)*")  # words with single blanks between them; wider gaps part two pieces
_STYLE = (
    "<style>svg{background:#fdfdfb}rect{fill:#fdfdfb}text{fill:#222;font:14px ui-monospace,Menlo,Consolas,monospace}"
    ".d{opacity:.6}.b{font-weight:700}.r{fill:#b3261e}"
    "@media (prefers-color-scheme:dark){svg{background:#16181a}rect{fill:#16181a}text{fill:#d8d8d4}.r{fill:#f2847c}}"
    "</style>"
)
TOLD = "the back is 4,200 sq ft of tall fescue\nback seeded sep 5 with the light liquid program\n"


def first(home: Path) -> Terminal:
    """Nobody has told anything yet."""
    chat = Terminal(home, rows=27, columns=84)
    chat.until("What are you at")
    chat.type("25 lb bag of 18-24-12 on 5,000 sq ft, how much N", "enter")
    chat.until("Says who")
    chat.type("how much seed for 3,000 sq ft of tall", "tab")
    chat.until("> how much seed for 3,000 sq ft of tall fescue")
    return chat


def verdict(home: Path) -> Terminal:
    """May I, in this weather; and what Tab offers."""
    chat = Terminal(home, rows=32, columns=84)
    chat.until("What are you at")
    chat.type("can I spray 2,4-D today, 88 and wind 6", "enter")
    chat.until("Says who")
    chat.type("when can I seed after pr", "tab")
    chat.until("prodiamine")
    return chat


def plan(home: Path) -> Terminal:
    """A lawn in its program, after the first feed."""
    ligule("chat", home=home, given=TOLD, today="2026-09-05")
    chat = Terminal(home, rows=40, columns=84)
    chat.until("- back lawn: first feed, 15 days late", "next: first feed")
    chat.type("put the first feed down on sep 6", "enter")
    chat.until("+ Back lawn", "next: second feed")
    chat.type("f5")
    chat.until("spring check, coming", "F1 keys")
    return chat


SCENES: dict[str, Callable[[Path], Terminal]] = {"chat_first": first, "chat_verdict": verdict, "chat_plan": plan}


def taken(scene: Callable[[Path], Terminal], name: str) -> str:
    """The scene as SVG."""
    with tempfile.TemporaryDirectory() as folder:
        chat = scene(Path(folder) / "home")
        chat.read(0.4)
        made = svg(chat.screen, name)
        chat.close()
    return made


def svg(screen: Screen, title: str) -> str:
    """The screen as it stands, cell by cell; a run of cells of one look is one piece of text."""
    rows = [number for number, line in enumerate(screen.display) if line.strip()]
    wide, high = screen.columns * _WIDE + 2 * _EDGE, (rows[-1] + 1) * _HIGH + 2 * _EDGE
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {high:.0f}" width="{wide:.0f}">',
        f"<title>{escape(title)}</title>{_STYLE}",
        f'<rect width="{wide:.0f}" height="{high:.0f}"/>',
    ]
    for number in rows:
        cells = [(place, screen.buffer[number][place]) for place in range(screen.columns)]
        for look, run in groupby(cells, key=lambda cell: (cell[1].bold, cell[1].blink, cell[1].fg == "red")):
            held = list(run)
            kind = " ".join(name for name, on in zip("bdr", look, strict=True) if on)
            said = f' class="{kind}"' if kind else ""
            for piece in _PIECE.finditer("".join(cell.data for _, cell in held)):
                left, words = held[0][0] + piece.start(), piece.group()
                at = f'x="{_EDGE + left * _WIDE:.1f}" y="{_EDGE + (number + 0.75) * _HIGH:.1f}"'
                parts.append(f'<text{said} {at} textLength="{len(words) * _WIDE:.1f}">{escape(words)}</text>')
    return "\n".join([*parts, "</svg>", ""])


if __name__ == "__main__":
    for name, scene in SCENES.items():
        (FOLDER / f"{name}.svg").write_text(taken(scene, name), encoding="utf-8")
        print(f"Written: transcripts_demo/{name}.svg")
