"""Who has the floor: one table for everything that may happen, and what cannot.

                          wake phrase                    talk key down
        WAITING ───────────────────────▶ CALLED       (any) ─────────▶ HELD
           ▲                               │                             │ talk key up
           │ window closed                 │ words                       ▼
           │                               ▼              words       RELEASED
        LISTENING ◀────────────────── SPEAKING ◀─────────────────────────┘
           │         speech finished       ▲
           └───────────────────────────────┘
                       words
        (any) ── microphone lost ──▶ DEAF ── microphone back ──▶ WAITING

    WAITING     only the wake phrase, the talk key and the keys are answered
    CALLED      he has called us by name: whatever comes next is meant for us and owed a reply
    LISTENING   the follow-up window after an answer, or attention that is always open: chatter is let pass
    HELD        the talk key is down
    RELEASED    it has come up, and what was said is still being made out
    SPEAKING    an answer is being said
    DEAF        there is no microphone: keys and print do the whole job

Keys and typed words are answered in every state, and what another bench does to the board is taken in in every one
without leaving it. Whether a question is open is no state of its own: it
changes what the next words mean (``questions``), not who has the floor. Attention that is always open stands
in LISTENING where the others stand in WAITING; push to talk stands in WAITING where the wake phrase would
leave a follow-up window open.

An event that is not in the table cannot be meant: it changes nothing and has no effects. That covers a
window that closes while we speak, noise nobody asked us to hear, and a talk key let up that never went down.
"""

from __future__ import annotations

from enum import Enum

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

__all__ = ["TABLE", "State", "kind_of"]


class State(Enum):
    WAITING = "waiting"
    CALLED = "called"
    LISTENING = "listening"
    HELD = "held"
    RELEASED = "released"
    SPEAKING = "speaking"
    DEAF = "deaf"


Kind = type[Event] | tuple[type[TalkKey], bool]
"""An event by its class; the talk key by its direction too."""

DOWN, UP = (TalkKey, True), (TalkKey, False)


def kind_of(event: Event) -> Kind:
    return (TalkKey, event.down) if isinstance(event, TalkKey) else type(event)


_W, _C, _L, _H, _R, _S, _D = State

_ROWS: dict[State, dict[Kind, set[State]]] = {
    # From     event: where it may lead. Words that need no answer aloud lead back to rest.
    _W: {
        Started: {_S}, Heard: {_S, _L, _W}, Asked: {_S, _L, _W},
        WakeHeard: {_C}, DOWN: {_H}, MicrophoneLost: {_D}, BoardChanged: {_W},
    },
    _C: {
        Heard: {_S, _L, _W}, Asked: {_S, _L, _W}, Misheard: {_S},
        WakeHeard: {_C}, DOWN: {_H}, WindowClosed: {_W, _L}, MicrophoneLost: {_D}, BoardChanged: {_C},
    },
    _L: {
        Started: {_S}, Heard: {_S, _L, _W}, Asked: {_S, _L, _W}, Misheard: {_S, _L},
        WakeHeard: {_C}, DOWN: {_H}, WindowClosed: {_W, _L}, SpeechFinished: {_L}, MicrophoneLost: {_D},
        BoardChanged: {_L},
    },
    _H: {
        Heard: {_H}, Asked: {_H}, Misheard: {_H},
        UP: {_R, _L}, MicrophoneLost: {_D}, BoardChanged: {_H},
    },
    _R: {
        Heard: {_S, _L, _W}, Asked: {_S, _L, _W}, Misheard: {_S},
        WakeHeard: {_C}, DOWN: {_H}, WindowClosed: {_W}, MicrophoneLost: {_D}, BoardChanged: {_R},
    },
    _S: {
        Heard: {_S, _L, _W}, Asked: {_S, _L, _W},
        WakeHeard: {_C}, DOWN: {_H}, SpeechFinished: {_L, _W}, MicrophoneLost: {_D}, BoardChanged: {_S},
    },
    _D: {
        Started: {_D}, Heard: {_D}, Asked: {_D},
        DOWN: {_D}, MicrophoneBack: {_W, _L}, BoardChanged: {_D},
    },
}  # fmt: skip

TABLE = {state: {kind: frozenset(to) for kind, to in row.items()} for state, row in _ROWS.items()}
