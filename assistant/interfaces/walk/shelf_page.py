"""The shelf and the list of what to buy, as the skills tell them."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll

from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.press import Press
from assistant.interfaces.walk.stage_page import Heading
from assistant.interfaces.walk.telling import Telling

_PARTS = (
    ("on the shelf", "shelf", "what's on the shelf"),
    ("to buy for this lawn", "buy", "shopping list"),
    ("to load this week, all lawns", "load", "what's due this week"),
)


class ShelfPage(VerticalScroll):
    """Three answers one under the other, and the beginnings of lines that change them."""

    DEFAULT_CSS = """
    ShelfPage { padding: 0 1; scrollbar-size-vertical: 1; }
    ShelfPage .presses { height: auto; min-height: 1; margin: 0; }
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__(id="shelf")
        self.can_focus = False
        self.desk = desk

    def compose(self) -> ComposeResult:
        for title, name, _ in _PARTS:
            yield Heading(title)
            yield Telling(id=f"shelf-{name}")
            with Horizontal(classes="presses"):
                if name == "shelf":
                    yield Press("counted", "i have ", whole=False, id="shelf-have")
                    yield Press("bought", "bought ", whole=False, id="shelf-bought")
                    yield Press("label", "my granular starter is ", whole=False, id="shelf-label")
                    yield Press("sprayer", "my backpack holds ", whole=False, id="shelf-sprayer")

    def show(self) -> None:
        """Asks the three questions again."""
        for _, name, line in _PARTS:
            _, answer = self.desk.try_out(line)[-1]
            self.query_one(f"#shelf-{name}", Telling).tell(answer)
