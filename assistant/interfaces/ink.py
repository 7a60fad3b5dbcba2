"""Rows of words onto a terminal: bold, dim, and red where colours are wanted; every mark of text made safe first.

Only the terminal's own colours are used, so that an answer reads on light and on dark ground alike, and red stands
beside a word that says the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from assistant.interfaces.printing import safe

PLAIN, STRONG, QUIET, ALARM = "", "strong", "quiet", "alarm"
WIDEST = 91  # columns beyond which a row is hard to follow
Row = tuple[tuple[str, str], ...]  # (ink, words) from left to right
_CODES = {STRONG: "1", QUIET: "2", ALARM: "1;31"}
_UNCOLOURED = {**_CODES, ALARM: "1"}


@dataclass(frozen=True, slots=True)
class Paper:
    """What a terminal can show; found out by the command line, never here."""

    size: Callable[[], tuple[int, int]] = lambda: (80, 24)  # columns and rows, as they are now
    colour: bool = True
    unicode: bool = True

    def painted(self, row: Row) -> str:
        """The row as it is written to the terminal."""
        codes = _CODES if self.colour else _UNCOLOURED
        made = []
        for ink, words in row:
            words = safe(words, self.unicode)
            made.append(f"\x1b[{codes[ink]}m{words}\x1b[0m" if ink and words.strip() else words)
        return "".join(made).rstrip()


def wide(words: str) -> int:
    """The columns that words take; a mark of the Far East takes two."""
    from prompt_toolkit.utils import get_cwidth

    return len(words) if words.isascii() else get_cwidth(words)


def wrapped(words: str, width: int) -> list[str]:
    """Words broken at blanks, and inside a word only where it is longer than the row."""
    rows: list[str] = []
    line = ""
    for word in _pieces(words, width):
        joined = f"{line} {word}" if line else word
        if line and wide(joined) > width:
            rows.append(line)
            line = word
        else:
            line = joined
    return [*rows, line] if line or not rows else rows


def _pieces(words: str, width: int) -> Iterator[str]:
    for word in words.split():
        while wide(word) > width:
            cut = next(n for n in range(len(word), 0, -1) if wide(word[:n]) <= max(width, 2))
            yield word[:cut]
            word = word[cut:]
        if word:
            yield word


def paragraph(
    words: str, width: int, ink: str = PLAIN, mark: str = "", hang: int = 0, mark_ink: str = PLAIN
) -> list[Row]:
    """Words under a margin of two columns that holds the mark; further rows hang in by `hang`."""
    room = max(width - 2 - hang, 8)
    first, *rest = wrapped(words, max(width - 2, 8)) or [""]
    if rest:
        rest = wrapped(" ".join(words.split())[len(first) :], room)
    rows: list[Row] = [((mark_ink, f"{mark:<2}"), (ink, first))]
    return rows + [((PLAIN, "  " + " " * hang), (ink, one)) for one in rest]


def columns(rows: Iterable[tuple[str, str]], width: int, left_ink: str = PLAIN, ink: str = PLAIN) -> list[Row]:
    """Two columns, the right one wrapped under itself."""
    held = list(rows)
    left = max(wide(head) for head, _ in held)
    made: list[Row] = []
    for head, words in held:
        first, *rest = wrapped(words, max(width - left - 4, 12)) or [""]
        made.append(((PLAIN, "  "), (left_ink, head + " " * (left - wide(head))), (ink, "  " + first)))
        made += [((PLAIN, " " * (left + 4)), (ink, one)) for one in rest]
    return made
