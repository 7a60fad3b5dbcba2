"""Every screen of the walk as a picture, at three sizes and in both inks: what changes on any of them is seen.

After a change that is meant: `python -m pytest tests/test_walk_pictures.py --snapshot-update`, and look at the pictures.
"""

from datetime import datetime

import pytest

from assistant.interfaces.walk.actions import PAGES
from assistant.interfaces.walk.app import WalkApp
from assistant.terms import Now
from tests.walk_pictures import DAY, SIZES, home
from tests.walking import copied, knowledge, opened, session, still


@pytest.fixture(scope="module")
def told():
    return home()


@pytest.mark.parametrize("ink", ["dark", "light"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("screen", [*PAGES, "keys", "command_palette"])
def test_it_looks_as_it_did(told, tmp_path, snap_compare, screen, size, ink):
    place = copied(tmp_path / "home", told)
    now = Now(datetime.fromisoformat(DAY), False)
    app = WalkApp(knowledge(), lambda: session(place, DAY), lambda: now)

    async def turned(pilot):
        await opened(pilot, app)
        if ink == "light":
            await app.action_do("shade")
        await (app.main.turn_to(screen) if screen in PAGES else app.action_do(screen))
        await pilot.pause()
        still(app)
        await pilot.pause()

    assert snap_compare(app, terminal_size=size, run_before=turned)
