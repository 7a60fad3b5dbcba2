"""The one screen of the walk: ticket, tape, stages, the page in hand, the answers beside it, and the question line."""

from __future__ import annotations

from asyncio import Lock
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual import events
from textual.app import ComposeResult
from textual.containers import Container, Horizontal
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import ContentSwitcher, Input, Static

from assistant.interfaces.walk.actions import PAGES, typed_action
from assistant.interfaces.walk.answers import Answers
from assistant.interfaces.walk.ask_line import AskLine
from assistant.interfaces.walk.key_row import KeyRow
from assistant.interfaces.walk.press import Press
from assistant.interfaces.walk.stage_list import StageList
from assistant.interfaces.walk.tape import Tape
from assistant.interfaces.walk.ticket import Ticket
from assistant.terms import Now, day_words

if TYPE_CHECKING:  # what computes is loaded when the first picture stands
    from assistant.answer import Answer
    from assistant.dialogue import Session
    from assistant.interfaces.walk.desk import Desk, View
    from assistant.interfaces.walk.form_page import FormPage
    from assistant.interfaces.walk.lawns_page import LawnsPage
    from assistant.interfaces.walk.record_page import RecordPage
    from assistant.interfaces.walk.stage_page import StagePage

_EVERY = 1.0  # seconds between two looks at whether somebody else wrote
_STANDS = 0.03  # seconds from the refresh until the first picture is on the screen: a callback after the refresh runs before it


