"""The command line: ``tapehand`` and its commands.

Every command ends in a number: 0 answered or done, 3 a question, 2 refused or not understood, 1 could not run. Any
failure is one plain sentence. TAPEHAND_DEBUG=1 shows where in the program it came from.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence

from assistant.errors import TapehandError

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run ``tapehand`` with these arguments, by default those it was started with. Returns the exit status."""
    from assistant.cli import commands

    for stream in (sys.stdin, sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        return commands.run(commands.parsed(arguments))
    except BrokenPipeError:  # whoever was reading has had enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except KeyboardInterrupt:
        return 130  # 128 and the number of SIGINT, as a shell counts it
    except TapehandError as error:
        return _failed(str(error))
    except Exception as error:
        return _failed(
            f"Something went wrong inside Tapehand ({type(error).__name__}). "
            "Start it again; if it comes back, report it with what TAPEHAND_DEBUG=1 shows."
        )


def _failed(sentence: str) -> int:
    if os.environ.get("TAPEHAND_DEBUG"):
        raise
    print(f"tapehand: {sentence}", file=sys.stderr)
    return 1
