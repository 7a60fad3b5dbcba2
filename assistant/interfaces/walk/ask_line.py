"""The question line: always there, with the lines said before under the up key."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.message import Message
from textual.widgets import Input


class AskLine(Input):
    """One line to ask or tell anything in. Enter says it; up and down bring earlier lines back."""

    DEFAULT_CSS = """
    AskLine { height: 1; border: none; padding: 0; background: $panel; }
    AskLine:focus { border: none; background: $panel; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "earlier_line", show=False),
        Binding("down", "later_line", show=False),
    ]

    class Said(Message):
        """A line was said."""

        def __init__(self, line: str) -> None:
            super().__init__()
            self.line = line

    def __init__(self, id: str | None = None) -> None:
        super().__init__(
            placeholder="anything: how much seed, put 46 lb down today, it's up",
            id=id,
            compact=True,
            select_on_focus=False,
        )
        self.cursor_blink = False
        self.lines: list[str] = []
        self._place = 0

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        line = self.value.strip()
        if not line:
            return
        if not self.lines or self.lines[-1] != line:
            self.lines.append(line)
        self._place = len(self.lines)
        self.value = ""
        self.post_message(self.Said(line))

    def action_earlier_line(self) -> None:
        self._turn_to(self._place - 1)

    def action_later_line(self) -> None:
        self._turn_to(self._place + 1)

    def begin(self, line: str) -> None:
        """Puts the beginning of a line in, to be finished by hand."""
        self.value = line
        self.cursor_position = len(line)
        self.screen.set_focus(self)  # at once: the next key is typed into it already

    def _turn_to(self, place: int) -> None:
        if 0 <= place <= len(self.lines) and self.lines:
            self._place = place
            self.value = self.lines[place] if place < len(self.lines) else ""
            self.cursor_position = len(self.value)
