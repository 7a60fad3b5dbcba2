"""`ligule ask`: one question and out, or one question a line as JSON."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable

from assistant.answer import ANSWERED, RECORDED, line_to_json, to_text
from assistant.dialogue import Session, turn
from assistant.interfaces.printing import json_line, text_for


def ask(question: str, session: Session, as_json: bool = False, width: int = 0) -> int:
    """Answers one question on stdout. 0 answered or recorded, 1 not."""
    answered = list(turn(question, session))
    if as_json:
        print(json_line(line_to_json(answered)))
    else:
        for _, answer in answered:
            print(text_for(to_text(answer), sys.stdout, width))
    return 0 if all(answer.status in (ANSWERED, RECORDED) for _, answer in answered) else 1


def explain(question: str, session: Session) -> None:
    """How the parser read a question."""
    from assistant.parsing import explain as explained

    print(text_for(explained(question, session.vocabulary, session.now), sys.stdout))


def ask_lines(lines: Iterable[str], fresh: Callable[[], Session]) -> int:
    """One question a line, each on its own; one object a line out, empty lines and noise included."""
    for line in lines:
        question = line.rstrip("\r\n")
        sys.stdout.write(json_line(line_to_json(list(turn(question, fresh())))) + "\n")
    sys.stdout.flush()
    return 0
