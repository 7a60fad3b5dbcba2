"""The stage in view: its steps and why, what to tick off, whether the day is fit, its figures, what to mind and to read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from assistant.interfaces.walk.desk import Desk, View
from assistant.interfaces.walk.press import Press, Tick
from assistant.interfaces.walk.season_line import SeasonLine
from assistant.interfaces.walk.step_card import StepCard
from assistant.interfaces.walk.tape import STYLES
from assistant.interfaces.walk.telling import Telling
from assistant.interfaces.walk.work_card import WorkCard
from assistant.interfaces.walk.works import weather_of, works_of
from assistant.skills.chart import season_of
from assistant.skills.stages import Stage, lines_of, ticked, told
from assistant.skills.turn import Turn
from assistant.terms import day_words


class Heading(Static):
    """The name of a part of the page, with a rule behind it."""

    DEFAULT_CSS = "Heading { height: 1; color: $primary; text-wrap: nowrap; text-overflow: clip; margin: 1 0 0 0; }"

    def __init__(self, words: str) -> None:
        super().__init__(Content(f"-- {words} " + "-" * 200))


class StagePage(VerticalScroll):
    """All of one stage. What is pressed, ticked or kept goes up as typed lines."""

    DEFAULT_CSS = """
    StagePage { padding: 0 1; scrollbar-size-vertical: 1; }
    StagePage > .head { height: auto; margin: 0 0 1 0; }
    StagePage > .aside { height: auto; }
    StagePage > Tick { margin: 0; }
    """

    class Tell(Message):
        """Lines to be said, in order."""

        def __init__(self, *lines: str) -> None:
            super().__init__()
            self.lines = lines

    def __init__(self, desk: Desk) -> None:
        super().__init__(id="walk")
        self.can_focus = False
        self.desk = desk
        self.shown: tuple = ()

    def compose(self) -> ComposeResult:
        yield Static("", classes="head")

    async def show(self, view: View, key: str) -> None:
        """Brings a stage up, or the same one as the record stands now; what was typed and the place stay."""
        stage = view.stage(key)
        wanted = (self.desk.lawn, stage.key)
        same = self.shown == wanted
        focused = self.screen.focused.id if self.screen.focused and self in self.screen.focused.ancestors else ""
        place = self.scroll_y if same else 0
        self.shown = wanted
        async with self.batch():
            await self.remove_children()
            await self.mount_all(list(self._parts(view, stage)))
        for card in self.query(WorkCard):
            card.work_it()
        if focused:
            found = self.query(f"#{focused}")
            target = found.first() if found else next((one for one in self.query("*") if one.focusable), None)
            if target is not None:
                self.screen.set_focus(target, scroll_visible=False)
        self.call_after_refresh(self.scroll_to, y=place, animate=False)

    def _parts(self, view: View, stage: Stage) -> Iterator[Widget]:
        """The page from top to bottom."""
        turn = view.turn
        entry = turn.knowledge.entry(f"walk.stages.{stage.key}")
        yield Static(_head(stage, entry.get("why", "")), classes="head")
        if (stage.key == "choose" and view.plan is None) or (stage.key == "measure" and stage.state != "done"):
            yield Press("fill in the form of this lawn", "go form", id="to-form")
        if view.plan is not None:
            for step in stage.steps:
                yield StepCard(told(view.plan, step), lines_of(turn, step))
        marks = ticked(turn.lawn)
        if entry.get("checks"):
            yield Heading("to tick off")
            for name, words in entry["checks"].items():
                yield Tick(words, words in marks, id=f"tick-{name}")
        starts = view.starts(stage)
        place = (self.desk.lawn, stage.key)
        if entry.get("weather") and stage.state not in ("done", "dropped"):
            yield Heading("is the day fit")
            yield WorkCard(weather_of(self.desk, entry["weather"], starts), self.desk, place, keeps=False)
        works = works_of(turn, tuple(entry.get("works", ())), starts)
        if works:
            yield Heading("figures")
            yield from (WorkCard(work, self.desk, place) for work in works)
        for name in entry.get("beside", ()):
            beside = turn.knowledge.entry(f"walk.beside.{name}")
            yield Heading(beside["title"])
            picture = (
                season_of(turn, turn.lawn.facts.get("seed_day") if turn.lawn else None) if name == "season" else None
            )
            if picture is not None:
                yield SeasonLine(picture, f"beside-{name}")
                continue
            _, answer = self.desk.try_out(beside["line"])[-1]
            yield Telling(answer, f"beside-{name}", "aside")
        cautions = [turn.knowledge.entry(f"cautions.{name}") for name in entry.get("cautions", ())]
        if cautions:
            yield Heading("to mind")
            yield Static(Content("\n".join(cautions)), classes="aside")
        yield from self._reads(turn, entry)

    def _reads(self, turn: Turn, entry: dict[str, Any]) -> Iterator[Widget]:
        """Entries of the practice that belong to the stage: each is asked by a line that finds it."""
        lines = [(one, one) for one in entry.get("asks", ())]
        for name in entry.get("reads", ()):
            held = turn.knowledge.entry(f"practices.{name}")
            lines.append((held["title"][:1].lower() + held["title"][1:], held["asks"][0]))
        if lines:
            yield Heading("to read")
            yield from (Press(words, line, id=f"read-{n}") for n, (words, line) in enumerate(lines))

    @on(Press.Pressed)
    def _pressed(self, event: Press.Pressed) -> None:
        if event.line and event.whole:
            event.stop()
            self.post_message(self.Tell(event.line))

    @on(Tick.Turned)
    def _turned(self, event: Tick.Turned) -> None:
        event.stop()
        self.post_message(self.Tell(f"note: {'ticked' if event.ticked else 'not ticked'}: {event.words}"))

    @on(WorkCard.Kept)
    def _kept(self, event: WorkCard.Kept) -> None:
        event.stop()
        self.post_message(self.Tell(*event.lines))


def _head(stage: Stage, why: str) -> Content:
    """The title of a stage, its span, and how it stands."""
    words = {"late": f"late by {stage.late} day{'s' if stage.late > 1 else ''}", "open": "open", "on": "on now"}
    style = STYLES.get(stage.state, "")
    parts: list = [(stage.title.upper(), "bold $accent"), "  ", (_state(stage, words), style)]
    if stage.day and stage.until:
        span = (
            day_words(stage.day) if stage.day == stage.until else f"{day_words(stage.day)} to {day_words(stage.until)}"
        )
        parts.append(f"\n{span}")
    if why:
        parts.append(f"\n{why[:1].upper()}{why[1:]}.")
    return Content.assemble(*parts)


def _state(stage: Stage, words: dict[str, str]) -> str:
    return words.get(stage.state, "lost" if stage.state == "dropped" else stage.state)
