"""One line from the keyboard, with the bottom line under it: the only file that draws with prompt_toolkit.

The whole is drawn under the cursor and wiped when the line is done; nothing asks the terminal where its cursor is, so
no answer to that can land in the line. Only the terminal's own colours are used.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Coroutine, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from prompt_toolkit.application import Application
from prompt_toolkit.auto_suggest import AutoSuggest, Suggestion
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.completion import Completer
from prompt_toolkit.document import Document
from prompt_toolkit.filters import Condition, has_completions, is_done, is_searching
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent, merge_key_bindings
from prompt_toolkit.key_binding.bindings.auto_suggest import load_auto_suggest_bindings
from prompt_toolkit.layout import ConditionalContainer, HSplit, Layout, Window
from prompt_toolkit.layout.controls import BufferControl, FormattedTextControl
from prompt_toolkit.layout.dimension import Dimension
from prompt_toolkit.layout.menus import CompletionsMenuControl
from prompt_toolkit.layout.processors import AppendAutoSuggestion, HighlightIncrementalSearchProcessor
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.output.vt100 import Vt100_Output
from prompt_toolkit.styles import Style
from prompt_toolkit.widgets import SearchToolbar

from assistant.interfaces.actions import ACTIONS, KEYS, beside
from assistant.interfaces.history import Asked
from assistant.interfaces.ink import WIDEST, wide
from assistant.interfaces.printing import safe

MARK = "> "
_ROWS = 8  # of a long paste, or of what Tab offers, that are shown at once
_BESIDE = (beside("why", "next", KEYS), beside("why", KEYS), beside(KEYS))  # as many as there is room for
_TICK = 10  # columns between two long ticks of the tape over the bottom line

_STYLE = Style.from_dict(
    {
        "auto-suggestion": "dim",
        "tape": "dim",
        "completion-menu": "noreverse",
        "completion-menu.completion": "noreverse",
        "completion-menu.completion.current": "reverse",
        "completion-menu.meta.completion": "noreverse dim",
        "completion-menu.meta.completion.current": "reverse",
        "search-toolbar.text": "",
        "incsearch": "underline",
        "incsearch.current": "underline bold",
    }
)


@dataclass(frozen=True, slots=True)
class Said:
    """What the keyboard gave: a line, an action by its key beside a line begun, a line dropped, or the end."""

    text: str = ""
    action: str = ""
    dropped: bool = False
    left: bool = False


class FromHistory(AutoSuggest):
    """The newest line of the history that goes on from what is typed."""

    def __init__(self, history: Asked) -> None:
        self._history = history

    def get_suggestion(self, buffer: Buffer, document: Document) -> Suggestion | None:
        text = document.text
        if not text.strip() or "\n" in text:
            return None
        asked = (one for one in reversed(self._history.get_strings()) if "\n" not in one)
        return next((Suggestion(one[len(text) :]) for one in asked if one.startswith(text) and one != text), None)


class Prompt:
    """Built once; asks for one line after another. `begun` runs once, when the first prompt stands on the screen."""

    def __init__(
        self,
        history: Asked,
        completer: Completer,
        bottom: Callable[[], tuple[str, ...]],
        begun: Callable[[], Coroutine[Any, Any, None]],
        unicode: bool = True,
    ) -> None:
        self._bottom = bottom
        self._begun: Callable[[], Coroutine[Any, Any, None]] | None = begun
        self._unicode = unicode
        self.buffer = Buffer(
            history=history,
            completer=completer,
            complete_while_typing=False,
            auto_suggest=FromHistory(history),
            enable_history_search=False,
            accept_handler=None,
            multiline=False,
        )
        search = SearchToolbar(backward_search_prompt="asked before: ", forward_search_prompt="asked after: ")
        lines = Window(
            BufferControl(
                self.buffer,
                search_buffer_control=search.control,
                input_processors=[HighlightIncrementalSearchProcessor(), AppendAutoSuggestion()],
                preview_search=True,
            ),
            height=Dimension(min=1, max=_ROWS),
            wrap_lines=True,
            dont_extend_height=True,
            get_line_prefix=lambda line, wrap: MARK if not line and not wrap else " " * len(MARK),
        )
        offered = ConditionalContainer(
            Window(
                CompletionsMenuControl(),
                height=Dimension(min=1, max=_ROWS),
                dont_extend_height=True,
                dont_extend_width=True,
            ),
            has_completions & ~is_done,
        )
        below = ConditionalContainer(
            HSplit([_row(self._tape, "class:tape"), _row(self._words, "")]), ~is_done & ~is_searching
        )
        filler = Window(height=Dimension(min=0, preferred=0))
        self.app: Application[Said] = Application(
            Layout(HSplit([lines, offered, search, below, filler]), lines),
            key_bindings=merge_key_bindings([load_auto_suggest_bindings(), self._keys()]),
            style=_STYLE,
            color_depth=ColorDepth.DEPTH_1_BIT,
            erase_when_done=True,
            output=_output(),
        )
        self.app.after_render += self._painted

    def ask(self, text: str = "") -> Said:
        """Waits for a line; `text` is what stands in it at first."""
        self.buffer.reset(Document(text))
        try:
            return self.app.run()
        except EOFError:  # the terminal is gone
            return Said(left=True)

    def other_history(self) -> None:
        """The history is another one than when the line was begun; what is typed stays."""
        self.buffer.reset(self.buffer.document)

    def _painted(self, app: Application[Said]) -> None:
        if self._begun is not None:
            begun, self._begun = self._begun, None
            app.create_background_task(begun())

    def _width(self) -> int:
        return self.app.output.get_size().columns

    def _tape(self) -> str:
        """The edge of a tape measure between what is typed and how the lawn stands."""
        return "".join("|" if place % _TICK == 0 else "'" for place in range(min(self._width() - 1, WIDEST)))

    def _words(self) -> str:
        """How the lawn stands, on the left; on the right the keys there is room for."""
        room = min(self._width() - 1, WIDEST)
        lines = self.buffer.document.line_count
        held = (f"{lines} lines: Enter asks them in order",) if lines > 1 else self._bottom()
        ways = [(safe(left, self._unicode), right) for left in held for right in _BESIDE]
        left, right = next(((a, b) for a, b in ways if wide(a) + 3 + len(b) <= room), ways[-1])
        while left and wide(left) + 2 + len(right) > room:
            left = left[:-1]
        return f"{left}{' ' * (room - wide(left) - len(right))}{right}"

    def _keys(self) -> KeyBindings:
        keys = KeyBindings()

        @keys.add("enter", filter=~is_searching)
        def _(event: KeyPressEvent) -> None:
            event.app.exit(result=Said(self.buffer.text))

        @keys.add("c-c", filter=~is_searching)
        @keys.add("<sigint>")
        def _(event: KeyPressEvent) -> None:
            event.app.exit(result=Said(self.buffer.text, dropped=True))

        @keys.add("c-d", filter=Condition(lambda: not self.buffer.text) & ~is_searching)
        def _(event: KeyPressEvent) -> None:
            event.app.exit(result=Said(left=True))

        @keys.add("tab", filter=~is_searching)
        def _(event: KeyPressEvent) -> None:
            if self.buffer.complete_state:
                self.buffer.complete_next()
            else:
                self.buffer.start_completion(insert_common_part=True)

        @keys.add("s-tab", filter=has_completions)
        def _(event: KeyPressEvent) -> None:
            self.buffer.complete_previous()

        @keys.add("c-z")
        def _(event: KeyPressEvent) -> None:
            event.app.suspend_to_background()

        for action in ACTIONS:
            if action.key:
                _bound(keys, action.key, action.id, self.buffer)
        return keys


def _bound(keys: KeyBindings, key: str, action: str, buffer: Buffer) -> None:
    @keys.add(key)
    def _(event: KeyPressEvent) -> None:
        event.app.exit(result=Said(buffer.text, action=action))


def _row(words: Callable[[], str], style: str) -> Window:
    return Window(FormattedTextControl(words), height=1, dont_extend_height=True, style=style)


@contextmanager
def keys_held() -> Iterator[None]:
    """What is typed between two prompts waits for the next one, unseen and unread, Ctrl-D and all; Ctrl-C is a signal."""
    try:
        import termios
    except ImportError:  # a terminal of another kind
        yield
        return
    keyboard = sys.stdin.fileno()
    before = termios.tcgetattr(keyboard)
    held = termios.tcgetattr(keyboard)
    held[0] &= ~termios.ICRNL
    held[3] &= ~(termios.ICANON | termios.ECHO)
    held[3] |= termios.NOFLSH  # an interrupt throws away nothing written or typed before it
    termios.tcsetattr(keyboard, termios.TCSANOW, held)
    try:
        yield
    finally:
        termios.tcsetattr(keyboard, termios.TCSADRAIN, before)


def _output() -> Any:
    """The terminal, without questions about its cursor."""
    from prompt_toolkit.output.defaults import create_output

    made = create_output()
    if isinstance(made, Vt100_Output):
        made.enable_cpr = False
    return made


def more(words: str) -> bool:
    """A row that waits for a key: space or Enter for the next page, q or Ctrl-C to stop."""
    keys = KeyBindings()

    @keys.add(" ")
    @keys.add("enter")
    @keys.add("pagedown")
    @keys.add("down")
    def _(event: KeyPressEvent) -> None:
        event.app.exit(result=True)

    @keys.add("q")
    @keys.add("c-c")
    @keys.add("c-d")
    @keys.add("escape")
    @keys.add("<sigint>")
    def _(event: KeyPressEvent) -> None:
        event.app.exit(result=False)

    app: Application[bool] = Application(
        Layout(Window(FormattedTextControl(words), height=1, style="class:tape")),
        key_bindings=keys,
        style=_STYLE,
        color_depth=ColorDepth.DEPTH_1_BIT,
        erase_when_done=True,
        output=_output(),
    )
    try:
        return app.run()
    except EOFError:
        return False
