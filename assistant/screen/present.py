"""What stands on the screen now, and each screen's share of it that is still to be sent."""

from __future__ import annotations

import asyncio
from typing import Any

__all__ = ["Present", "Watcher"]


class Watcher:
    """One screen. Of each part it gets the newest: a slow one skips what is already over, and never piles up."""

    def __init__(self, present: Present, own: dict[str, Any]) -> None:
        self._present = present
        self._own = own
        self._due: dict[str, None] = dict.fromkeys([*present.parts, *own])
        self._changed = asyncio.Event()
        self._changed.set()

    def note(self, name: str) -> None:
        if name not in self._own:
            self._due[name] = None
            self._changed.set()

    def give(self, name: str, part: Any) -> None:
        """Show a part on this screen alone, whatever the others show."""
        self._own[name] = part
        self._due[name] = None
        self._changed.set()

    async def next(self) -> dict[str, Any]:
        """The parts that have changed since the last call; the first time, all of them."""
        await self._changed.wait()
        self._changed.clear()
        due, self._due = self._due, {}
        return {name: self._own[name] if name in self._own else self._present.parts[name] for name in due}


class Present:
    """All parts as they are now. Lives in the server's loop."""

    def __init__(self) -> None:
        self.parts: dict[str, Any] = {}
        self._watchers: set[Watcher] = set()

    def put(self, name: str, part: Any) -> None:
        """Show another value of a part on every screen."""
        if name not in self.parts or self.parts[name] != part:
            self.parts[name] = part
            for watcher in self._watchers:
                watcher.note(name)

    def watch(self, **own: Any) -> Watcher:
        """A screen more; ``own`` is what it shows in place of what the others do."""
        watcher = Watcher(self, own)
        self._watchers.add(watcher)
        return watcher

    def leave(self, watcher: Watcher) -> None:
        self._watchers.discard(watcher)

    @property
    def screens(self) -> int:
        return len(self._watchers)
