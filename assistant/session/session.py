"""The session: events in, effects out. Bring your own microphone, loudspeaker, keys, screen and disk.

    session = Session(Manners(), job=board.last_job())
    for effect in session.handle(Heard("center of fifty three", outcome)):
        carry it out

Nothing blocks in here, and nothing that happens can make it fail: what cannot be is answered with a sentence,
and an event that the table of ``states`` does not know changes nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.language.requests import Attend, Attention, Manner, Measure, Print
from assistant.language.understanding import NotUnderstood
from assistant.session.answer import Answer
from assistant.session.conversation import SAY_AGAIN, Conversation
from assistant.session.effects import (
    Adjust,
    Effect,
    Hush,
    Listen,
    Notice,
    Prepare,
    Save,
    Say,
    Show,
    Sound,
    StopListening,
    Suit,
)
from assistant.session.events import (
    Asked,
    BoardChanged,
    Event,
    Heard,
    MicrophoneBack,
    MicrophoneLost,
    Misheard,
    SpeechFinished,
    Started,
    TalkKey,
    WakeHeard,
    WindowClosed,
)
from assistant.session.job import Job
from assistant.session.manners import Manners
from assistant.session.questions import Question
from assistant.session.states import TABLE, State, kind_of

__all__ = ["Session"]

CANNOT_HEAR = "Can't hear you over that. Use the keys."
LOST_IT = "I lost that: my hearing had to be started again. Say it again."
UNKNOWN_WORDS = "I don't know those words. Ask what can I say."
_EARCONS = {"refused": "error", "not-understood": "not-understood"}
_MISSES = 2
"""In a row, before he is sent to the keys."""


class Session:
    """One person at one bench."""

    def __init__(
        self,
        manners: Manners,
        board: Sequence[tuple[str, Measure]] | None = None,
        job: Job | None = None,
        history: Sequence[Job] = (),
        examples: Sequence[str] = (),
    ) -> None:
        """``board`` is what is kept on disk now, where that may be newer than the job; ``history`` the jobs to
        undo to, oldest first; ``examples`` what to say when he asks what he can say."""
        job = job or Job()
        if board is not None:
            job = replace(job, kept=tuple(board))
        self._attention = manners.attention
        self._talk = Conversation(manners, job, history, examples)
        self._state = self._rest
        self._misses = 0
        self._lost = ""

    @property
    def state(self) -> State:
        return self._state

    @property
    def job(self) -> Job:
        return self._talk.job

    @property
    def history(self) -> tuple[Job, ...]:
        return self._talk.history

    @property
    def expecting(self) -> str:
        """The public rule of the grammar for what may come next; what is typed is read by it too."""
        return self._talk.expecting

    @property
    def manners(self) -> Manners:
        """How he wants to be answered, with what he asked for aloud."""
        return replace(self._talk.manners, attention=self._attention)

    @property
    def question(self) -> Question | None:
        """The question that is open."""
        return self._talk.question

    def handle(self, event: Event) -> list[Effect]:
        """What is to be done about an event, in order."""
        if kind_of(event) not in TABLE[self._state]:
            return []
        before, manners = (self.job, self.history), self.manners
        match event:
            case Started():
                answer = self._talk.resume()
            case Heard():
                answer = self._heard(event)
            case Asked(request, shown):
                self._misses = 0
                answer = self._talk.asked(shown, request)
            case Misheard(reason):
                if self._state is State.LISTENING and reason in ("noise", "not-for-us"):
                    return []  # nobody called us: it was talk or noise, and is let pass
                answer = self._talk.not_understood("", LOST_IT) if reason == "restarted" else self._missed("")
            case BoardChanged(taken, added):
                words = self._talk.board_changed(taken, added)
                told: list[Effect] = [Notice(words)] if words else []
                return [*told, Save(self.job, self.history)] if (self.job, self.history) != before else told
            case _:
                return self._floor(event)
        return self._reply(answer, spoken=_spoken(event), changed=(self.job, self.history) != before, manners=manners)

    # Words.

    def _heard(self, event: Heard) -> Answer:
        if not isinstance(event.outcome, NotUnderstood):
            self._misses = 0
        elif event.typed:
            return self._talk.not_understood(event.words, UNKNOWN_WORDS)
        else:
            return self._missed(event.words)
        return self._talk.understood(event.words, event.outcome)

    def _missed(self, words: str) -> Answer:
        self._misses += 1
        return self._talk.not_understood(words, CANNOT_HEAR if self._misses >= _MISSES else SAY_AGAIN)

    def _reply(self, answer: Answer, *, spoken: bool, changed: bool, manners: Manners) -> list[Effect]:
        """The effects of an answer. ``manners`` is how he wanted things before it."""
        if isinstance(answer.request, Attend) and answer.status == "done":
            self._attention = answer.request.by
        effects: list[Effect] = []
        manner = answer.request if isinstance(answer.request, Manner) else None
        if self._state in (State.SPEAKING, State.HELD, State.DEAF) or manner is Manner.STOP:
            effects.append(Hush())
        if manner is not None and manner is not Manner.STOP:
            effects.append(Adjust(manner))
        if self.manners != manners:
            effects.append(Suit(self.manners))
        if changed:
            effects.append(Save(self.job, self.history))
        if isinstance(answer.request, Print) and answer.status == "done":
            effects.append(self._talk.on_paper(answer.request))
        effects.append(Show(answer))
        earcon = _EARCONS.get(answer.status, "got-it" if spoken else "")
        if earcon:
            effects.append(Sound(earcon))
        if answer.say:
            effects.append(Say(answer.say))
        if self._state not in (State.HELD, State.DEAF):
            self._state = State.SPEAKING if answer.say else self._after_speech
        effects += self._listen()
        likely = self._talk.likely()
        return [*effects, Prepare(likely)] if likely else effects

    # The floor.

    def _floor(self, event: Event) -> list[Effect]:
        cut: list[Effect] = [Hush()] if self._state is State.SPEAKING else []
        match event:
            case WakeHeard():
                self._state = State.CALLED
                return [*cut, Sound("listening"), *self._listen()]
            case TalkKey(down=True) if self._state is State.DEAF:
                return [Hush(), Sound("error"), Say(self._lost)]
            case TalkKey(down=True):
                self._state = State.HELD
                return [*cut, Sound("listening"), *self._listen()]
            case TalkKey():
                self._state = State.LISTENING if self._always else State.RELEASED
                return self._listen() if self._always else [StopListening()]
            case WindowClosed():
                self._state = self._rest
                return [] if self._always else [StopListening()]
            case SpeechFinished():
                self._state = self._after_speech
                return self._listen()
            case MicrophoneLost(sentence):
                self._state, self._lost = State.DEAF, sentence
                return [*cut, Notice(sentence), Sound("error"), Say(sentence)]
            case MicrophoneBack():
                self._state = self._rest
                return [Notice(""), *(self._listen() if self._always else [])]
        raise TypeError(f"{event!r} is no event")

    def _listen(self) -> list[Effect]:
        """What is to be heard from here on, where anything is."""
        expecting = self._talk.expecting
        if self._state is State.HELD or (self._always and self._state is not State.DEAF):
            return [Listen(expecting, follow_up=False)]
        called = self._state is State.CALLED
        if self._state is State.DEAF or (self._attention is Attention.PUSH and not called):
            return []
        return [Listen(expecting, follow_up=True)]

    @property
    def _always(self) -> bool:
        return self._attention is Attention.OPEN

    @property
    def _rest(self) -> State:
        return State.LISTENING if self._always else State.WAITING

    @property
    def _after_speech(self) -> State:
        return State.WAITING if self._attention is Attention.PUSH else State.LISTENING


def _spoken(event: Event) -> bool:
    return isinstance(event, Misheard) or (isinstance(event, Heard) and not event.typed)
