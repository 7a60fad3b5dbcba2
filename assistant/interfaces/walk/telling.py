"""An answer as it stands on a page: the headline strong, what lies under it set in."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Static

from assistant.answer import Answer

_PICTURE = "timing.season_picture"  # its lines are a drawing and must not be wrapped


class Telling(Vertical):
    """One answer. It is told anew without being made anew."""

    DEFAULT_CSS = """
    Telling { height: auto; }
    Telling > Static { height: auto; }
    Telling > .under { padding: 0 0 0 2; }
    Telling.-refused > .head { color: $warning; }
    Telling.-drawn { overflow-x: auto; }
    Telling.-drawn > .under { width: auto; text-wrap: nowrap; }
    """

    def __init__(self, answer: Answer | None = None, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes)
        self.answer = answer

    def compose(self) -> ComposeResult:
        yield Static(head_of(self.answer), classes="head")
        yield Static(under_of(self.answer), classes="under")

    def on_mount(self) -> None:
        self._show()

    def tell(self, answer: Answer | None) -> None:
        """Another answer, or none."""
        self.answer = answer
        self.query_one(".head", Static).update(head_of(answer))
        self.query_one(".under", Static).update(under_of(answer))
        self._show()

    def _show(self) -> None:
        refused = self.answer is not None and self.answer.status in ("refused", "out_of_scope", "unsure")
        self.set_class(refused, "-refused")
        self.set_class(self.answer is not None and self.answer.intent == _PICTURE, "-drawn")
        self.query_one(".head").display = bool(head_of(self.answer).plain)
        self.query_one(".under").display = bool(under_of(self.answer).plain)


def head_of(answer: Answer | None) -> Content:
    """The headline."""
    return Content.styled(answer.headline, "bold") if answer else Content("")


def under_of(answer: Answer | None) -> Content:
    """What stands under the headline, to the question that is asked back."""
    if answer is None:
        return Content("")
    parts: list[Content] = [Content(line) for line in (*answer.lines, *answer.working)]
    parts += [Content.styled(f"Mind: {caution}", "$warning") for caution in answer.cautions]
    if answer.sources:
        parts.append(Content.styled("By: " + "; ".join(one.words or one.title for one in answer.sources), "$muted"))
    parts += [Content.styled(f"{change}. On record.", "$success") for change in answer.changes]
    if answer.asks:
        parts.append(Content.styled(answer.asks.words, "bold $primary"))
    return Content("\n").join(parts)
