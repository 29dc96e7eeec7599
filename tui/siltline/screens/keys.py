"""The keys of a screen, in its last line; an Enter that says there what it does."""

from __future__ import annotations

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.style import Style
from textual.widgets import Static

from siltline.screens.words import plain
from siltline.sentences import retold, say


def enter_does(does: str, action: str = "select") -> list[BindingType]:
    """Return the keys of a list, or of a field, whose Enter does what a sentence says."""
    return [Binding("enter", action, say(does), key_display="Enter")]


class Keys(Static):
    """The foot of every screen: what its keys do, in the language that is spoken now.

    One line of text: Textual's own foot is a widget for each key, which are made anew whenever
    another one is possible, and to import and lay out a twentieth of the time to the first paint.
    """

    def on_mount(self) -> None:
        """Follow what can be done."""
        self.screen.bindings_updated_signal.subscribe(self, self.follow)
        self.follow(self.screen)

    def follow(self, screen: Screen[object]) -> None:
        """Show what can be done, once the rest is painted; as it was while nobody looks."""
        if screen is self.screen and self.app.app_focus:
            self.call_after_refresh(self.show)

    def show(self) -> None:
        """Show what can be done now, unless the screen was left meanwhile."""
        if self.is_attached:
            self.update(self._told())

    def _told(self) -> Content:
        first: dict[str, tuple[Binding, bool]] = {}  # of several keys for one thing, the first
        for _, binding, enabled, _ in self.screen.active_bindings.values():
            if binding.show:
                first.setdefault(binding.action, (binding, enabled))
        return Content.assemble(*(self._key(*one) for one in first.values())).rstrip()

    def _key(self, binding: Binding, enabled: bool) -> Content:
        """Return a key and what it does, which can be clicked as well."""
        key, does = ("$primary", "$foreground") if enabled else ("$secondary", "$secondary")
        told = Content.assemble(
            plain(f" {self.app.get_key_display(binding)} ", f"bold {key}"),
            # Textual takes the names of keys once, when a class is made.
            plain(f"{retold(binding.description, 'key.')} ", does),
        )
        return told.stylize(Style.from_meta({"key": binding.key}))

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Do what the key under the mouse does."""
        key = event.style.meta.get("key")
        if key is not None:
            event.stop()
            self.app.simulate_key(key)
