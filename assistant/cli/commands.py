"""What each command takes, and where it is carried out. The parts are loaded by the commands that need them."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn

from assistant.errors import TapehandError
from assistant.prove import PARTS

__all__ = ["parsed", "run"]


_MOST_HOURS = 100.0
_LAST_PORT = 65535
"""RFC 9293: a port is 16 bits."""


class WrongUse(TapehandError):
    """The command line cannot be read."""


class _Parser(argparse.ArgumentParser):
    def __init__(self, **how: Any) -> None:
        super().__init__(allow_abbrev=False, **how)
        # Key presses may begin with a minus: argparse lets what looks like a negative number be no option.
        self._negative_number_matcher = re.compile(r"-[-0-9./*+E<]*\Z")

    def error(self, message: str) -> NoReturn:
        raise WrongUse(f"{message[:1].upper()}{message[1:]}. Type {self.prog} --help to see what it takes.")


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from importlib.metadata import PackageNotFoundError, version

        try:
            print(f"tapehand {version('tapehand')}")
        except PackageNotFoundError:
            print("tapehand, not installed")
        parser.exit()


def parsed(arguments: Sequence[str] | None) -> argparse.Namespace:
    """The command line, read.

    Raises:
        WrongUse: a sentence that says what is wrong with it. SystemExit after --help and --version.
    """
    return _parser().parse_args(arguments)


def run(options: argparse.Namespace) -> int:
    """Carry it out. Returns the exit status."""
    match options.command:
        case "ask" | "keys":
            from assistant.cli import asking

            return asking.ask(options) if options.command == "ask" else asking.keys(options)
        case "hear" | "say":
            from assistant.cli import sounding

            return sounding.hear(options) if options.command == "hear" else sounding.say(options)
        case "board":
            from assistant.cli import boards

            return boards.run(options)
        case "model":
            from assistant.cli import models

            return models.run(options)
        case "print":
            from assistant.cli import prints

            return prints.run(options)
        case "demo":
            from assistant import demo

            return demo.run(Path(options.out))
        case "check":
            from assistant import check

            return check.run(options.settings, options.board, sys.stdout)
        case "prove":
            if options.soak:
                from assistant.prove import soak  # alone: what the other benchmarks load would be counted with it

                return soak.run(options.soak)
            from assistant.prove import run as proving
            from assistant.prove.source import in_source

            if options.faults or options.benches:
                return in_source("faults" if options.faults else "benches", options.quick)
            return proving.run(options.only, options.quick, options.model)
    from assistant import app

    return app.run(
        app.Wanted(
            options.settings,
            options.board,
            voice=not options.no_voice,
            screen=not options.no_screen,
            window=not options.no_open,
            port=options.port,
            lan=options.lan,
        )
    )


def _port(text: str) -> int:
    port = int(text)
    if not 0 <= port <= _LAST_PORT:
        raise argparse.ArgumentTypeError(f"no such port: {text}. Give a number from 1024 to {_LAST_PORT}")
    return port


def _hours(text: str) -> float:
    hours = float(text)
    if not 0 < hours <= _MOST_HOURS:
        raise argparse.ArgumentTypeError(f"no such time: {text}. Give hours, as 0.1 or 8")
    return hours


def _places(default: str | None) -> _Parser:
    places = _Parser(add_help=False)
    places.add_argument("--settings", metavar="FILE", default=default, help="use these settings")
    places.add_argument("--board", metavar="FILE", default=default, help="use the board in this file")
    return places


def _parser() -> argparse.ArgumentParser:
    places = _places(default=argparse.SUPPRESS)  # for the commands: what was given before the command stays
    as_json = _Parser(add_help=False)
    as_json.add_argument("--json", action="store_true", help="one JSON object a line for each request")

    parser = _Parser(
        prog="tapehand",
        description="With no words: the bench, with whatever is attached.",
        parents=[_places(default=None)],
        epilog="Exit status: 0 answered or done, 3 a question, 2 refused or not understood, 1 could not run.",
    )
    parser.add_argument("--version", action=_Version, nargs=0, help="show the version and stop")
    parser.add_argument("--no-voice", action="store_true", help="without microphone and loudspeaker")
    parser.add_argument("--no-screen", action="store_true", help="without the bench screen")
    parser.add_argument("--no-open", action="store_true", help="the bench screen, without opening a browser on it")
    parser.add_argument("--port", type=_port, metavar="N", help="where the bench screen is served")
    parser.add_argument("--lan", action="store_true", help="for other screens on the network too, once they are paired")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)

    ask = commands.add_parser("ask", parents=[places, as_json], help="answer one request in words")
    ask.add_argument("words", nargs="+", help='"center of 53 5/8"; - reads one request a line from standard input')
    keys = commands.add_parser("keys", parents=[places, as_json], help="the same in key presses")
    keys.add_argument("keys", nargs="+", help='"53.5/8EE": E is Enter, < takes back')
    hear = commands.add_parser(
        "hear", parents=[places, as_json], help="hear recordings, each a conversation of its own"
    )
    hear.add_argument("files", nargs="+", metavar="FILE", help="WAV, FLAC or Ogg, any sample rate")
    hear.add_argument("--wake", action="store_true", help='wait for the wake phrase "tape hand"')
    say = commands.add_parser("say", parents=[places], help="the voice, to the loudspeaker or a file")
    say.add_argument("words", nargs="+")
    say.add_argument("--out", metavar="FILE", help="write a WAV file instead of playing it")
    demo = commands.add_parser("demo", parents=[places], help="a whole job end to end with no hardware")
    demo.add_argument("--out", metavar="FOLDER", default="demo-out", help="where to put it (demo-out)")
    commands.add_parser("check", parents=[places], help="what is attached and ready, what is not and what to do")
    prove = commands.add_parser("prove", help="the benchmarks on this machine, as a table", add_help=False)
    prove.add_argument("--quick", action="store_true", help="a few clips a set: to see that it works, not to quote")
    soak = "a day in the shop, so many hours of sound as fast as it goes (8)"
    prove.add_argument("--soak", nargs="?", type=_hours, const=8.0, default=0.0, metavar="HOURS", help=soak)
    prove.add_argument("--only", choices=PARTS, help="one part")
    prove.add_argument("--faults", action="store_true", help="what goes wrong in a shop, to a bench of its own")
    prove.add_argument("--benches", action="store_true", help="several benches at one board, on a server of its own")
    prove.add_argument("--model", metavar="FOLDER", help="measure this speech model too")

    board = commands.add_parser("board", parents=[places], help="what is kept: list, export, import")
    of_board = board.add_subparsers(dest="action", metavar="ACTION", required=True, parser_class=_Parser)
    listed = of_board.add_parser("list", parents=[places, as_json], help="the names on the board")
    listed.set_defaults(action="list")
    export = of_board.add_parser("export", parents=[places], help="everything, as JSON")
    export.add_argument("file", nargs="?", default="-", help="where to; standard output by default")
    imports = of_board.add_parser("import", parents=[places], help="add what was exported")
    imports.add_argument("file", help="what was exported; - for standard input")
    _add_print(commands, places)
    _add_model(commands, places, as_json)
    return parser


def _add_model(commands: Any, places: _Parser, as_json: _Parser) -> None:
    model = commands.add_parser("model", parents=[places, as_json], help="speech models: list, add, use")
    model.set_defaults(action="list")
    of_model = model.add_subparsers(metavar="ACTION", parser_class=_Parser)
    add = of_model.add_parser("add", parents=[places, as_json], help="add one, try it, and use it from then on")
    add.add_argument("source", metavar="FOLDER|ZIP|URL", help="a model folder, a ZIP file of one, or its web address")
    add.set_defaults(action="add")
    use = of_model.add_parser("use", parents=[places, as_json], help="use another one from now on")
    use.add_argument("name", metavar="NAME", help="as the list has it")
    use.set_defaults(action="use")


def _add_print(commands: Any, places: _Parser) -> None:
    paper = _Parser(add_help=False)
    paper.add_argument("--paper", choices=("letter", "a4"), help="letter, or a4; by default as in the settings")
    paper.add_argument("--out", metavar="FILE", help="the PDF to write; by default named after what is printed")
    sheet = commands.add_parser("print", help="mark sheet, cut list or wrap-around template, as PDF")
    of_print = sheet.add_subparsers(dest="sheet", metavar="SHEET", required=True, parser_class=_Parser)
    marks = of_print.add_parser("marks", parents=[places, paper], help="every mark from the datum")
    marks.add_argument("words", nargs="*", help='"53 5/8 in seven parts"; by default the job on the bench')
    cuts = of_print.add_parser("cuts", parents=[places, paper], help="the cut list, every stick drawn")
    cuts.add_argument("words", nargs="*", help='"sticks twenty foot" "cut four at 95 7/8"; by default as on the bench')
    wrap = of_print.add_parser("template", parents=[places, paper], help="full-size template of a miter or saddle")
    wrap.add_argument(
        "words", nargs="*", help='"saddle four on six outside ninety degrees"; by default the job on the bench'
    )
    miter = of_print.add_parser("miter", parents=[places, paper], help="full-size wrap-around template of a pipe miter")
    miter.add_argument("outside", metavar="OUTSIDE", help='outside diameter, "6 5/8"')
    miter.add_argument("--turn", metavar="DEGREES", default="90", help="how far the pipe turns (90)")
    miter.add_argument("--pieces", metavar="N", type=int, default=2, help="pieces in the turn (2)")
    saddle = of_print.add_parser("saddle", parents=[places, paper], help="full-size wrap-around template of a saddle")
    saddle.add_argument("branch", metavar="BRANCH", help="diameter of the branch, where it touches")
    saddle.add_argument("header", metavar="HEADER", help="outside diameter of the header")
    saddle.add_argument("--degrees", metavar="DEGREES", default="90", help="between the two (90)")
