"""`ligule ask`: one question and out, or one question a line as JSON."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable

from assistant.answer import ANSWERED, RECORDED, to_json, to_text
from assistant.dialogue import Session, turn
from assistant.interfaces.printing import json_line, text_for


def ask(question: str, session: Session, as_json: bool = False, width: int = 0) -> int:
    """Answers one question on stdout. 0 answered or recorded, 1 not."""
    done = True
    for parse, answer in turn(question, session):
        print(json_line(to_json(parse, answer)) if as_json else text_for(to_text(answer), sys.stdout, width))
        done = done and answer.status in (ANSWERED, RECORDED)
    return 0 if done else 1


def explain(question: str, session: Session) -> None:
    """How the parser read a question."""
    from assistant.parsing import explain as explained

    print(text_for(explained(question, session.vocabulary, session.now), sys.stdout))


def ask_lines(lines: Iterable[str], fresh: Callable[[], Session]) -> int:
    """One question a line, each on its own; one object a line out, empty lines and noise included."""
    for line in lines:
        question = line.rstrip("\r\n")
        for parse, answer in turn(question, fresh()):
            sys.stdout.write(json_line(to_json(parse, answer)) + "\n")
    sys.stdout.flush()
    return 0
