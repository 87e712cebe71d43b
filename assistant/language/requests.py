"""What a person can ask for, as values. The parser makes them, the keypad makes them, the session answers them."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction

from assistant.length import Length
from assistant.tape import Feet, Form, Tape

__all__ = [
    "PIECE",
    "Add",
    "AskEngineer",
    "Attend",
    "Attention",
    "Center",
    "Choose",
    "Confirm",
    "Convert",
    "Correct",
    "Degrees",
    "Denominator",
    "Done",
    "Explain",
    "GageNumber",
    "Given",
    "Go",
    "Help",
    "Hold",
    "Items",
    "Keep",
    "ListBoard",
    "Manner",
    "Measure",
    "Named",
    "NeverMind",
    "Operand",
    "Parts",
    "Pick",
    "Piece",
    "Print",
    "Recall",
    "Request",
    "Scratch",
    "SetFeet",
    "SetPlus",
    "SetTape",
    "Settings",
    "Share",
    "Sheet",
    "StartOver",
    "StartString",
    "Step",
    "TakeOff",
    "Task",
    "Times",
    "Total",
    "Turn",
    "Walk",
]


@dataclass(frozen=True, slots=True)
class Measure:
    """A measurement as somebody read it off a tape."""

    length: Length
    """The mark he read, exactly as said. A lean is not added to it here."""
    lean: Fraction = Fraction(0)
    """Pluses he said, less minuses: 1 for "strong", -1 for "scant". Halved by a center, added by a sum."""
    form: Form = Form.INCHES
    """How he said it, and so how he is answered."""
    band: Length | None = None
    """The tolerance he said with it ("plus or minus a sixteenth"). Kept and said back, never added."""
    missing: int | None = None
    """The top of a fraction whose bottom was not heard ("six and three"): to be asked for, never guessed."""
    sure: bool = True
    """False where the words have one reading and it is an odd one ("twenty-one eighths"): to be confirmed."""
    bottom_first: bool = field(default=False, compare=False, repr=False)
    """Whether he said "sixteenths: thirteen". Right after a number it is hardly meant so."""


@dataclass(frozen=True, slots=True)
class Named:
    """A measurement kept on the board, called by its name: "the leg"."""

    name: str


@dataclass(frozen=True, slots=True)
class Piece:
    """The measurement in hand. Use the one instance, PIECE."""


PIECE = Piece()
Operand = Measure | Named | Piece


@dataclass(frozen=True, slots=True)
class Hold:
    """A bare measurement: it becomes the piece (or the next of a running string)."""

    what: Measure | Named


@dataclass(frozen=True, slots=True)
class Items:
    """Two measurements in one breath while a running string is open: both are its next items."""

    both: tuple[Measure, Measure]


@dataclass(frozen=True, slots=True)
class Center:
    of: Operand = PIECE


@dataclass(frozen=True, slots=True)
class Parts:
    """Divide into equal parts: all the marks from one end."""

    of: Operand
    count: int


@dataclass(frozen=True, slots=True)
class Share:
    """Some of the equal parts of a length: "two fifths of M"."""

    of: Operand
    taken: int
    count: int


@dataclass(frozen=True, slots=True)
class Add:
    """Two or more added together, in the order said."""

    terms: tuple[Operand, ...]


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Something off a length, once or at both ends.

    "Take off an eighth" is once, and is not asked about: it is the minus of the bench, said all day for a gap, a
    plate or a slip of the tape, and a question after each would double the talk of the main job. What came off is
    said back, "X less an eighth", or "X less an eighth each end" where it was both.
    """

    of: Operand
    off: tuple[Operand, ...]
    ends: int = 1
    """1, or 2 for "each end"."""


@dataclass(frozen=True, slots=True)
class Times:
    """So many of a length: "five at M", "times three", "double it"."""

    of: Operand
    count: int


@dataclass(frozen=True, slots=True)
class Convert:
    of: Operand
    form: Form


@dataclass(frozen=True, slots=True)
class GageNumber:
    """How thick something thin is, by the number of its gauge. What that is in inches goes by what it is of."""

    number: int


Given = tuple[str, "Operand | int | Fraction | str"]


@dataclass(frozen=True, slots=True)
class Task:
    """A trade task of ``language.tasks`` with what was given for it: a name and a value each, in the task's
    order. A name may come several times where the task takes several; the value "" declines what is optional."""

    kind: str
    given: tuple[Given, ...] = ()


@dataclass(frozen=True, slots=True)
class Turn:
    """The same marks from the other end."""


@dataclass(frozen=True, slots=True)
class StartString:
    """Measurements from here on are added up one after another, until the total."""


@dataclass(frozen=True, slots=True)
class Total:
    pass


