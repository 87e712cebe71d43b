"""A bench of nothing but keys: says each key's echo and each request. Run in a terminal by test_terminal.py."""

from __future__ import annotations

import sys

from assistant.errors import KeypadUnavailable
from assistant.keypad.entry import Bench, Pad, press
from assistant.keypad.keys import Key, Talk
from assistant.keypad.terminal import terminal_keys
from assistant.language.understanding import Understood


def main() -> None:
    pad = Pad()
    with terminal_keys() as keys:
        print("ready", flush=True)
        while True:
            pressed = keys.read()
            if isinstance(pressed, Talk):
                print(f"<{pressed.value}>", flush=True)
                continue
            if pressed is Key.STAR and "crash" in sys.argv:
                raise RuntimeError("this is the crash that was asked for")
            if pressed is Key.STAR:
                return
            result = press(pad, pressed, Bench())
            pad = result.pad
            asked = result.outcome.request if isinstance(result.outcome, Understood) else ""
            print(f"<{result.say}{asked}>", flush=True)


if __name__ == "__main__":
    try:
        main()
    except KeypadUnavailable as unavailable:
        sys.exit(f"no keys: {unavailable}")
    except KeyboardInterrupt:
        sys.exit("left with Ctrl-C")
