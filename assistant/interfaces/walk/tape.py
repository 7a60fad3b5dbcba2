"""The season as a tape measure: months as its marks, stages where they begin, and today."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from assistant.terms import short_month

if TYPE_CHECKING:
    from assistant.skills.stages import Stage


class Tape(Static):
    """Two lines: the tape with its months, and under it the stages by their numbers. A click picks the nearest stage."""

    DEFAULT_CSS = "Tape { height: 2; padding: 0 1; background: $surface; }"

    class Picked(Message):
        """A stage was pointed at."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._stages: tuple[Stage, ...] = ()
        self._today = date(2000, 1, 1)
        self._places: list[tuple[int, str]] = []

    def show(self, stages: tuple[Stage, ...], today: date) -> None:
        self._stages, self._today = stages, today
        self._draw()

    def on_resize(self) -> None:
        if self._today.year > 2000:
            self._draw()

    def on_click(self, event: events.Click) -> None:
        if self._places:
            place = event.x - 1
            self.post_message(self.Picked(min(self._places, key=lambda one: abs(one[0] - place))[1]))

    def _draw(self) -> None:
        width = max(20, self.size.width - 2)
        dated = [(n, stage) for n, stage in enumerate(self._stages, 1) if stage.day]
        days = [stage.day for _, stage in dated if stage.day] + [self._today]
        first, last = min(days) - timedelta(days=3), max(days) + timedelta(days=10)

        def place(day: date) -> int:
            return min(width - 1, (day - first).days * (width - 1) // max(1, (last - first).days))

        self.update(
            Content.assemble((_months(first, last, width, place), "$primary"), "\n", self._marks(dated, width, place))
        )

    def _marks(self, dated: list[tuple[int, Stage]], width: int, place: Callable[[date], int]) -> Content:
        """The numbers of the stages, each where it begins or as near as there is room, and `^` for today."""
        row = [" "] * width
        styles: dict[int, str] = {}
        self._places = []
        now = place(self._today)
        row[now], styles[now] = "^", "bold $accent"
        for number, stage in dated:
            words, at = str(number), place(stage.day or self._today)
            while at + len(words) < width and any(mark != " " for mark in row[max(0, at - 1) : at + len(words) + 1]):
                at += 1
            if at + len(words) > width or any(mark != " " for mark in row[at : at + len(words)]):
                continue
            row[at : at + len(words)] = words
            self._places.append((at, stage.key))
            for each in range(at, at + len(words)):
                styles[each] = STYLES.get(stage.state, "")
        return Content.assemble(*((mark, styles.get(n, "")) for n, mark in enumerate(row)))


STYLES = {"done": "$success", "late": "bold $error", "due": "bold $warning", "on": "$warning", "dropped": "$muted"}


def _months(first: date, last: date, width: int, place: Callable[[date], int]) -> str:
    """The edge of the tape: a tick every few columns, a name where a month begins."""
    row = ["'" if n % 5 == 0 else "." for n in range(width)]
    month = date(first.year, first.month, 1)
    while month <= last:
        at = place(max(month, first))
        if at + 4 <= width and (month > first or first.day < 25):
            row[at : at + 4] = f"|{short_month(month)}"
        month = (month + timedelta(days=32)).replace(day=1)
    return "".join(row)
