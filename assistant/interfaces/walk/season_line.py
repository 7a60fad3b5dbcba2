"""The season of the place on the page: soil, the days that count, and frost, as wide as there is room."""

from __future__ import annotations

from dataclasses import replace

from textual.content import Content
from textual.widgets import Static

from assistant.skills.chart import Season, drawn

_SHOWN = "S123FH^"  # seed day, feeds, frost and today; the other steps stand in the list of stages
_MARGIN = 8  # the degrees on the side, and the last letters under it
_LEAST, _MOST = 20, 90


class SeasonLine(Static):
    """The picture of `ligule season`, drawn to the width of the page."""

    DEFAULT_CSS = "SeasonLine { height: auto; text-wrap: nowrap; text-overflow: ellipsis; }"

    def __init__(self, picture: Season, id: str | None = None) -> None:
        super().__init__("", id=id)
        self.picture = replace(picture, marks=tuple(mark for mark in picture.marks if mark.letter in _SHOWN))

    def on_resize(self) -> None:
        columns = max(_LEAST, min(self.size.width - _MARGIN, _MOST))
        self.update(Content("\n".join(drawn(self.picture, columns))))
