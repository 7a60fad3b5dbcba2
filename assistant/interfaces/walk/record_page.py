"""The record of the lawn in view: every entry as it was told, the newest on top, what was taken back struck out."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Static
from textual.widgets.option_list import Option

from assistant.answer import describe
from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.listing import Listing
from assistant.interfaces.walk.press import Press
from assistant.lawn.events import NOTE, UNDONE, Event


class RecordPage(Vertical):
    """The journal. The last thing told can be taken back."""

    DEFAULT_CSS = """
    RecordPage { padding: 0 1; }
    RecordPage > .head { height: 1; color: $primary; text-style: bold; }
    RecordPage > .presses { height: 1; }
    """

    class TakeBack(Message):
        """The last thing told of the lawn is to be taken back."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(id="record")
        self.desk = desk

    def compose(self) -> ComposeResult:
        yield Static("", classes="head")
        with Horizontal(classes="presses"):
            yield Press("take back the last", name="undo", id="record-undo")
            yield Press("note", "note: ", whole=False, id="record-note")
        yield Listing(id="record-list")

    def show(self) -> None:
        """Reads the journal of the lawn again."""
        look = self.desk.session.look(self.desk.lawn)
        events = look.events(self.desk.lawn)
        live = {event.seq for event in look.lawn.live} if look.lawn else set()
        count = f"{len(live)} of {len(events)} entries stand"
        self.query_one(".head", Static).update(Content(f"{self.desk.lawn or 'no lawn'}: {count}, newest on top"))
        listed = self.query_one(Listing)
        held = listed.highlighted
        listed.clear_options()
        listed.add_options([Option(_entry(event, event.seq in live)) for event in reversed(events)])
        if events:
            listed.highlighted = min(held or 0, len(events) - 1)

    def on_press_pressed(self, event: Press.Pressed) -> None:
        if event.name == "undo":
            event.stop()
            self.post_message(self.TakeBack())


def _entry(event: Event, stands: bool) -> Content:
    """`2026-09-12  first feed done ...`, and how it was said."""
    words = describe(event).partition(": ")[2] if event.kind not in (NOTE, UNDONE) else ""
    said = "took back: " if event.kind == UNDONE else ""
    line = Content.assemble(
        (f"{event.happened_on}  ", "$primary"),
        words or f'{said}"{event.text}"',
        *([(f'  "{event.text}"', "$muted")] if words else []),
    )
    return line if stands or event.kind == UNDONE else line.stylize("strike $muted")
