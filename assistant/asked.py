"""The arguments of `ligule ask`: what begins with a minus and is no option of ours belongs to the question."""

from __future__ import annotations

from types import SimpleNamespace

_VALUES = ("--lawn", "--today", "--home")
_FLAGS = ("--json", "--explain", "--plain")


class Usage(Exception):
    """A wrong call: one sentence, exit code 2."""


def question_of(words: list[str]) -> SimpleNamespace | None:
    """Options and question; None where help is asked for.

    >>> question_of(["--lawn", "back", "-50", "sq", "ft"]).question
    ['-50', 'sq', 'ft']
    """
    found = SimpleNamespace(command="ask", lawn="", today="", home=None, json=False, explain=False, plain=False)
    found.question = []
    left = iter(words)
    for word in left:
        name, given, value = word.partition("=")
        if name in _VALUES:
            value = value if given else next(left, "--")
            if value.startswith("--") and not given:
                raise Usage(f"{name} needs a value behind it. See ligule ask --help.")
            setattr(found, name[2:], value)
        elif word in _FLAGS:
            setattr(found, word[2:], True)
        elif word in ("-h", "--help"):
            return None
        elif word == "--":
            found.question += left
        elif word.startswith("--"):
            raise Usage(f"There is no option {word}. See ligule ask --help.")
        else:
            found.question.append(word)
    return found
