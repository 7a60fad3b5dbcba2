"""The full-screen app: keys, the palette and the two papers it can be drawn on, all out of the table of actions."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import CommandPalette
from textual.screen import Screen
from textual.theme import Theme

from assistant.interfaces.walk.actions import ACTIONS, PAGES
from assistant.interfaces.walk.main_screen import MainScreen
from assistant.knowledge_base import Knowledge
from assistant.terms import Now, capital

if TYPE_CHECKING:
    from assistant.dialogue import Session

# Dark soil with straw on it, and the paper of a seed tag. All of the 256 colours, so that no terminal bends them.
SOIL = Theme(
    name="soil",
    primary="#d7af5f",
    secondary="#87af5f",
    accent="#d78700",
    foreground="#d7d7af",
    background="#1c1c1c",
    surface="#262626",
    panel="#3a3a3a",
    success="#87af5f",
    warning="#d7af5f",
    error="#ff875f",
    dark=True,
    variables={"muted": "#87875f"},
)
TAG = Theme(
    name="tag",
    primary="#875f00",
    secondary="#5f8700",
    accent="#af5f00",
    foreground="#303030",
    background="#ffffd7",
    surface="#ffffd7",
    panel="#d7d7af",
    success="#5f8700",
    warning="#875f00",
    error="#af0000",
    dark=False,
    variables={"muted": "#767676"},
)
_PALETTE = (30, 10)  # columns and rows that the palette needs
_OWN_KEYS = ("command_palette", "quit")


class WalkApp(App[None]):
    """The walk. Everything that it shows or records goes through the desk."""

    CSS_PATH = Path(__file__).with_name("walk.tcss")
    TITLE = "ligule walk"
    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(one.key, one.id if one.id in _OWN_KEYS else f"do({one.id!r})", one.short, show=False, priority=True)
            for one in ACTIONS
        ),
        Binding("pageup", "turn_page(False)", show=False),
        Binding("pagedown", "turn_page(True)", show=False),
    ]

    def __init__(self, knowledge: Knowledge, session: Callable[[], Session], clock: Callable[[], Now]) -> None:
        super().__init__()
        self.knowledge = knowledge
        self.session = session
        self.clock = clock

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """The quiet ink of sources and of what is past."""
        return {"muted": "#87875f"}

    def _fatal_error(self) -> None:
        """Leaves at once, and without the traceback that Textual prints: `walk` passes the error on to the command line."""
        self._close_messages_no_wait()

    def on_mount(self) -> None:
        self.register_theme(SOIL)
        self.register_theme(TAG)
        self.theme = SOIL.name
        titles = [stage["title"] for stage in self.knowledge.entry("walk.stages").values()]
        self.push_screen(MainScreen(titles, self.session, self.clock))

    @property
    def main(self) -> MainScreen | None:
        """The screen of the walk, under whatever lies over it."""
        return next((one for one in self.screen_stack if isinstance(one, MainScreen)), None)

    async def on_event(self, event: events.Event) -> None:
        """Keys come here first: a letter that no page takes is in the question line before the next key is read."""
        if not (self.main is not None and self.screen is self.main and self.main.typed_astray(event)):
            await super().on_event(event)

    async def action_do(self, action: str) -> None:
        """One action of the table, from a key, a click, the palette or a typed `go ...`."""
        if action == "swap" and not isinstance(self.screen, MainScreen):
            self.screen.dismiss()
        elif action == "keys":
            from assistant.interfaces.walk.help_screen import HelpScreen

            if isinstance(self.screen, MainScreen):
                self.push_screen(HelpScreen())
            elif isinstance(self.screen, HelpScreen):
                self.screen.dismiss()
        elif action == "shade":
            self.theme = TAG.name if self.theme == SOIL.name else SOIL.name
        elif action == "quit":
            self.exit()
        elif action == "command_palette":
            self.action_command_palette()
        elif self.main is not None:
            await self.main.do(action)

    def action_command_palette(self) -> None:
        if self._roomy():
            super().action_command_palette()

    def on_resize(self) -> None:
        """The palette falls over a terminal of a few columns or rows: it is put away there."""
        if isinstance(self.screen, CommandPalette) and not self._roomy():
            self.screen.dismiss()

    def _roomy(self) -> bool:
        return self.size.width >= _PALETTE[0] and self.size.height >= _PALETTE[1]

    def action_turn_page(self, down: bool) -> None:
        if self.main is not None and self.screen is self.main:
            self.main.turn_page(down)

    def get_system_commands(self, screen: Screen) -> Iterable[SystemCommand]:
        """The palette: every action, every stage, every lawn."""
        for action in ACTIONS:
            if action.id not in ("command_palette", "swap"):
                title, under = (
                    (action.short, action.words) if action.id in PAGES else (action.words, f"or type: {action.typed}")
                )
                yield SystemCommand(capital(title), under, lambda one=action.id: self.call_later(self.action_do, one))
        if self.main is None or self.main.view is None:
            return
        for number, stage in enumerate(self.main.view.stages, 1):
            yield SystemCommand(
                f"Stage {number}: {stage.title}", stage.state, lambda key=stage.key: self.call_later(self._stage, key)
            )
        for name in self.main.desk.lawns:
            yield SystemCommand(
                f"Lawn: {name}", "bring it into view", lambda one=name: self.call_later(self._lawn, one)
            )

    async def _stage(self, key: str) -> None:
        if self.main is not None:
            await self.main.go_to_stage(key)

    async def _lawn(self, name: str) -> None:
        if self.main is not None:
            await self.main.go_to_lawn(name)
            await self.main.turn_to("walk")

    async def on_app_focus(self) -> None:
        """Back from another window: somebody may have told something there."""
        if self.main is not None:
            await self.main.watch_record()
