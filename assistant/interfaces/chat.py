"""`ligule chat` in plain line mode: complete, for pipes, dumb terminals and screen readers."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable

from assistant.answer import line_to_json, to_text
from assistant.dialogue import Session, turn
from assistant.interfaces.actions import GOODBYES
from assistant.interfaces.printing import complain, json_line, sentence_of, text_for
from assistant.interfaces.standing import FIRST, due_words
from assistant.lawn.store import StoreError
from assistant.terms import Now

_PROMPT = "> "


def chat(
    lines: Iterable[str],
    session: Session,
    as_json: bool = False,
    at_keyboard: bool = False,
    width: int = 0,
    clock: Callable[[], Now] | None = None,
) -> int:
    """A conversation, line by line; context is kept from one to the next. Each answer is out before the next is read."""
    if at_keyboard:
        _drop_the_line_on_ctrl_c()
        for words in due_words(session) if session.lawns else [FIRST]:
            print(text_for(words, sys.stdout, width))
    _show(at_keyboard)
    for line in lines:
        question = line.rstrip("\r\n")
        if question.strip().lower() in GOODBYES and not as_json:
            break
        session.now = clock() if clock else session.now
        if question.strip() or as_json:
            if as_json:
                print(json_line(line_to_json(list(turn(question, session)))), flush=True)
            else:
                _answer(question, session, at_keyboard, width)
        _show(at_keyboard)
    return 0


def _answer(question: str, session: Session, at_keyboard: bool, width: int) -> None:
    """Prints what a line is answered. What cannot be recorded ends a pipe, whose next lines may lean on it, and no talk."""
    try:
        for _, answer in turn(question, session):
            print(text_for(to_text(answer), sys.stdout, width), flush=True)
    except StoreError as problem:
        if not at_keyboard:
            raise
        complain(sentence_of(problem))


def _drop_the_line_on_ctrl_c() -> None:
    """Ctrl-C drops the line that is typed, as the terminal itself does, and never ends the chat or stops a record's write."""
    import signal

    signal.signal(signal.SIGINT, lambda number, frame: print(f"\n{_PROMPT}", end="", flush=True))


def _show(at_keyboard: bool) -> None:
    if at_keyboard:
        print(_PROMPT, end="", flush=True)
