"""Drives the full-screen walk on a fixed day: opens it over a home, runs a script, gives back what it did."""

from __future__ import annotations

import asyncio
import re
import shutil
from collections.abc import Awaitable, Callable
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

from textual.widgets import Input

from assistant.dialogue import Session, turn
from assistant.interfaces.walk.app import WalkApp
from assistant.knowledge_base import Knowledge, load
from assistant.lawn.store import Store
from assistant.lawn.weather import Weather
from assistant.terms import Now

LAWN = "Quarry Lane 12"
BEGUN = (
    "it is 5,200 sq ft",
    "it is tall fescue",
    "it is in maryland",
    "start the renovation program on 2026-09-12 with the granular program",
)
SIZES = ((80, 24), (100, 30), (160, 50))
_KEYS = {" ": "space", "'": "apostrophe", ",": "comma", ".": "full_stop", "-": "minus", "/": "slash", ":": "colon"}


@cache
def knowledge() -> Knowledge:
    return load(None)


def session(home: Path, today: str, lawn: str = "") -> Session:
    moment = datetime.fromisoformat(today)
    return Session(knowledge(), Store(home), Now(moment, "T" in today), True, lawn, weather=Weather(home))


def chat(home: Path, today: str, *lines: str, lawn: str = LAWN) -> Session:
    """The same said in chat."""
    said = session(home, today, lawn)
    for line in lines:
        list(turn(line, said))
    said.store.close()  # it opens again where it is used; an open one would write to its file at any later moment
    return said


def copied(home: Path, template: Path) -> Path:
    """A home like another one."""
    home.mkdir(parents=True, exist_ok=True)
    shutil.copy(template / "lawns.sqlite", home / "lawns.sqlite")
    return home


def recorded(home: Path) -> list[tuple[Any, ...]]:
    """What stands in the journal, without the numbers that the store gives and without how it was worded."""
    return [(one.kind, one.lawn, one.happened_on, one.said_on, one.body) for one in Store(home).events()]


def walked(
    home: Path,
    today: str,
    script: Callable[[Any, WalkApp], Awaitable[Any]],
    size: tuple[int, int] = (80, 24),
    lawn: str = "",
) -> Any:
    """Opens the walk, runs the script and leaves it; an error anywhere in it is raised here."""

    async def run() -> Any:
        now = Now(datetime.fromisoformat(today), "T" in today)
        app = WalkApp(knowledge(), lambda: session(home, today, lawn), lambda: now)
        async with app.run_test(size=size) as pilot:
            await opened(pilot, app)
            return await script(pilot, app)

    return asyncio.run(run())


async def opened(pilot: Any, app: WalkApp) -> None:
    """Waits until the record stands on the screen."""
    for _ in range(20):
        await pilot.pause()
        if app.main and app.main.view:
            break
    await pilot.pause()


def shown(app: WalkApp) -> str:
    """The screen as text."""
    return "\n".join("".join(part.text for part in strip) for strip in app.screen._compositor.render_strips())


def still(app: WalkApp) -> None:
    """No cursor blinks: two pictures of one screen are the same."""
    for field in app.screen.query(Input):
        field.cursor_blink = False


def normal(app: WalkApp) -> str:
    """The screen as SVG, without the name that is made up for it at each export."""
    still(app)
    return re.sub(r"\bterminal-\d+-", "terminal-", app.export_screenshot(title="ligule walk"))


async def typed(pilot: Any, words: str, enter: bool = True, by_hand: bool = False) -> None:
    """Put into the field that has the keyboard; `by_hand` key by key, which takes its time."""
    if by_hand:
        await pilot.press(*[_KEYS.get(mark, mark) for mark in words])
    else:
        field = pilot.app.focused
        kept = "" if field.select_on_focus else field.value
        field.value = f"{kept}{words}"
        await pilot.pause()
    if enter:
        await pilot.press("enter")
        await pilot.pause()


async def focus(pilot: Any, app: WalkApp, name: str) -> None:
    """Tab until something has the keyboard."""
    for _ in range(120):
        if app.focused is not None and app.focused.id == name:
            await pilot.pause()
            return
        app.main.focus_next()  # what Tab does
    raise AssertionError(f"{name} is not reached by Tab")


async def unfold(pilot: Any, app: WalkApp, name: str) -> Any:
    """Opens a calculator of the stage in view by the keyboard; gives its card."""
    await focus(pilot, app, f"work-{name}-fold")
    await pilot.press("enter")
    await pilot.pause()
    return app.main.pages["walk"].query_one(f"#work-{name}")
