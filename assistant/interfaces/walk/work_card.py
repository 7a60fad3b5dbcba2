"""A small calculator on the stage: its holes, what each begins with, and the result while a figure is typed."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.press import Press
from assistant.interfaces.walk.telling import Telling
from assistant.interfaces.walk.works import Hole, Result, Work, kept_lines, work_out


class Entry(Vertical):
    """One hole: its label, the figure, and beside it where the figure is from; what is wrong with it right under it."""

    DEFAULT_CSS = """
    Entry { height: auto; }
    Entry > .row { height: auto; }
    Entry .label { width: 12; color: $foreground; }
    Entry Input { width: 24; height: 1; background: $panel; }
    Entry Input:focus { background: $surface; color: $accent; text-style: underline; }
    Entry .beside { width: 1fr; height: 1; margin: 0 0 0 1; color: $muted; text-wrap: nowrap; text-overflow: ellipsis; }
    Entry > .under { display: none; height: auto; margin: 0 0 0 12; color: $primary; }
    Entry.-wrong > .under { display: block; color: $error; }
    Entry.-noted > .under { display: block; }
    """

    def __init__(self, hole: Hole, text: str, id: str) -> None:
        super().__init__()
        self.hole = hole
        self.text = text
        self.field_id = id

    def compose(self) -> ComposeResult:
        field = Input(
            self.text,
            placeholder=f"like {self.hole.like}" if self.hole.like else "",
            compact=True,
            id=self.field_id,
            select_on_focus=True,
        )
        field.cursor_blink = False
        with Horizontal(classes="row"):
            yield Static(Content(self.hole.label), classes="label")
            yield field
            yield Static("", classes="beside")
        yield Static("", classes="under")

    def beside(self, words: str, wrong: str = "", note: str = "") -> None:
        """What stands beside the figure, and under it the sentence that says what is wrong with it, or what helps."""
        self.query_one(".beside", Static).update(Content("" if wrong else words))
        self.query_one(".under", Static).update(Content(wrong or note))
        self.set_class(bool(wrong), "-wrong")
        self.set_class(bool(note), "-noted")


class Fold(Static, can_focus=True):
    """The one line of a calculator that is folded: its title and its result. Pressed, it opens or closes."""

    DEFAULT_CSS = """
    Fold { height: auto; color: $foreground; }
    Fold:focus { background: $panel; text-style: bold; }
    Fold:hover { text-style: underline; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,space", "turn", show=False)]

    class Turned(Message):
        """It is to be opened, or closed."""

    def action_turn(self) -> None:
        self.post_message(self.Turned())

    def on_click(self) -> None:
        self.action_turn()


class WorkCard(Vertical):
    """A calculator. It works through the desk at each key; its result is kept or dropped when that is pressed."""

    DEFAULT_CSS = """
    WorkCard { height: auto; }
    WorkCard.-open { margin: 0 0 1 0; }
    WorkCard .entries { height: auto; padding: 0 0 0 2; }
    WorkCard .result { padding: 0 0 0 2; }
    WorkCard .presses { height: 1; padding: 0 0 0 2; }
    """

    class Kept(Message):
        """The result goes on the record, by these lines."""

        def __init__(self, lines: list[str]) -> None:
            super().__init__()
            self.lines = lines

    def __init__(self, work: Work, desk: Desk, place: tuple[str, ...], keeps: bool = True) -> None:
        super().__init__(id=f"work-{work.key.replace('.', '-')}")
        self.work = work
        self.desk = desk
        self.place = (*place, work.key)
        self.keeps = keeps
        self.result = Result()

    @property
    def unfolded(self) -> bool:
        """Whether its figures stand open."""
        return self.place in self.desk.unfolded

    def compose(self) -> ComposeResult:
        self.set_class(self.unfolded, "-open")
        yield Fold("", id=f"{self.id}-fold")
        if not self.unfolded:
            return
        with Vertical(classes="entries"):
            for hole in self.work.holes:
                yield Entry(hole, self._text(hole), f"{self.id}-{hole.name}")
        yield Telling(classes="result")
        with Horizontal(classes="presses"):
            if self.keeps:
                yield Press("keep", id=f"{self.id}-keep", name="keep")
            yield Press("as before", id=f"{self.id}-drop", name="drop")

    @on(Fold.Turned)
    async def turn(self, event: Fold.Turned | None = None) -> None:
        """Opens it, the keyboard in its first figure; or closes it."""
        if event is not None:
            event.stop()
        self.desk.unfolded ^= {self.place}
        await self.recompose()
        self.work_it()
        self.query_one(Input if self.unfolded else Fold).focus()

    @property
    def values(self) -> dict[str, str]:
        """What stands in the holes."""
        return {hole.name: self._text(hole) for hole in self.work.holes}

    def work_it(self) -> None:
        """Works it out and shows it."""
        self.result = work_out(self.desk, self.work, self.values)
        answer = self.result.answer
        self.query_one(Fold).update(Content.assemble(self._title(), *self._shortly()))
        if not self.unfolded:
            return
        for entry in self.query(Entry):
            hole, text = entry.hole, self._text(entry.hole)
            mine = "yours" if text and text != hole.start else hole.origin if text else _to_fill(hole)
            entry.beside(mine, self.result.wrong.get(hole.name, ""))
        self.query_one(Telling).tell(answer)
        touched = any(self._text(hole) != hole.start for hole in self.work.holes)
        self.query_one(f"#{self.id}-drop").display = touched
        if self.keeps:
            self.query_one(f"#{self.id}-keep").display = bool(self.result.line)

    def _title(self) -> str:
        """The mark of the fold, and the title; a question of the weather has none of its own."""
        return f"- {self.work.title or 'as you see it'}" if self.unfolded else f"+ {self.work.title}"

    def _shortly(self) -> list[tuple[str, str]]:
        """The result in the line of its title, where the figures are folded away."""
        if self.unfolded:
            return []
        if self.result.answer is not None:
            return [(": " if self.work.title else "", ""), (self.result.answer.headline, "bold")]
        labels = [hole.label for hole in self.work.holes if hole.name in (*self.result.wrong, *self.result.open)]
        return [(f": give {', '.join(labels)}", "$muted")]

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        name = (event.input.id or "").removeprefix(f"{self.id}-")
        hole = next(one for one in self.work.holes if one.name == name)
        if event.value == self._text(hole):
            return
        self.desk.drafts[(*self.place, name)] = event.value
        self.work_it()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self.screen.focus_next()

    @on(Press.Pressed)
    def _pressed(self, event: Press.Pressed) -> None:
        event.stop()
        if event.name == "keep" and self.result.answer is not None:
            lines = kept_lines(self.work, self.values, self.result.answer)
            self._forget()
            self.post_message(self.Kept(lines))
        elif event.name == "drop":
            self._forget()
            for hole in self.work.holes:
                with self.prevent(Input.Changed):
                    self.query_one(f"#{self.id}-{hole.name}", Input).value = hole.start
            self.work_it()
            self.query(Input).first().focus()

    def _forget(self) -> None:
        for hole in self.work.holes:
            self.desk.drafts.pop((*self.place, hole.name), None)

    def _text(self, hole: Hole) -> str:
        return self.desk.drafts.get((*self.place, hole.name), hole.start)


def _to_fill(hole: Hole) -> str:
    return "if known" if hole.says else "to fill in"
