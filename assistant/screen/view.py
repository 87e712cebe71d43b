"""The port to whatever shows things, and the stand-in for it."""

from __future__ import annotations

from typing import Protocol

from assistant.session.answer import Answer

__all__ = ["RememberedView", "View"]


class View(Protocol):
    """Something to look at. Called from one thread."""

    def answer(self, answer: Answer) -> None:
        """What was heard and what is answered."""

    def entry(self, words: str) -> None:
        """What is being keyed, so far; empty when nothing is."""

    def state(self, words: str) -> None:
        """One of the state words: "listening", "speaking", …"""

    def hearing(self, words: str) -> None:
        """The words so far of what is being said; they may change. Empty when it is over."""

    def level(self, loudness: float) -> None:
        """How loud it is now, from 0 to 1; a few times a second."""

    def notice(self, sentence: str) -> None:
        """Something about the bench itself; empty when it is over."""

    def close(self) -> None: ...


class RememberedView:
    """The official stand-in: remembers everything it was to show."""

    def __init__(self) -> None:
        self.answers: list[Answer] = []
        self.entries: list[str] = []
        self.states: list[str] = []
        self.words: list[str] = []
        self.notices: list[str] = []

    def answer(self, answer: Answer) -> None:
        self.answers.append(answer)

    def entry(self, words: str) -> None:
        self.entries.append(words)

    def state(self, words: str) -> None:
        self.states.append(words)

    def hearing(self, words: str) -> None:
        self.words.append(words)

    def level(self, loudness: float) -> None:
        pass

    def notice(self, sentence: str) -> None:
        self.notices.append(sentence)

    def close(self) -> None:
        pass
