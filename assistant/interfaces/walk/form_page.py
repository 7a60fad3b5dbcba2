"""The first form of a lawn: name, ground, grass, state, seed day, the work and the feeds. Each entry is recorded as it is left."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from assistant.answer import ANSWERED
from assistant.interfaces.walk.desk import Desk
from assistant.interfaces.walk.entries import Read, read_fact, read_name, start_line
from assistant.interfaces.walk.press import Press
from assistant.interfaces.walk.stage_page import Heading
from assistant.interfaces.walk.work_card import Entry
from assistant.interfaces.walk.works import Hole
from assistant.skills.stages import fact_words

FACTS = ("area", "species", "state", "seed_day")
_FIRST_NAME = "home lawn"
_FIRST_JOB = "renovation"


class Pick(Static, can_focus=True):
    """One of several choices."""

    DEFAULT_CSS = """
    Pick { width: 1fr; height: 1; }
    Pick:focus { background: $panel; text-style: bold; }
    Pick:hover { text-style: underline; }
    Pick.-picked { color: $success; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,space", "pick", show=False)]

    class Picked(Message):
        """This one is meant."""

        def __init__(self, group: str, key: str) -> None:
            super().__init__()
            self.group = group
            self.key = key

    def __init__(self, group: str, key: str, words: str) -> None:
        super().__init__("", id=f"{group}-{key.replace('_', '-')}")
        self.group = group
        self.key = key
        self.words = words

    def set_picked(self, picked: bool) -> None:
        self.set_class(picked, "-picked")
        self.update(Content(f"({'o' if picked else ' '}) {self.words}"))

    def action_pick(self) -> None:
        self.post_message(self.Picked(self.group, self.key))

    def on_click(self) -> None:
        self.action_pick()


class FormPage(VerticalScroll):
    """A short form. It can be left at any entry and taken up again: what was entered is on the record."""

    DEFAULT_CSS = """
    FormPage { padding: 0 1; scrollbar-size-vertical: 1; }
    FormPage > .state { height: auto; margin: 0 0 1 0; }
    FormPage .presses { height: 1; margin: 1 0 0 0; }
    FormPage > .open { height: auto; color: $muted; }
    """

    class Tell(Message):
        """Lines of the form: recorded without a place in the talk; `aloud` shows the answer as well."""

        def __init__(self, *lines: str, aloud: bool = False) -> None:
            super().__init__()
            self.lines = lines
            self.aloud = aloud

    class Named(Message):
        """The lawn that the form is about."""

        def __init__(self, name: str) -> None:
            super().__init__()
            self.name = name

    def __init__(self, desk: Desk) -> None:
        super().__init__(id="form")
        self.can_focus = False
        self.desk = desk
        self.picked = {"job": _FIRST_JOB, "fed": ""}
        self.sent: dict[str, str] = {}  # what was told and is not read back yet

    def compose(self) -> ComposeResult:
        entry = self.desk.session.knowledge.entry
        yield Static("", classes="state")
        yield Entry(Hole("name", "lawn", like="Elm Street 12"), self._first("name"), "form-name")
        for fact in FACTS:
            held = entry(f"walk.form.{fact}")
            yield Entry(Hole(fact, held["label"], like=held["like"]), self._first(fact), f"form-{fact}")
        for group, heading in (("job", "the work"), ("fed", "fed how")):
            yield Heading(heading)
            for key, held in entry(f"walk.{'jobs' if group == 'job' else 'fed'}").items():
                yield Pick(group, key, held["label"])
        with Horizontal(classes="presses"):
            yield Press("begin the program", name="begin", id="form-begin")
            yield Press("another lawn", name="new", id="form-new")
        yield Static("", classes="open")

    def on_mount(self) -> None:
        self.show()

    def show(self) -> None:
        """Fills the form from the record; what is being typed stays."""
        held = self._held()
        for name in ("name", *FACTS):
            field = self._field(name)
            draft = self.desk.drafts.get(("form", self.desk.lawn, name))
            words = draft if draft is not None else held.get(name, self._first(name))
            if field.value != words and not (field.has_focus and draft is None and field.value):
                with self.prevent(Input.Changed):
                    field.value = words
            self._beside(name)
        state = self.desk.session.state(self.desk.lawn) if self.desk.lawn else None
        plan = state.facts.get("plan") if state else None
        if plan is not None:
            self.picked["job"] = str(plan.value).partition(".")[2]
        if state and state.program:
            self.picked["fed"] = str(state.program["program"]).rpartition("_")[2]
        for pick in self.query(Pick):
            pick.set_picked(self.picked[pick.group] == pick.key)
        runs = (
            f"The {state.program['rules']['name']} runs on it."
            if state and state.program
            else "No program runs on it yet."
        )
        head = (
            f"{self.desk.lawn}. {runs}"
            if self.desk.lawn
            else "A lawn to begin with. Each entry is kept as you leave it."
        )
        self.query_one(".state", Static).update(Content(head))
        missing = self._missing()
        self.query_one(".open", Static).update(Content(f"Still open: {', '.join(missing)}." if missing else ""))

    # reading -----------------------------------------------------------------------------------------------------------

    def _held(self) -> dict[str, str]:
        """What stands on the record, in words."""
        look = self.desk.session.look(self.desk.lawn)
        facts = look.lawn.facts if look.lawn else {}
        made = {name: fact_words(look, facts[name]) for name in FACTS if name in facts}
        return {**made, "name": self.desk.lawn} if self.desk.lawn else made

    def _first(self, name: str) -> str:
        """What an entry begins with where nothing is known."""
        return _FIRST_NAME if name == "name" and not self.desk.lawns else ""

    def _field(self, name: str) -> Input:
        return self.query_one(f"#form-{name}", Input)

    def _read(self, name: str, text: str) -> Read:
        return read_name(self.desk, text) if name == "name" else read_fact(self.desk, name, text)

    def _beside(self, name: str) -> None:
        """What stands beside an entry: how it is read, what is wrong, or what helps to fill it."""
        text = self._field(name).value.strip()
        entry = next(one for one in self.query(Entry) if one.hole.name == name)
        if not text:
            entry.beside("open", note=self._hint(name))
            return
        if text == self._held().get(name):
            entry.beside("on record")
            return
        read = self._read(name, text)
        entry.beside(read.words, read.wrong)

    def _hint(self, name: str) -> str:
        if name == "seed_day" and {"species", "state"} <= set(self._held()):
            _, answer = self.desk.try_out("when should i seed")[-1]
            if answer.status == ANSWERED:
                return answer.headline
        return ""

    def _missing(self) -> list[str]:
        held = self._held()
        entry = self.desk.session.knowledge.entry
        made = [entry(f"walk.form.{fact}.label") for fact in FACTS if fact not in held]
        return [*made, *(["fed how"] if not self.picked["fed"] else [])]

    # what is done ------------------------------------------------------------------------------------------------------

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        name = (event.input.id or "").removeprefix("form-")
        self.desk.drafts[("form", self.desk.lawn, name)] = event.value
        self._beside(name)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        if self._leave((event.input.id or "").removeprefix("form-")):
            self.screen.focus_next()

    @on(Input.Blurred)
    def _left(self, event: Input.Blurred) -> None:
        event.stop()
        self._leave((event.input.id or "").removeprefix("form-"))

    def _leave(self, name: str) -> bool:
        """An entry is done with: sound and new, it goes on the record. False where it is wrong."""
        text = self._field(name).value.strip()
        draft = self.desk.drafts.get(("form", self.desk.lawn, name))
        if not text or (text == self._held().get(name) and draft is None):
            return True
        read = self._read(name, text)
        if read.wrong:
            self._beside(name)
            return False
        self.desk.drafts.pop(("form", self.desk.lawn, name), None)
        if name == "name":
            self._name_it(read.line)
        elif text not in (self._held().get(name), self.sent.get(name)):
            if not self.desk.lawn:  # the name that stands there was left as it was
                named = read_name(self.desk, self._field("name").value)
                if named.wrong:
                    return False
                self._name_it(named.line)
            self.sent[name] = text
            self.post_message(self.Tell(read.line))
        return True

    def _name_it(self, name: str) -> None:
        """The form is about another lawn from here on; what was typed before a lawn had a name goes with it."""
        before = self.desk.lawn
        if name == before:
            return
        typed = {key[2]: self.desk.drafts.pop(key) for key in list(self.desk.drafts) if key[:2] == ("form", before)}
        if not before:
            typed.pop("name", None)
            self.desk.drafts.update({("form", name, each): text for each, text in typed.items()})
        self.desk.go_to(name)
        self.sent = {}
        self.post_message(self.Named(name))

    @on(Pick.Picked)
    def _chosen(self, event: Pick.Picked) -> None:
        event.stop()
        self.picked[event.group] = event.key
        for pick in self.query(Pick):
            pick.set_picked(self.picked[pick.group] == pick.key)
        missing = self._missing()
        self.query_one(".open", Static).update(Content(f"Still open: {', '.join(missing)}." if missing else ""))

    @on(Press.Pressed)
    def _pressed(self, event: Press.Pressed) -> None:
        event.stop()
        if event.name == "new":
            self._name_it("")
            return
        state = self.desk.session.state(self.desk.lawn) if self.desk.lawn else None
        day = state.facts.get("seed_day") if state else None
        if day is None or not self.picked["fed"]:
            self.query_one(".open", Static).update(Content(f"To begin I still need: {', '.join(self._missing())}."))
            return
        line = start_line(self.desk, self.picked["job"], self.picked["fed"], str(day.amount.low))
        self.post_message(self.Tell(line, aloud=True))