@dataclass(frozen=True, slots=True)
class Keep:
    """Keep a measurement on the board under a name: one that is said with it, or else the answer in hand (or the
    piece)."""

    name: str
    what: Measure | Piece = PIECE


@dataclass(frozen=True, slots=True)
class Recall:
    name: str


@dataclass(frozen=True, slots=True)
class ListBoard:
    pass


class Sheet(Enum):
    """What can be put on paper."""

    FITTING = "sheet"
    """Whichever of the others goes with what is in hand."""
    MARKS = "mark sheet"
    CUTS = "cut list"
    TEMPLATE = "template"


@dataclass(frozen=True, slots=True)
class Print:
    """What is on the bench, on paper."""

    sheet: Sheet = Sheet.FITTING


@dataclass(frozen=True, slots=True)
class Done:
    """That piece is finished: off the board."""

    name: str


class Step(Enum):
    """Where to go in the marks."""

    NEXT = "next"
    BACK = "back"
    AGAIN = "again"
    FIRST = "first"
    LAST = "last"
    WHERE = "where"
    ANSWER = "answer"
    """Not a mark: the answer that they are the marks of."""
    LEFT = "left over"
    """Between marks, how many are left; else the answer, of which what is left is a part."""


@dataclass(frozen=True, slots=True)
class Walk:
    step: Step | int
    """Or the number of a mark, from 1."""


@dataclass(frozen=True, slots=True)
class Explain:
    """How come?"""


@dataclass(frozen=True, slots=True)
class Correct:
    """ "No, three eighths": puts right the last measurement. A fraction alone replaces only the fraction."""

    to: Measure


@dataclass(frozen=True, slots=True)
class Scratch:
    """Undo the last thing."""


@dataclass(frozen=True, slots=True)
class NeverMind:
    """Drop whatever is being asked. Nothing else changes."""


@dataclass(frozen=True, slots=True)
class StartOver:
    """A clean job. What is kept on the board stays."""


class Manner(Enum):
    """How the hand should behave."""

    STOP = "stop"
    LOUDER = "louder"
    SOFTER = "softer"
    SLOWER = "slower"
    FASTER = "faster"
    HIGHER = "higher"
    DEEPER = "deeper"
    """Not "lower": many say that for softer."""
    ANOTHER_VOICE = "another voice"


class Attention(Enum):
    """How he gets our attention."""

    WAKE = "wake"
    """By the wake phrase, with a window to go on after each answer."""
    PUSH = "push"
    """By holding the talk key."""
    OPEN = "open"
    """He always has it."""


@dataclass(frozen=True, slots=True)
class Attend:
    """How he wants to get our attention from now on."""

    by: Attention


@dataclass(frozen=True, slots=True)
class SetTape:
    tape: Tape


@dataclass(frozen=True, slots=True)
class SetFeet:
    feet: Feet


@dataclass(frozen=True, slots=True)
class SetPlus:
    """How much his "plus" is worth."""

    size: Length


@dataclass(frozen=True, slots=True)
class Settings:
    """What he may have otherwise, as numbered choices: all of it, or one part. Only keyed; aloud he says the change
    itself."""

    part: str = ""


@dataclass(frozen=True, slots=True)
class Help:
    """What can I say?"""


@dataclass(frozen=True, slots=True)
class Confirm:
    yes: bool


@dataclass(frozen=True, slots=True)
class Pick:
    """The number of a choice, from 1."""

    number: int


@dataclass(frozen=True, slots=True)
class Choose:
    """A choice that a task asks for, by its own word: "outside", "both ends"."""

    word: str


@dataclass(frozen=True, slots=True)
class Degrees:
    """An angle by itself, answering a task that asks for one."""

    angle: Fraction


@dataclass(frozen=True, slots=True)
class Denominator:
    """The bottom of a fraction, answering "three what?"."""

    bottom: int


@dataclass(frozen=True, slots=True)
class AskEngineer:
    """Will it hold? How much can it carry? What size weld? Never answered here."""


@dataclass(frozen=True, slots=True)
class Go:
    """The Enter key with nothing keyed: center of the piece, then the next mark, and so on."""


Request = (
    Hold
    | Items
    | Center
    | Parts
    | Share
    | Add
    | TakeOff
    | Times
    | Convert
    | Task
    | Turn
    | StartString
    | Total
    | Keep
    | Recall
    | ListBoard
    | Print
    | Done
    | Walk
    | Explain
    | Correct
    | Scratch
    | NeverMind
    | StartOver
    | Manner
    | Attend
    | SetTape
    | SetFeet
    | SetPlus
    | Settings
    | Help
    | Confirm
    | Pick
    | Choose
    | Degrees
    | Denominator
    | AskEngineer
    | Go
)
