"""Between the session and the board: saved before it is confirmed, and said when it was not."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from assistant.board.port import Board
from assistant.errors import BoardError
from assistant.language.requests import Done, Keep
from assistant.session.effects import Effect, Save, Show, instead
from assistant.session.events import BoardChanged

__all__ = ["Keeper"]


class Keeper:
    """Carries out Save. What could not be saved goes along with the next try."""

    def __init__(self, board: Board) -> None:
        self._board = board
        self._unsaved: Save | None = None
        self._told = ""

    def carried_out(self, effects: Iterable[Effect]) -> list[Effect]:
        """The effects that are left to be carried out.

        Where the board fails, what would have been confirmed is refused with its sentence; any other answer is
        given, with the sentence after it the first time. The session holds everything in memory meanwhile.
        """
        effects = list(effects)
        saves = [effect for effect in effects if isinstance(effect, Save)]
        pending = saves[-1] if saves else self._unsaved
        trouble = self._try(pending) if pending else ""
        rest: list[Effect] = [effect for effect in effects if not isinstance(effect, Save)]
        if not trouble:
            return rest
        answer = next((effect.answer for effect in rest if isinstance(effect, Show)), None)
        if answer is None:
            return rest
        if isinstance(answer.request, (Keep, Done)) and answer.status == "done":
            return instead(rest, replace(answer, status="refused", say=trouble))
        if trouble == self._told:
            return rest
        self._told = trouble
        return instead(rest, replace(answer, say=f"{answer.say} {trouble}".lstrip()))

    @property
    def moved(self) -> bool:
        """Whether ``board_changed`` has something to tell."""
        return self._board.moved

    def board_changed(self) -> BoardChanged | None:
        """What others did to the board since, for the session to take in; None where it cannot be read just now."""
        try:
            return BoardChanged(*self._board.refreshed())
        except BoardError:
            return None

    def _try(self, save: Save) -> str:
        try:
            self._board.save(save.job, save.history)
        except BoardError as error:
            self._unsaved = save
            return str(error)
        self._unsaved, self._told = None, ""
        return ""
