"""The stages of a lawn down the side, each with how it stands."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from assistant.interfaces.walk.listing import Listing
from assistant.interfaces.walk.tape import STYLES

if TYPE_CHECKING:
    from assistant.skills.stages import Stage

_MARKS = {"done": "x", "late": "!", "due": ">", "on": "~", "coming": " ", "open": " ", "dropped": "-"}


class StageList(Listing):
    """Stages by number; Enter or a click brings one up."""

    DEFAULT_CSS = """
    StageList { width: 29; height: 1fr; border: none; background: $background; padding: 0; scrollbar-size-vertical: 1; }
    StageList > .option-list--option { padding: 0; text-wrap: nowrap; text-overflow: clip; }
    StageList > .option-list--option-highlighted { background: $panel; text-style: bold; }
    StageList:focus > .option-list--option-highlighted { background: $accent; color: $background; }
    """

    class Picked(Message):
        """A stage was chosen."""

        def __init__(self, key: str) -> None:
            super().__init__()
            self.key = key

    def entitle(self, titles: list[str]) -> None:
        """The titles alone, before the record is read."""
        self.add_options([Option(f"  {n:>2} {title}"[:20]) for n, title in enumerate(titles, 1)])

    def show(self, stages: tuple[Stage, ...], key: str) -> None:
        """Draws the stages anew; the one in view is marked."""
        shown = [(stage.key, _line(n, stage)) for n, stage in enumerate(stages, 1)]
        keys = [option.id for option in self._options]
        if keys == [each for each, _ in shown]:
            for each, line in shown:
                self.replace_option_prompt(each, line)
        else:
            self.clear_options()
            self.add_options([Option(line, id=each) for each, line in shown])
        place = next((n for n, (each, _) in enumerate(shown) if each == key), None)
        if place is not None and self.highlighted != place:
            with self.prevent(OptionList.OptionHighlighted):
                self.highlighted = place

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option.id:
            self.post_message(self.Picked(event.option.id))


def _line(number: int, stage: Stage) -> Content:
    """`> 3 soil test        Aug 15`."""
    style = STYLES.get(stage.state, "")
    return Content.assemble(
        (f"{_MARKS[stage.state]}", style), f"{number:>2} {stage.title:<16.16} ", (f"{_stands(stage):>6}", style)
    )


def _stands(stage: Stage) -> str:
    """How a stage stands in six letters: done, lost, so many days late, or the day that counts next."""
    if stage.state in ("done", "open"):
        return "done" if stage.state == "done" else ""
    if stage.state == "dropped":
        return "lost"
    if stage.late:
        return f"{stage.late}d late" if stage.late < 10 else f"{stage.late}d+"
    day = stage.day if stage.state == "coming" else stage.by
    return short_day(day) if day else ""


def short_day(day: date) -> str:
    """`Sep 12`."""
    return f"{('Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec')[day.month - 1]} {day.day}"
