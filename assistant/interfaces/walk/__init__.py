"""`ligule walk`: the full-screen walk through a renovation. Nothing here imports Textual before the walk is opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.knowledge_base import Knowledge
from assistant.terms import Now

if TYPE_CHECKING:
    from assistant.dialogue import Session

NO_SCREEN = "The walk needs a terminal that it can draw on; ligule chat does the same, line by line."


def can_draw(keyboard: bool, screen: bool, term: str, plain: bool) -> bool:
    """Whether there is a terminal to draw on; decided before Textual is loaded, which would draw on a dumb one."""
    return keyboard and screen and not plain and term not in ("", "dumb", "unknown")


def walk(knowledge: Knowledge, session: Callable[[], Session], clock: Callable[[], Now], mouse: bool = True) -> int:
    """Opens the walk and stays in it until it is left. The session is made once the first picture is on the screen."""
    from assistant.interfaces.walk.app import WalkApp

    app = WalkApp(knowledge, session, clock)
    app.run(mouse=mouse)
    if app._exception is not None:  # the command line makes a sentence of it
        raise app._exception
    return 0
