"""A list that scrolls in the colours of the page."""

from __future__ import annotations

from textual.widgets import OptionList


class Listing(OptionList):
    """Entries of several lines; only those in view are drawn."""

    DEFAULT_CSS = """
    Listing { height: 1fr; min-width: 12; border: none; background: $background; padding: 0; }
    Listing:focus { border: none; background-tint: $background 0%; }
    Listing > .option-list--option { padding: 0; }
    Listing > .option-list--option-highlighted { background: $panel; }
    Listing:focus > .option-list--option-highlighted { background: $panel; color: $accent; }
    """

    def action_page_down(self) -> None:
        self._paged(down=True)

    def action_page_up(self) -> None:
        self._paged(down=False)

    def _paged(self, down: bool) -> None:
        """A list that is squeezed to nothing has no page to turn, and the one underneath falls over that."""
        if self.size.height and (self.highlighted is None or self.highlighted in self._index_to_line):
            super().action_page_down() if down else super().action_page_up()
