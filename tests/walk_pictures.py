"""Pictures of the walk, drawn by the real program on a fixed day: `python -m tests.walk_pictures` puts the text picture of
README.md in its place; with a folder it writes every page there as SVG, at three sizes, in both inks.
"""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

from assistant.interfaces.walk.actions import PAGES
from tests.walking import BEGUN, chat, shown, walked

DAY = "2026-08-10"
SIZES = ((60, 20), (80, 24), (120, 40))
README = Path(__file__).parent.parent / "README.md"
_BLOCK = re.compile(r"(```text\n).*?(\n```)", re.DOTALL)


def home() -> Path:
    """A lawn before seed day, with something on the shelf."""
    made = Path(tempfile.mkdtemp())
    chat(made, "2026-07-18", *BEGUN)
    chat(made, DAY, "i have 60 lb of granular starter", "took the soil test today")
    return made


def picture(size: tuple[int, int] = (80, 24), page: str = "walk", light: bool = False, svg: bool = False) -> str:
    """One page as text or as SVG."""

    async def script(pilot, app):
        if light:
            await app.action_do("shade")
        await app.main.turn_to(page)
        await pilot.pause()
        if svg:
            return app.export_screenshot(title="ligule walk")
        return "\n".join(line.rstrip() for line in shown(app).split("\n"))

    return walked(home(), DAY, script, size)


def main(folder: str = "") -> None:
    if not folder:
        README.write_text(_BLOCK.sub(lambda found: found[1] + picture() + found[2], README.read_text(), count=1))
        return
    for page in PAGES:
        for width, height in SIZES:
            for light in (False, True):
                name = f"{page}-{width}x{height}-{'light' if light else 'dark'}.svg"
                Path(folder, name).write_text(picture((width, height), page, light, svg=True))


if __name__ == "__main__":
    main(*sys.argv[1:2])
