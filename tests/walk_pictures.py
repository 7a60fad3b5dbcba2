"""Pictures of the walk, drawn by the real program on a fixed day: `python -m tests.walk_pictures` puts them in their places,
the text picture into README.md and the others, which the guides show, into transcripts_demo/.
"""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import Any

from tests.walking import BEGUN, chat, copied, normal, shown, unfold, walked

DAY = "2026-08-10"
SEED_DAY = "2026-09-12"
SIZES = ((60, 20), (80, 24), (120, 40))
README = Path(__file__).parent.parent / "README.md"
FOLDER = README.parent / "transcripts_demo"
_BLOCK = re.compile(r"(```text\n).*?(\n```)", re.DOTALL)


def home() -> Path:
    """A lawn before seed day, with something on the shelf."""
    made = Path(tempfile.mkdtemp())
    chat(made, "2026-07-18", *BEGUN)
    chat(made, DAY, "i have 60 lb of granular starter", "took the soil test today")
    return made


def picture() -> str:
    """The stage in hand as text."""

    async def script(pilot: Any, app: Any) -> str:
        return "\n".join(line.rstrip() for line in shown(app).split("\n"))

    return walked(home(), DAY, script)


def stage() -> str:
    """The stage in hand where there is room."""

    async def script(pilot: Any, app: Any) -> str:
        return normal(app)

    return walked(home(), DAY, script, (120, 40))


def seed_day() -> str:
    """Seed day on light paper, a figure tried in the calculator of the seed."""

    async def script(pilot: Any, app: Any) -> str:
        await app.action_do("shade")
        card = await unfold(pilot, app, "seed")
        await pilot.pause()
        app.main.pages["walk"].scroll_to_widget(card, top=True, animate=False)
        await pilot.pause()
        return normal(app)

    told = copied(Path(tempfile.mkdtemp()), home())
    chat(told, "2026-09-04", "seed order done today", "utility call done today", "second kill spray done today")
    return walked(told, SEED_DAY, script, (100, 34))


PICTURES = {"walk_stage": stage, "walk_seed_day": seed_day}


if __name__ == "__main__":
    README.write_text(_BLOCK.sub(lambda found: found[1] + picture() + found[2], README.read_text(), count=1))
    for name, made in PICTURES.items():
        (FOLDER / f"{name}.svg").write_text(made(), encoding="utf-8")
        print(f"Written: transcripts_demo/{name}.svg")
