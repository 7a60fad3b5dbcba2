"""Every key and what can be typed instead, out of the table of actions."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from assistant.interfaces.walk.actions import ACTIONS, key_words

_MORE = (
    "Tab and Shift+Tab go from part to part; Enter or the space bar presses what is marked; the mouse does all of it too.",
    "What is typed on a page without a field goes into the question line.",
    "Page up and page down turn the page, up and down in the question line bring back what was said.",
    "Anything that ligule chat takes can be typed into the question line: it is the same talk and the same record.",
    "A figure that is typed into a calculator is tried at once and kept only where you press keep.",
    "go stage 7, go lawn NAME and go copy FILE work as well; the last writes the talk on the screen to a file.",
)


class HelpScreen(ModalScreen[None]):
    """A sheet over the page; any of Esc, Enter or F1 puts it away."""

    DEFAULT_CSS = """
    HelpScreen { align: center middle; }
    HelpScreen > VerticalScroll { width: 76; max-width: 96%; height: auto; max-height: 96%; background: $surface; padding: 1 2;
      border: none; }
    HelpScreen Static { height: auto; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,enter,f1,q", "dismiss(None)", show=False)]

    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(_words())


def _words() -> Content:
    parts: list = [("keys, and what can be typed instead\n\n", "bold $accent")]
    for action in ACTIONS:
        parts += [
            (f"{key_words(action.key):<5}", "bold $primary"),
            (f"{action.typed:<11}", "$success"),
            f"{action.words}\n",
        ]
    parts += [f"\n{line}" for line in _MORE]
    return Content.assemble(*parts)