class MainScreen(Screen[None]):
    """Brings lawn, stage and page into view, and passes on what is said. It decides nothing of the trade."""

    desk: Desk
    pages: dict[str, Any]

    def __init__(self, titles: list[str], session: Callable[[], Session], clock: Callable[[], Now]) -> None:
        super().__init__()
        self.HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (72, "-plain"), (112, "-wide")]
        self.titles = titles
        self.session = session
        self.clock = clock
        self.page = "walk"
        self.stage = ""  # the stage in view; the one in hand where none was chosen
        self.view: View | None = None  # none until the record is read
        self.stamp: tuple[tuple[int, int], ...] = ()
        self.talk: list[str] = []
        self._drawing = Lock()

    def compose(self) -> ComposeResult:
        yield Ticket("")
        yield Tape(id="tape")
        with Horizontal(id="body"):
            yield StageList(id="stages")
            with Container(id="middle"):
                yield ContentSwitcher(id="pages")
                yield Answers(id="answers")
        with Horizontal(id="foot"):
            yield Static("ask ", id="asks")
            yield AskLine(id="ask")
        yield KeyRow("", id="keys")

    def on_mount(self) -> None:
        self.query_one(StageList).entitle(self.titles)
        self.query_one(AskLine).focus()
        self.call_after_refresh(self.set_timer, _STANDS, self.open_desk)

    async def open_desk(self) -> None:
        """After the first picture: the lawn that is due first, and its stage in hand; where nothing runs, the form."""
        from assistant.interfaces.walk.desk import Desk
        from assistant.interfaces.walk.pages import pages_of

        self.desk = Desk(self.session(), self.clock)
        self.pages = pages_of(self.desk)
        for page in self.pages.values():
            page.display = False
        await self.query_one("#pages").mount_all(self.pages.values())
        self.desk.go_to(self.desk.first_lawn())
        state = self.desk.session.state(self.desk.lawn) if self.desk.lawn else None
        begun = state is not None and state.program is not None
        await self.turn_to("walk" if begun else "form")
        if not self.desk.lawn:
            self.focus_page()  # the first start begins with the form; later a question typed at once is a question
        self.set_interval(_EVERY, self.watch_record)

    # looking -----------------------------------------------------------------------------------------------------------

    async def watch_record(self) -> None:
        """Reads again where somebody else wrote, or where a day has gone by."""
        if self.view is None:
            return
        day = self.desk.session.now.day
        stamp = self.desk.stamp()
        if stamp != self.stamp or self.desk.clock().day != day:
            self.desk.reread()
            await self.show()

    async def show(self) -> None:
        """Draws everything as the record stands now. A key and the watch over the record may both ask for it at once."""
        async with self._drawing:
            await self._draw()
            if self.focused is not None and not self.focused.is_attached:
                self.focus_page()

    async def _draw(self) -> None:
        self.stamp = self.desk.stamp()
        self.view = view = self.desk.look()
        state = view.turn.lawn
        grass = state.facts.get("species") if state else None
        today = view.turn.now.day
        age = _age(today, view.plan.seed_day.amount.day) if view.plan else ""
        known = view.plan.name if view.plan else view.turn.knowledge.name(str(grass.value)) if grass else ""
        self.query_one(Ticket).tell(
            self.desk.lawn or "no lawn yet", self.desk.trouble or known, f"{day_words(today)}{age}"
        )
        key = view.stage(self.stage).key
        self.query_one(StageList).show(view.stages, key)
        self.query_one(Tape).show(view.stages, today)
        await self._show_page(view, key)

    async def _show_page(self, view: View, key: str) -> None:
        if self.page == "walk":
            await self.pages["walk"].show(view, key)
        else:
            self.pages[self.page].show()

    async def turn_to(self, page: str) -> None:
        """Another page comes up; the keyboard goes to it where it was on the page before."""
        self.page = page
        self.query_one("#pages", ContentSwitcher).current = page
        await self.show()
        if self.focused is None or self.focused.id != "ask":
            self.focus_page()

    def focus_page(self) -> None:
        """The keyboard goes to the first thing on the page that takes it."""
        page = self.pages[self.page]
        target = next((one for one in page.query("*") if one.focusable and one.display), None)
        self.set_focus(target or self.query_one(AskLine))

    def set_focus(self, widget: Widget | None, scroll_visible: bool = True, from_app_focus: bool = False) -> None:
        """The keyboard goes to a part of the screen. One that was drawn anew in the meantime takes no keys, and none would
        reach the screen any more: the question line takes them."""
        if widget is not None and not widget.is_attached:
            widget = self.query_one(AskLine)
        super().set_focus(widget, scroll_visible, from_app_focus)

    def typed_astray(self, event: events.Event) -> bool:
        """What is typed on a page that takes no words goes into the question line, from its first letter on: True for that."""
        if not isinstance(event, events.Key) or isinstance(self.focused, Input):
            return False
        if not event.is_printable or event.character in (None, " "):  # the space bar presses what is marked
            return False
        line = self.query_one(AskLine)
        line.begin(f"{line.value}{event.character}")
        return True

    async def go_to_stage(self, key: str) -> None:
        """A stage comes into view; not before the record is read."""
        if self.view is None:
            return
        self.stage = key
        await self.turn_to("walk")
        self.pages["walk"].scroll_home(animate=False)

    async def go_to_lawn(self, name: str) -> None:
        """A lawn comes into view, at its stage in hand."""
        self.desk.go_to(name)
        self.stage = ""

    # saying ------------------------------------------------------------------------------------------------------------

    async def tell(self, lines: tuple[str, ...] | list[str], act: bool = True, aloud: bool = True) -> list[Answer]:
        """Says lines and shows what they are answered; the lawn that the talk turns to comes into view."""
        before = self.desk.lawn
        found: list[Answer] = []
        for line in lines:
            answers = [answer for _, answer in (self.desk.act(line) if act else self.desk.say(line))]
            found += answers
            if aloud:
                self.hear(line, answers)
        if self.desk.lawn != before:
            self.stage = ""
        await self.show()
        return found

    def hear(self, line: str, answers: list[Answer]) -> None:
        """Puts a line and its answers beside the page."""
        held = self.desk.session.open_question
        self.query_one(Answers).tell(line, answers, numbered=bool(held and held.choices))
        from assistant.answer import to_text

        self.talk += [f"> {line}", *(to_text(answer) for answer in answers)]
        if any(answer.asks and answer.asks.slot == "undo" for answer in answers):
            self.query_one(AskLine).begin("undo anyway")

    async def on_ask_line_said(self, event: AskLine.Said) -> None:
        if self.view is None:  # said before the record was read: a moment later
            self.set_timer(0.05, lambda: self.on_ask_line_said(event))
            return
        action = typed_action(event.line)
        if action:
            await self.app.run_action(f"do({action!r})")
        elif not await self._goes(event.line):
            await self.tell([event.line], act=False)

    async def _goes(self, line: str) -> bool:
        """`go stage 7`, `go lawn Elm 12`, `go copy FILE`: True where the line was one of those."""
        words = line.split(maxsplit=2)
        if len(words) < 3 or words[0].lower() != "go":
            return False
        what, name = words[1].lower(), words[2]
        if what == "stage" and self.view:
            picked = [stage.key for n, stage in enumerate(self.view.stages, 1) if name.lower() in (str(n), stage.title)]
            if picked:
                await self.go_to_stage(picked[0])
            else:
                self.say_aside(f"There is no stage {name}; they are numbered 1 to {len(self.view.stages)}.")
            return True
        if what == "lawn":
            from assistant.dialogue.lawns import lawn_named

            meant = lawn_named(name, self.desk.lawns)
            if meant in self.desk.lawns:
                await self.go_to_lawn(meant)
                await self.turn_to("walk")
            else:
                self.say_aside(f'I know no lawn called "{name}". F3 shows them all.')
            return True
        if what == "copy":
            self.say_aside(self._copied(name))
            return True
        return False

    def _copied(self, file: str) -> str:
        """Writes the talk to a file: a terminal that the mouse belongs to lets nobody mark and copy."""
        path = Path(file).expanduser()
        try:
            path.write_text("\n".join(self.talk) + "\n", encoding="utf-8")
        except OSError as problem:
            return f"{path} could not be written: {problem.strerror or problem}."
        return f"Written: {path}."

    def say_aside(self, words: str) -> None:
        """A sentence of the walk itself, beside the page."""
        from assistant.answer import ANSWERED, Answer

        self.query_one(Answers).tell("", [Answer(ANSWERED, words)])

    # what comes up from the widgets --------------------------------------------------------------------------------------

    async def on_press_pressed(self, event: Press.Pressed) -> None:
        action = typed_action(event.line)
        if action:
            await self.app.run_action(f"do({action!r})")
        elif not event.whole:
            self.query_one(AskLine).begin(event.line)
        elif event.line:
            await self.tell([event.line], act=False)

    async def on_stage_page_tell(self, event: StagePage.Tell) -> None:
        if typed_action(event.lines[0]):
            await self.app.run_action(f"do({typed_action(event.lines[0])!r})")
            return
        await self.tell(event.lines, aloud=not event.lines[0].startswith(("note: ticked", "note: not ticked")))

    async def on_form_page_tell(self, event: FormPage.Tell) -> None:
        found = await self.tell(event.lines, aloud=event.aloud)
        refused = [answer for answer in found if answer.status in ("refused", "out_of_scope", "unsure")]
        if refused and not event.aloud:
            self.hear(event.lines[0], refused)
        if event.aloud and self.view and self.view.plan:
            self.stage = ""
            await self.turn_to("walk")

    async def on_form_page_named(self, event: FormPage.Named) -> None:
        self.stage = ""
        await self.show()
        if not event.name:
            self.query_one("#form-name").focus()

    async def on_stage_list_picked(self, event: StageList.Picked) -> None:
        await self.go_to_stage(event.key)

    async def on_tape_picked(self, event: Tape.Picked) -> None:
        await self.go_to_stage(event.key)

    async def on_lawns_page_picked(self, event: LawnsPage.Picked) -> None:
        await self.go_to_lawn(event.name)
        await self.turn_to("walk")

    async def on_record_page_take_back(self, event: RecordPage.TakeBack) -> None:
        await self.take_back()

    # the table of actions ------------------------------------------------------------------------------------------------

    async def do(self, action: str) -> None:
        """One action of the table."""
        if self.view is None:
            return
        if action in PAGES:
            await self.turn_to(action)
        elif action in ("earlier", "later", "hand"):
            await self._along(action)
        elif action == "take_back":
            await self.take_back()
        elif action == "next_lawn":
            await self._next_lawn()
        elif action == "hush":
            self.query_one(Answers).hush()
        elif action == "swap":
            if self.focused is not None and self.focused.id == "ask":
                self.focus_page()
            else:
                self.query_one(AskLine).focus()

    async def _along(self, action: str) -> None:
        assert self.view is not None
        keys = [stage.key for stage in self.view.stages]
        now = keys.index(self.view.stage(self.stage).key)
        if action == "hand":
            await self.go_to_stage(self.view.in_hand.key)
        else:
            await self.go_to_stage(keys[max(0, min(len(keys) - 1, now + (1 if action == "later" else -1)))])

    async def _next_lawn(self) -> None:
        names = self.desk.lawns
        if names:
            now = names.index(self.desk.lawn) if self.desk.lawn in names else -1
            await self.go_to_lawn(names[(now + 1) % len(names)])
            await self.show()

    async def take_back(self) -> None:
        """Takes back what was told last of the lawn in view."""
        answers = [answer for _, answer in self.desk.undo()]
        self.hear("undo", answers)
        await self.show()

    def turn_page(self, down: bool) -> None:
        """Page up and page down, wherever the keyboard is."""
        if self.view is None:
            return
        page = self.pages[self.page]
        (page.scroll_page_down if down else page.scroll_page_up)(animate=False)


def _age(today: date, seed_day: date) -> str:
    """Which day of the work today is."""
    age = (today - seed_day).days
    return f", day {age}" if age >= 0 else f", {-age} day{'s' if age < -1 else ''} to seed day"
