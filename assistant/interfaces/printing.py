"""Answers onto a terminal or into a pipe: wrapped to the width, ASCII where the terminal needs it, nothing else."""

from __future__ import annotations

import json
import re
import sys
from typing import Any, TextIO

_BEHIND_A_NUMBER = re.compile(r"(?<=\d)([½¼¾])")
_ASCII = str.maketrans(
    {"°": " ", "½": "1/2", "¼": "1/4", "¾": "3/4", "×": "x", "–": "-", "—": "-", "’": "'", "“": '"', "”": '"'}
)


def text_for(text: str, stream: TextIO, width: int = 0) -> str:
    """The text as this stream can show it."""
    encoding = (getattr(stream, "encoding", None) or "ascii").lower().replace("-", "")
    text = "\n".join(safe(line, encoding.startswith("utf")) for line in text.split("\n"))
    return "\n".join(_wrapped(line, width) for line in text.split("\n")) if width else text


def safe(text: str, unicode: bool = True) -> str:
    """Text without marks that could move the cursor or change a colour; in ASCII where the terminal shows no more."""
    if not unicode:
        text = _BEHIND_A_NUMBER.sub(r" \1", text)  # 1½ is 1 1/2, not 11/2
        text = text.replace(" °F", " F").replace(" °C", " C").translate(_ASCII)
        text = text.encode("ascii", "replace").decode()
    return "".join(mark if mark.isprintable() else " " for mark in text)


def _wrapped(line: str, width: int) -> str:
    if len(line) <= width:
        return line
    from textwrap import wrap

    indent = line[: len(line) - len(line.lstrip())]
    return "\n".join(wrap(line.strip(), width, initial_indent=indent, subsequent_indent=indent + "  "))


def json_line(data: dict[str, Any]) -> str:
    """One object on one line, ASCII throughout."""
    return json.dumps(data, ensure_ascii=True, allow_nan=False)


def complain(sentence: str) -> None:
    """A sentence on stderr."""
    print(text_for(sentence, sys.stderr), file=sys.stderr)


def sentence_of(problem: Exception) -> str:
    """What went wrong, in one sentence: what, where, and that nothing is lost."""
    from assistant.knowledge_base.files import BrokenKnowledge
    from assistant.lawn.store import StoreError

    if isinstance(problem, StoreError | BrokenKnowledge):
        return str(problem)
    if isinstance(problem, OSError) and problem.strerror:
        where = f"{problem.filename}: " if problem.filename else "Writing the answer failed: "
        return f"{where}{problem.strerror}. Nothing of the record was changed."
    return f"Something in ligule itself broke ({type(problem).__name__}: {problem}); what was recorded before stands. Set LIGULE_DEBUG=1 to see where."
