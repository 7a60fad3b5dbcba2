"""`ligule chat` in plain line mode: complete, for pipes, dumb terminals and screen readers."""

from __future__ import annotations

import sys
from collections.abc import Iterable

from assistant.answer import line_to_json, to_text
from assistant.dialogue import Session, turn
from assistant.interfaces.printing import json_line, text_for

_LEAVE = {"quit", "exit", "bye", "q"}


def chat(lines: Iterable[str], session: Session, as_json: bool = False, prompt: str = "", width: int = 0) -> int:
    """A conversation, line by line; context is kept from one to the next. Each answer is out before the next is read."""
    _show(prompt)
    for line in lines:
        question = line.rstrip("\r\n")
        if question.strip().lower() in _LEAVE and not as_json:
            break
        if question.strip() or as_json:
            if as_json:
                print(json_line(line_to_json(list(turn(question, session)))), flush=True)
            else:
                for _, answer in turn(question, session):
                    print(text_for(to_text(answer), sys.stdout, width), flush=True)
        _show(prompt)
    return 0


def _show(prompt: str) -> None:
    if prompt:
        print(prompt, end="", flush=True)
