"""What was asked and answered, beside the stage: the newest on top, as the question line gave it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.interfaces.walk.press import Press

if TYPE_CHECKING:
    from assistant.answer import Answer

_KEPT = 20  # answers that stay in reach


class Said(Vertical):
    """One line and its answers; choices that are offered can be pressed."""

    DEFAULT_CSS = """
    Said { height: auto; padding: 0 1; }
    Said > .line { color: $accent; }
    Said > Static { height: auto; }
    Said > Press { width: 1fr; height: auto; margin: 0; }
    Said.-past > Press { display: none; }
    """

    def __init__(self, line: str, answers: list[Answer], numbered: bool) -> None:
        super().__init__()
        self.line = line
        self.answers = answers
        self.numbered = numbered

    def compose(self) -> ComposeResult:
        from assistant.interfaces.walk.telling import Telling

        if self.line:
            yield Static(Content(f"> {self.line}"), classes="line")
        for answer in self.answers:
            yield Telling(answer)
            choices = answer.choices or (answer.asks.choices if answer.asks else ())
            for place, choice in enumerate(choices, 1):
                if self.numbered:
                    yield Press(f"{place}  {choice}", str(place), name=str(place))
                else:
                    yield Press(
                        f"{place}  {choice}", choice.rpartition("for example: ")[2], whole=False, name=str(place)
                    )


class Answers(VerticalScroll, can_focus=False):
    """The talk so far. Away while nothing was asked."""

    DEFAULT_CSS = "Answers { display: none; height: auto; background: $surface; } Answers.-told { display: block; }"

    def tell(self, line: str, answers: list[Answer], numbered: bool = False) -> None:
        """Puts a line and its answers on top; `numbered` says that a choice is taken by its number."""
        said = list(self.query(Said))
        for old in said:  # a choice holds for the newest question alone
            old.add_class("-past")
        for old in said[_KEPT - 1 :]:
            old.remove()
        self.mount(Said(line, answers, numbered), before=0 if said else None)
        self.add_class("-told")
        self.scroll_home(animate=False)

    def hush(self) -> None:
        """Puts the talk away."""
        self.remove_children()
        self.remove_class("-told")
