"""A line that can be pressed, and a thing that can be ticked: by Enter, by the space bar and by the mouse."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widgets import Static


class Press(Static, can_focus=True):
    """A few words that send a line, or put it into the question line to be finished there."""

    DEFAULT_CSS = """
    Press { width: auto; height: 1; margin: 0 1 0 0; color: $accent; }
    Press:focus { background: $accent; color: $background; text-style: bold; }
    Press:hover { text-style: underline; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,space", "press", show=False)]

    class Pressed(Message):
        """`line` is sent, or, where it is not whole, put into the question line."""

        def __init__(self, line: str, whole: bool, name: str) -> None:
            super().__init__()
            self.line = line
            self.whole = whole
            self.name = name

    def __init__(self, words: str, line: str = "", whole: bool = True, name: str = "", id: str | None = None) -> None:
        super().__init__(Content(f"({words})"), id=id, name=name or words)
        self.line = line
        self.whole = whole

    def action_press(self) -> None:
        self.post_message(self.Pressed(self.line, self.whole, self.name or ""))

    def on_click(self) -> None:
        self.action_press()


class Tick(Static, can_focus=True):
    """One thing of a checklist."""

    DEFAULT_CSS = """
    Tick { width: 1fr; height: auto; }
    Tick:focus { background: $panel; text-style: bold; }
    Tick:hover { text-style: underline; }
    Tick.-ticked { color: $success; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,space", "turn", show=False)]

    class Turned(Message):
        """It was ticked off, or not any more."""

        def __init__(self, words: str, ticked: bool) -> None:
            super().__init__()
            self.words = words
            self.ticked = ticked

    def __init__(self, words: str, ticked: bool, id: str | None = None) -> None:
        super().__init__(Content(f"{'[x]' if ticked else '[ ]'} {words}"), id=id, classes="-ticked" if ticked else "")
        self.words = words
        self.ticked = ticked

    def action_turn(self) -> None:
        self.post_message(self.Turned(self.words, not self.ticked))

    def on_click(self) -> None:
        self.action_turn()
