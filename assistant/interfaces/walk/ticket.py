"""The head of a job ticket: whose lawn it is, what is known of it, and which day of the work today is."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static


class Ticket(Static):
    """One line: the lawn, its facts, and the day on the right."""

    DEFAULT_CSS = "Ticket { height: 1; background: $panel; color: $foreground; padding: 0 1; }"

    def tell(self, lawn: str, facts: str, day: str) -> None:
        """Shows another lawn, or another day."""
        self._told = (lawn, facts, day)
        self._draw()

    def on_resize(self) -> None:
        if hasattr(self, "_told"):
            self._draw()

    def _draw(self) -> None:
        lawn, facts, day = self._told
        width = max(self.size.width, 20)
        left = Content.assemble((lawn, "bold $accent"), f"  {facts}" if facts else "")
        room = width - len(day) - 2
        left = left.truncate(room, ellipsis=True) if left.cell_length > room else left
        self.update(Content.assemble(left, " " * max(1, width - left.cell_length - len(day)), (day, "$primary")))
