"""The keys at the foot, each to be clicked as well; as many as the width holds."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

from assistant.interfaces.walk.actions import ACTIONS, key_words


class KeyRow(Static):
    """One line out of the table of actions."""

    DEFAULT_CSS = "KeyRow { height: 1; padding: 0 1; background: $surface; color: $foreground; link-style: none; link-color: $foreground; }"

    def on_mount(self) -> None:
        self._draw()

    def on_resize(self) -> None:
        self._draw()

    def _draw(self) -> None:
        room = self.size.width - 2
        parts: list[Content] = []
        for action in (one for one in ACTIONS if one.at_foot):
            key = key_words(action.key)
            cells = len(key) + len(action.short) + 3
            if cells > room + 2:
                break
            room -= cells
            words = Content.assemble((key, "bold $primary"), f" {action.short}")
            parts += [words.stylize(f"@click=app.do({action.id!r})"), Content("  ")]
        self.update(Content.assemble(*parts) if parts else "")
