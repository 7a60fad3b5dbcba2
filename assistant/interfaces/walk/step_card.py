"""One dated step of a stage: when, how far off, what goes down, why then; and the lines that tell of it."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from assistant.interfaces.walk.press import Press
from assistant.interfaces.walk.tape import STYLES
from assistant.skills.stages import Lines, Told


class StepCard(Vertical):
    """A step as it stands. What is pressed is a typed line; nothing is decided here."""

    DEFAULT_CSS = """
    StepCard { height: auto; margin: 0 0 1 0; }
    StepCard > Static { height: auto; }
    StepCard > .under { padding: 0 0 0 2; }
    StepCard .presses { height: 1; padding: 0 0 0 2; }
    StepCard.-past { margin: 0; color: $muted; }
    """

    def __init__(self, told: Told, lines: Lines) -> None:
        super().__init__(classes="" if told.step.open else "-past")
        self.told = told
        self.lines = lines

    def compose(self) -> ComposeResult:
        step = self.told.step
        if not step.open:
            yield Static(Content(f"{'x' if step.state == 'done' else '-'} {_past(self.told)}"))
            if step.state == "dropped" and self.lines.on:
                yield Press("it was done", self.lines.on, whole=False, id=f"day-{step.id.replace('.', '-')}")
            return
        yield Static(Content.assemble((step.title.capitalize(), "bold"), f"  {self.told.when}"))
        yield Static(self._under(), classes="under")
        if step.care:
            return
        key = step.id.replace(".", "-")
        with Horizontal(classes="presses"):
            if self.lines.done:
                yield Press("done today", self.lines.done, id=f"done-{key}")
                yield Press("other day", self.lines.on, whole=False, id=f"day-{key}")
            if self.lines.move:
                yield Press("move", self.lines.move, whole=False, id=f"move-{key}")
            if self.lines.skip:
                yield Press("skip", self.lines.skip, whole=False, id=f"skip-{key}")
            if not self.lines.done:
                yield Press("note", f"note: {step.title} ", whole=False, id=f"note-{key}")

    def _under(self) -> Content:
        step = self.told.step
        style = "bold $error" if step.late else STYLES.get(step.state, "")
        parts = [Content.styled(self.told.waiting, style), *(Content(words) for words in self.told.amounts)]
        parts.append(Content(f"Why: {self.told.why}."))
        parts += [Content.styled(words, "$warning") for words in self.told.choices]
        parts += [Content.styled(f"Mind: {words}", "$warning") for words in self.told.cautions]
        sources = "; ".join(one.words or one.title for one in self.told.sources)
        return Content("\n").join([*parts, Content.styled(f"By: {sources}", "$muted")])


def _past(told: Told) -> str:
    """A step that is past, in one line."""
    return f"{told.step.title}: {told.when}" if told.step.state == "done" else f"{told.step.title}: lost; {told.why}"
