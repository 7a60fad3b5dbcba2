"""The desk behind the screens: says typed lines, tries them out, reads the record again. It knows no screen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.answer import OUT_OF_SCOPE, REFUSED, Answer
from assistant.dialogue import Session, turn
from assistant.interfaces.printing import sentence_of
from assistant.lawn.store import StoreError
from assistant.terms import Now, Parse

if TYPE_CHECKING:
    from assistant.skills.running import Running
    from assistant.skills.stages import Stage, Standing, Start
    from assistant.skills.turn import Turn

_NOTE = "note:"  # such a line is always written down, so that it is never tried out


@dataclass
class Desk:
    """One conversation and the record under it. `lawn` is the lawn in view: what is said is about it."""

    session: Session
    clock: Callable[[], Now]
    drafts: dict[tuple[str, ...], str] = field(default_factory=dict)  # what was typed into a calculator and not kept
    unfolded: set[tuple[str, ...]] = field(default_factory=set)  # the calculators that were opened
    trouble: str = ""  # why the record cannot be read, where it cannot

    @property
    def lawn(self) -> str:
        return self.session.lawn

    @property
    def lawns(self) -> tuple[str, ...]:
        return self.session.lawns

    def go_to(self, name: str) -> None:
        """Another lawn comes into view."""
        self.session.lawn = name
        self.session.open_question = None

    # saying ------------------------------------------------------------------------------------------------------------

    def say(self, line: str) -> list[tuple[Parse, Answer]]:
        """Says a line as it was typed: what it records is on the disk when this returns."""
        try:
            return list(turn(line, self.session))
        except Exception as problem:  # no traceback reaches a user
            return [(Parse(line), Answer(REFUSED, sentence_of(problem)))]

    def act(self, line: str) -> list[tuple[Parse, Answer]]:
        """Says a line that a key or a button stands for: it answers no question that is open."""
        self.session.open_question = None
        return self.say(line)

    def undo(self) -> list[tuple[Parse, Answer]]:
        """Takes the last thing back that was told of the lawn in view, not of another one that was spoken of since."""
        given, self.session.given = self.session.given, self.lawn
        try:
            return self.act("undo")
        finally:
            self.session.given = given

    def try_out(self, line: str) -> list[tuple[Parse, Answer]]:
        """What a line would be answered, with nothing kept of it and nothing of it remembered."""
        if line.strip().lower().startswith(_NOTE):
            return [(Parse(line), Answer(OUT_OF_SCOPE, "A note is no question."))]
        dry = self.session.afresh()
        dry.keep, dry.lawn = False, self.lawn
        try:
            return list(turn(line, dry))
        except Exception as problem:
            return [(Parse(line), Answer(REFUSED, sentence_of(problem)))]

    # looking -----------------------------------------------------------------------------------------------------------

    def look(self) -> View:
        """The lawn in view as the record stands now."""
        return View(self.session.look(self.lawn))

    def standings(self) -> tuple[Standing, ...]:
        """All lawns as they stand."""
        from assistant.skills.stages import standings

        return standings(self.session.look(""))

    def reread(self) -> None:
        """Takes in what others wrote: lawns that were begun elsewhere, and the day where it has turned."""
        now = self.clock()
        if now.day != self.session.now.day:
            self.session.now = now
        try:
            names = self.session.store.lawns()
            self.trouble = ""
        except StoreError as problem:
            self.trouble = str(problem)
            return
        if names != self.session.lawns:
            self.session = replace(self.session, _lawns=names)

    def stamp(self) -> tuple[tuple[int, int], ...]:
        """What changes whenever anybody writes to the journal; cheap enough to ask every second."""
        path = self.session.store.path
        return tuple(_stat(one) for one in (path, path.with_name(path.name + "-wal")))

    def first_lawn(self) -> str:
        """The lawn to open with: the one that was given, the only one, else the one that is due first."""
        if self.session.given or len(self.lawns) < 2:
            return self.session.given or (self.lawns[0] if self.lawns else "")
        return self.standings()[0].name


class View:
    """A lawn as it stands: its state, its program and its stages, worked out once."""

    def __init__(self, turn: Turn) -> None:
        self.turn = turn

    @cached_property
    def plan(self) -> Running | None:
        from assistant.skills.stages import plan_of

        return plan_of(self.turn)

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        from assistant.skills.stages import stages_of

        return stages_of(self.turn, self.plan)

    @cached_property
    def in_hand(self) -> Stage:
        from assistant.skills.stages import in_hand

        return in_hand(self.stages, self.plan)

    def stage(self, key: str) -> Stage:
        """A stage by its key; the one in hand where the lawn does not go through it."""
        return next((stage for stage in self.stages if stage.key == key), self.in_hand)

    def starts(self, stage: Stage) -> dict[str, Start]:
        """What the calculators of a stage begin with."""
        from assistant.skills.stages import starts

        return starts(self.turn, self.plan, stage)


def _stat(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return (0, 0)
    return (found.st_size, found.st_mtime_ns) if found.st_size else (0, 0)  # a reader makes an empty one
