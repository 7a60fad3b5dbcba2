"""All lawns: what is due on each, its slack, what it has lost."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.listing import Listing
from assistant.skills.stages import Standing

_LOST_SHOWN = 3


class LawnsPage(Vertical):
    """A lawn an entry, the one due first on top; Enter or a click brings it into view."""

    DEFAULT_CSS = """
    LawnsPage { padding: 0 1; }
    LawnsPage > .head { height: 1; color: $primary; text-style: bold; }
    """

    class Picked(Message):
        """A lawn was chosen."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    def __init__(self, desk: Desk) -> None:
        super().__init__(id="lawns")
        self.desk = desk
        self.standings: tuple[Standing, ...] = ()

    def compose(self) -> ComposeResult:
        yield Static("", classes="head")
        yield Listing(id="lawn-list")

    def show(self) -> None:
        """Reads every lawn again."""
        self.standings = self.desk.standings()
        count = len(self.standings)
        late = sum(1 for one in self.standings if one.late)
        words = f"{count} lawn{'' if count == 1 else 's'} on record{f', {late} late' if late else ''}"
        self.query_one(".head", Static).update(Content(words if count else "No lawn is on record yet; F6 begins one."))
        listed = self.query_one(Listing)
        held = listed.highlighted
        listed.clear_options()
        listed.add_options([Option(_entry(one, one.name == self.desk.lawn)) for one in self.standings])
        if count:
            mine = next((n for n, one in enumerate(self.standings) if one.name == self.desk.lawn), 0)
            listed.highlighted = min(held, count - 1) if held is not None else mine

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(self.Picked(self.standings[event.option_index].name))


def _entry(one: Standing, in_view: bool) -> Content:
    """Two lines a lawn, and what it has lost."""
    style = "bold $error" if one.late else "$success"
    parts: list = [(f"{'>' if in_view else ' '} {one.name}", "bold"), f"  {one.known}\n"]
    if one.due:
        parts += ["    ", (f"{one.slack:<18}", style), f"{one.due}{', ' if one.when else ''}{one.when}"]
    else:
        parts.append(f"    {one.program}")
    if one.lost:
        named = ", ".join(words.partition(": ")[0] for words in one.lost[:_LOST_SHOWN])
        more = len(one.lost) - _LOST_SHOWN
        parts.append((f"\n    lost: {named}{f' and {more} more' if more > 0 else ''}", "$muted"))
    return Content.assemble(*parts)
