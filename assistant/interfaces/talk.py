"""The chat on a terminal: asks for a line, has it answered by the dialogue, sets the answer, page by page.

The prompt stands before the knowledge base, the skills and the record are loaded; they come in behind it.
"""

from __future__ import annotations

import asyncio
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from prompt_toolkit.application import run_in_terminal

from assistant.interfaces.actions import ACTIONS, KEYS, LEAVE, MANNERS, typed
from assistant.interfaces.completion import Offers
from assistant.interfaces.history import Asked
from assistant.interfaces.ink import PLAIN, QUIET, STRONG, Paper, Row, columns, paragraph
from assistant.interfaces.printing import safe, sentence_of
from assistant.interfaces.prompt import MARK, Prompt, Said, keys_held, more
from assistant.interfaces.standing import FIRST, Standing, due_words, in_hand, standing
from assistant.terms import Now

if TYPE_CHECKING:
    from assistant.answer import Answer
    from assistant.dialogue import Session

_BEAT = 0.01  # seconds between two looks at what is being loaded
_PATIENCE = 0.7  # seconds to wait without a word
_TALL = 2  # rows of the screen that a page leaves free
Opened = Callable[[], "tuple[Session, list[str]]"]


class Talk:
    """One sitting at the terminal."""

    def __init__(
        self, opened: Opened, lawns: tuple[str, ...], clock: Callable[[], Now], home: Path, paper: Paper
    ) -> None:
        self._clock = clock
        self._paper = paper
        self._asked = Asked(home)
        self._opened = opened
        self._lawns = lawns  # as they were on record at the start
        self._ready: Future[tuple[Session, list[str]]] = Future()
        self._standing: Standing | None = None
        self._seen: tuple[Any, ...] = ()  # what the bottom line was read from
        self._stopped = False
        self._greeted = False
        offers = Offers(lambda: self._ready.result()[0] if self._ready.done() else None, paper.unicode)
        self._prompt = Prompt(self._asked, offers, self._bottom, self._begin, paper.unicode)

    def run(self) -> int:
        """Until somebody leaves."""
        with keys_held(), self._interrupts():
            return self._sit()

    def _sit(self) -> int:
        if not self._lawns:
            self._print([*paragraph(FIRST, self._width() - 1, STRONG), ()])
        kept = ""
        while True:
            if self._ready.done():
                session = self._ready.result()[0]
                self._print([] if self._greeted else self._greeting(session))  # somebody typed faster than it loads
                self._look_again(session)
            said = self._prompt.ask(kept)
            kept, self._stopped = "", False
            if said.left:
                return 0
            if said.dropped:
                self._asked.put(said.text, keep=False)  # a dropped line is one Up away
                continue
            if said.action:
                kept = said.text
                self._act(said.action)
                continue
            if self._lines(said) is False:
                return 0

    def _lines(self, said: Said) -> bool:
        """Every line of what was typed or pasted, in order. False where one of them says goodbye."""
        lines = [line for line in safe_lines(said.text) if line.strip()]
        for place, line in enumerate(lines):
            if self._stopped:
                self._left_over(lines[place:])
                break
            own = typed(line)
            if own and own.id == LEAVE:
                return False
            self._asked.put(line)
            if own and own.id == KEYS:
                self._act(KEYS)
            else:
                self._answer(line, alone=len(lines) == 1)
        return True

    def _left_over(self, lines: list[str]) -> None:
        count = len(lines)
        words = f"Stopped. {count} line{' was' if count == 1 else 's were'} not asked; Up brings {'it' if count == 1 else 'them'} back."
        self._asked.put("\n".join(lines), keep=False)
        self._note(words)

    def _act(self, action: str) -> None:
        """An action by its key: its line goes to the dialogue as if it had been typed."""
        if action == KEYS:
            self._pages([*keys_rows(self._width() - 1), ()])
            return
        self._answer(next(one.says for one in ACTIONS if one.id == action), alone=True)

    def _answer(self, line: str, alone: bool) -> None:
        """One line through the dialogue; what it records is on the disk before its answer appears."""
        from assistant.dialogue import turn

        asked: list[Row] = [*paragraph(line, self._width() - 1, mark=MARK.strip()), ()]
        self._print(asked)
        session = self._ready_session()
        session.now = self._clock()
        try:
            for _, answer in turn(
                line, session
            ):  # to its end, also where printing is stopped: all that was told is kept
                self._asked.about(in_hand(session))
                rows = [*self._set(answer, session), ()]
                if alone:
                    self._pages(rows, len(asked))
                else:
                    self._print(rows)
                asked = []
            if self._stopped and alone:
                self._note("Stopped. What was told is on record.")
        except Exception as problem:  # a prompt that is kept open does not fall over one line
            self._complain(sentence_of(problem))

    def _set(self, answer: Answer, session: Session) -> list[Row]:
        from assistant.interfaces.typography import set_answer, set_sources

        width, unicode = self._width(), self._paper.unicode
        rows = set_answer(answer, width, session.now.day, unicode)
        if answer.intent == "other.why" and answer.sources:
            found = {one.key: session.knowledge.source(one.key) or {} for one in answer.sources}
            addresses = {key: str(entry["address"]) for key, entry in found.items() if entry.get("address")}
            rows += [(), *set_sources(answer, addresses, width, unicode)]
        return rows

    # behind the prompt -----------------------------------------------------------------------------------------------

    async def _begin(self) -> None:
        """Runs once the first prompt stands: loads what answers need, then says what is due."""
        threading.Thread(target=self._load, daemon=True).start()
        while not self._ready.done():
            await asyncio.sleep(_BEAT)
        try:
            rows = self._greeting(self._ready.result()[0])
        except Exception as problem:
            self._prompt.app.exit(exception=problem)
            return
        self._prompt.other_history()  # the lawn in hand is known only now
        if rows:
            await run_in_terminal(lambda: self._print(rows))
        self._prompt.app.invalidate()

    def _greeting(self, session: Session) -> list[Row]:
        """What of the user's files is left out, and what is due; once."""
        self._greeted = True
        self._look_again(session)
        faults = self._ready.result()[1]
        width = self._width() - 1
        rows = [row for words in faults for row in paragraph(words, width, mark="!", mark_ink=STRONG)]
        rows += [row for words in due_words(session) for row in paragraph(words, width, mark="-")]
        return [*rows, ()] if rows else []

    def _load(self) -> None:
        """In a thread of its own, so that typing goes on; the record is read later, by the thread that writes it."""
        try:
            found = self._opened()
            if self._lawns:
                import assistant.skills.lawns
                import assistant.units  # noqa: F401  dates of a program are worked out with them
            self._ready.set_result(found)
        except BaseException as problem:
            self._ready.set_exception(problem)

    def _ready_session(self) -> Session:
        """Waits for what is still being loaded; after an install that takes seconds, and is said."""
        try:
            return self._ready.result(_PATIENCE)[0]
        except TimeoutError:
            if self._ready.done():  # it is the loading itself that ran out of time
                raise
        self._note("The knowledge base is put together once after an install: a moment.")
        return self._ready.result()[0]

    def _look_again(self, session: Session) -> None:
        """The bottom line is read again where the lawn, the day or the record is another."""
        session.now = self._clock()
        key = (in_hand(session), session.now.day, session.last, session.lawns)
        if key != self._seen:
            try:
                self._standing = standing(session)
                self._seen = key
            except OSError:
                self._standing = Standing(in_hand(session), note="the record could not be read")
        self._asked.about(in_hand(session))

    def _bottom(self) -> tuple[str, ...]:
        if self._standing is None:
            return ("" if self._lawns else "no lawn on record yet",)
        return self._standing.words(self._clock().day)

    # onto the screen -------------------------------------------------------------------------------------------------

    def _width(self) -> int:
        return self._paper.size()[0]

    def _print(self, rows: list[Row]) -> bool:
        """Row by row; False where Ctrl-C came between two of them."""
        for row in rows:
            if self._stopped:
                return False
            sys.stdout.write(self._paper.painted(row) + "\n")
            sys.stdout.flush()
        return True

    def _note(self, words: str, ink: str = QUIET, mark: str = "") -> None:
        """A word of the chat itself, printed whatever was stopped."""
        stopped, self._stopped = self._stopped, False
        self._print([*paragraph(words, self._width() - 1, ink, mark=mark, mark_ink=STRONG), ()])
        self._stopped = stopped

    def _complain(self, words: str) -> None:
        self._note(words, PLAIN, "!")

    def _pages(self, rows: list[Row], above: int = 0) -> None:
        """Page by page, where it is more than a screen; q leaves the rest, Ctrl-C stops.

        `above` is how many rows of the first page stand there already: the question.
        """
        page = self._paper.size()[1] - _TALL
        while rows and self._print(rows[: page - above]):
            rows, above = rows[page - above :], 0
            if len(rows) == 1 and rows[0] == ():  # the blank row behind an answer is no page
                continue
            if rows and not more(f"  {len(rows)} more rows: space or Enter goes on, q stops"):
                rows = [()]

    @contextmanager
    def _interrupts(self) -> Iterator[None]:
        """Ctrl-C while an answer is worked out or printed: it stops at the next row, never inside a record's write."""

        def stop(number: int, frame: object) -> None:
            self._stopped = True

        before = signal.signal(signal.SIGINT, stop)
        try:
            yield
        finally:
            signal.signal(signal.SIGINT, before)


def safe_lines(text: str) -> list[str]:
    """The lines of what was typed or pasted, each without marks that could move the cursor."""
    return [safe(line) for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n")]


def keys_rows(width: int) -> list[Row]:
    """What is one key away and how else to say it."""
    pairs = [(f"{one.key.upper():<4}{one.typed}", one.words) for one in ACTIONS]
    rows = columns(pairs, width, ink=QUIET)
    rows.append(())
    return rows + columns(list(MANNERS), width, left_ink=PLAIN, ink=QUIET)


def talk(opened: Opened, lawns: tuple[str, ...], clock: Callable[[], Now], home: Path, paper: Paper) -> int:
    """The chat on a terminal."""
    return Talk(opened, lawns, clock, home, paper).run()
