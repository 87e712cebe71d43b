"""What is said on both sides: requests in, one answer each. Who has the floor is not known here.

Every answer is worked out first and taken on only if nothing went wrong, so that a slip leaves the job, the
question that was open and everything entered before as they were.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import cast

from assistant.errors import Slip
from assistant.language.describe import describe
from assistant.language.requests import (
    AskEngineer,
    Attend,
    Attention,
    Center,
    Choose,
    Confirm,
    Convert,
    Correct,
    Degrees,
    Denominator,
    Explain,
    Go,
    Help,
    Hold,
    Keep,
    ListBoard,
    Manner,
    Measure,
    NeverMind,
    Operand,
    Pick,
    Print,
    Recall,
    Request,
    Scratch,
    Settings,
    StartOver,
    Step,
    Task,
    Total,
    Walk,
)
from assistant.language.speak import cap_first
from assistant.language.tasks import TASKS, named
from assistant.language.text import in_words
from assistant.language.understand import ask_for_bottom
from assistant.language.understanding import Impossible, NotUnderstood, Outcome, Understood
from assistant.layout.result import Result
from assistant.length import Length
from assistant.session import questions
from assistant.session.answer import Answer
from assistant.session.carry_out import (
    Unknown,
    begun,
    carry_out,
    correct,
    do_all,
    kept_as,
    known_sizes,
    marks_in_hand,
    result_of,
    workable,
)
from assistant.session.deeds import Deed, operands
from assistant.session.job import Job, Names, cleared, with_names
from assistant.session.manners import Manners
from assistant.session.on_paper import PutOnPaper, sheet_of
from assistant.session.present import inches_of, said, step_sizes, steps_of
from assistant.session.questions import Question
from assistant.session.reader import Reader, sentence
from assistant.session.replies import board_reply, picture, reply, undone_words, where_words
from assistant.session.walk import likely_next, walked
from assistant.tape import Feet, Tape

__all__ = ["DEEPEST_UNDO", "Conversation"]

SAY_AGAIN = "Say again?"
ATTENTION_WORDS = {
    Attention.WAKE: 'Say "tape hand" first.',
    Attention.PUSH: "Push to talk. Hold the talk key while you speak.",
    Attention.OPEN: "Always listening.",
}
DEEPEST_UNDO = 1000
"""Jobs that can be scratched back to; where there are more, the older half is let go."""
_NO_PIECE = "Give me a measurement first."


class Conversation:
    """The job in hand, the ones before it, and the question that is open."""

    def __init__(self, manners: Manners, job: Job, history: Sequence[Job], examples: Sequence[str]) -> None:
        self.job = workable(job, job.tape or manners.tape)
        self.history = tuple(history)
        self.question: Question | None = None
        self._manners = manners
        self._examples = tuple(examples)
        self._last: Answer | None = None

    @property
    def expecting(self) -> str:
        """The public rule of the grammar that hears what may come next."""
        if self.question:
            return self.question.expecting
        if self.job.string is not None:
            return "next_in_string"
        marks_told = self._last is not None and len(self._last.marks) > 1
        return "walking" if self.job.at or marks_told else "request"

    def resume(self) -> Answer:
        """Where we were."""
        where = "" if self.job.clean else where_words(self.job, self._reader)
        return self._given(self._with_picture(Answer("", "done", sentence("Ready", where))))

    def understood(self, heard: str, outcome: Outcome) -> Answer:
        """The answer to words that were read."""
        match outcome:
            case Understood(request):
                return self.asked(heard, request)
            case Impossible(words):
                return self._given(Answer(heard, "refused", cap_first(in_words(words))))
            case NotUnderstood():
                return self.not_understood(heard, SAY_AGAIN)
        asked = questions.from_outcome(outcome, self._name_wanted())
        return self._given(self._open(heard, asked))

    def not_understood(self, heard: str, words: str) -> Answer:
        """The answer to what could not be made out."""
        return self._given(Answer(heard, "not-understood", words))

    def asked(self, heard: str, request: Deed) -> Answer:
        """The answer to a request."""
        question = self.question
        try:
            answer = self._meant(heard, request)
        except Slip as slip:
            self.question = question
            answer = Answer(heard, "refused", cap_first(in_words(str(slip))))
        meant = answer.request or request
        return self._given(
            replace(answer, request=meant),
            again=not isinstance(meant, (Manner, Attend, Confirm, Print)) and meant != Walk(Step.AGAIN),
        )

    def board_changed(self, taken: Names, added: Names) -> str:
        """Go by what another bench did to the board, however far it is scratched back. Returns what he has to know:
        which of his names stand for something else now, or for nothing."""
        his = dict(self.job.kept)
        self.job = with_names(self.job, taken, added)
        self.history = tuple(with_names(job, taken, added) for job in self.history)
        now = dict(self.job.kept)
        changed = [name for name, _ in taken if name in his and now.get(name) != his[name]]
        return " ".join(
            f"Another bench kept {name} again: {self._reader.measured(now[name])}."
            if name in now
            else f"Another bench is done with {name}."
            for name in changed
        )

    def likely(self) -> tuple[str, ...]:
        """What will be said if he simply goes on."""
        asked = self.job.walked
        if self.question or asked is None:
            return ()
        if isinstance(asked, Hold):
            return (said(result_of(Center(asked.what), self._tape), self._reader),)
        return likely_next(marks_in_hand(self.job, self._tape), asked, self.job.at, self._reader)

    def on_paper(self, request: Print) -> PutOnPaper:
        """What goes on paper.

        Raises:
            Slip: where there is nothing of the kind on the bench.
        """
        return sheet_of(self.job, request.sheet, self._tape, self._reader)

    # What a request means.

    def _meant(self, heard: str, deed: Deed) -> Answer:
        if any(isinstance(operand, Measure) and operand.missing is not None for operand in operands(deed)):
            asked = ask_for_bottom(cast(Request, deed))  # nothing of the session's own is ever unfinished
            return self._open(heard, questions.from_outcome(asked, self._name_wanted()))
        question = self.question
        if question is None:
            return self._begun(heard, deed)
        if isinstance(deed, NeverMind):
            self.question = None
            return self._done(heard, deed)
        match questions.reply_to(question, deed):
            case questions.Taken(deeds):
                self.question = question.behind
                return self._defined(heard, deeds) if len(deeds) > 1 else self._meant(heard, deeds[0])
            case questions.Filled() as filled:
                return self._went_on(heard, filled)
            case questions.TakenBack() if question.before is not None:
                return self._open(heard, question.before, "Taken back.")
            case questions.Again(words):
                return self._open(heard, question, words)
            case questions.Aside():
                return self._done(heard, deed)
            case questions.Dropped() if question.behind is not None:
                return self._open(heard, question.behind, "All right.")
            case questions.Dropped():
                self.question = None
                return Answer(heard, "done", "All right." if question.by_the_way else "All right. Say it again.")
        self.question = question.behind
        if question.behind is not None:  # he says it again instead
            return self._meant(heard, deed)
        if isinstance(deed, Scratch) and not question.by_the_way:
            return Answer(heard, "done", sentence("Scratched", where_words(self.job, self._reader)))
        return self._begun(heard, deed)

    def _begun(self, heard: str, deed: Deed) -> Answer:
        """A request; a task first asks for what it cannot do without."""
        if isinstance(deed, Recall) and kept_as(self.job, deed.name) is None and self.job.string is None:
            deed = named(deed.name) or deed
        if not isinstance(deed, Task):
            return self._done(heard, deed)
        begun(self.job, deed)
        asks = questions.of_task(deed, everything=not deed.given, known=known_sizes(self.job))
        if asks is None:
            return self._done(heard, deed)
        return self._open(heard, asks, sentence(describe(deed)))

    def _went_on(self, heard: str, filled: questions.Filled) -> Answer:
        """A task with what it asked for: what it asks next, or its answer."""
        asks = questions.of_task(filled.task, filled.question.everything, filled.question, known_sizes(self.job))
        if asks is None:
            self.question = None
            return self._done(heard, filled.task)
        lead = sentence(self._taken_as(filled.value))
        return self._open(heard, asks, lead)

    def _taken_as(self, value: Operand | int | Fraction | str) -> str:
        """What a task was given, said back."""
        if isinstance(value, Measure):
            return self._reader.measured(value)
        return value if isinstance(value, str) else ""

    def _done(self, heard: str, deed: Deed) -> Answer:
        match deed:
            case Walk(step):
                if step is Step.AGAIN:
                    return self._again(heard)
                if step is Step.ANSWER or (step is Step.LEFT and not self.job.at):
                    return self._answered_again(heard)
                return self._walked(heard, Step.WHERE if step is Step.LEFT else step)
            case Go():
                return self._done(heard, self._next())
            case Explain():
                return self._explained(heard)
            case Correct(to):
                return self._corrected(heard, to)
            case Scratch():
                return self._scratched(heard)
            case NeverMind():
                return Answer(heard, "done", "All right.")
            case StartOver():
                return self._started_over(heard)
            case Manner():
                say = "" if deed is Manner.STOP else sentence(deed.value)
                return Answer(heard, "done", say, request=deed)  # it may have come as the number of a choice
            case Attend(by):
                return Answer(heard, "done", ATTENTION_WORDS[by], request=deed)
            case Settings(part):
                return self._open(heard, questions.about_settings(part))
            case Help():
                return Answer(heard, "done", sentence(f"You can say: {'; '.join(self._examples)}"))
            case Print():
                sheet = self.on_paper(deed).sheet
                return self._with_picture(Answer(heard, "done", sentence(f"Printing the {sheet.value}")))
            case ListBoard():
                return board_reply(heard, self.job, self._reader)
            case AskEngineer():
                return Answer(heard, "refused", "That's an engineer's call.")
            case Confirm(yes):
                return Answer(heard, "done", "All right." if yes else "Say it again, or say scratch that.")
            case Pick():
                raise Slip("There is no question to answer. Say what you need.")
            case Choose(word):
                raise Slip(f"I asked for nothing that is {word}. Say what you need.")
            case Degrees():
                raise Slip("Degrees of what? Say the whole of it.")
            case Denominator():
                raise Slip("I didn't get the measurement. Say all of it.")
        try:
            job = carry_out(self.job, deed, self._tape)
        except Unknown as unknown:
            return self._open(heard, questions.for_name(unknown.name, deed))
        return self._changed(heard, deed, self.job, job)

    # Control.

    def _next(self) -> Deed:
        """What the Enter key alone goes on with."""
        if self.job.string is not None:
            return Total()
        if self.job.walked is not None and result_of(self.job.walked, self._tape).marks:
            return Walk(Step.NEXT)
        if self.job.piece is None:
            raise Slip(_NO_PIECE)
        return Center()

    def _walked(self, heard: str, step: Step | int) -> Answer:
        asked = self.job.walked
        result = marks_in_hand(self.job, self._tape) if asked is not None else None
        if asked is None or result is None or not result.marks:
            if step is Step.WHERE:
                return self._with_picture(Answer(heard, "done", sentence(where_words(self.job, self._reader))))
            raise Slip("There are no marks yet. Ask for a center or for parts." if self.job.piece else _NO_PIECE)
        at, words = walked(result, asked, self.job.at, step, self._reader)
        self.job = replace(self.job, at=at)
        answer = self._with_picture(Answer(heard, "done", words))
        mark = self._reader.shown(result.marks[at - 1], result.form) if at else None
        return replace(answer, values=(replace(mark, name=mark.name or "mark"),) if mark else ())

    def _again(self, heard: str) -> Answer:
        if self._last is None:
            raise Slip("Nothing was said yet. Give me a measurement.")
        status = "question" if self._last.status == "question" else "done"
        return replace(self._last, heard=heard, status=status, request=None)

    def _answered_again(self, heard: str) -> Answer:
        return self._with_picture(Answer(heard, "answer", said(self._worked_out(), self._reader)))

    def _worked_out(self) -> Result:
        if self.job.asked is None:
            raise Slip("Nothing was worked out yet. Give me a measurement first.")
        return result_of(self.job.asked, self._tape)

    def _explained(self, heard: str) -> Answer:
        result = self._worked_out()
        steps = steps_of(result, self._reader)
        if not steps:
            raise Slip("There was nothing to work out. Ask for a center or for parts.")
        sizes = step_sizes(result, self._reader)
        return self._with_picture(Answer(heard, "answer", " ".join(steps), steps=steps, step_sizes=sizes))

    def _scratched(self, heard: str) -> Answer:
        if not self.history:
            raise Slip("There is nothing to scratch." if self.job.clean else "That is as far back as I remember.")
        before, self.job, self.history = self.job, workable(self.history[-1], self._tape), self.history[:-1]
        return self._with_picture(Answer(heard, "done", undone_words(before, self.job, self._reader)))

    def _started_over(self, heard: str) -> Answer:
        if not self.job.clean:  # the job before this one can be scratched back to, the ones before that are done with
            began = max((n for n, job in enumerate(self.history) if job.clean), default=0)
            self.history = (*self.history[began:], self.job)
            self.job = cleared(self.job)
        return Answer(heard, "done", "Starting over. The bench is clear.")

    # Changing the job.

    def _corrected(self, heard: str, to: Measure) -> Answer:
        try:
            job, mended = correct(self.job, to, self._tape)
        except Unknown as unknown:
            raise Slip(f"There is no {unknown.name} on the board any more. Say it all again.") from None
        assert job.base is not None
        answer = self._changed(heard, job.trail[-1], job.base, job)
        lead = sentence(self._reader.measured(mended))
        read_back = lead.removesuffix(".").casefold() in answer.say.casefold()
        return answer if read_back else replace(answer, say=f"{lead} {answer.say}")

    def _defined(self, heard: str, deeds: tuple[Deed, ...]) -> Answer:
        first, waiting = deeds
        assert isinstance(first, Keep)
        assert isinstance(first.what, Measure)
        lead = sentence(f"{first.name} is {self._reader.measured(first.what)}")
        try:
            job = do_all(self.job, deeds, self._tape)
        except Unknown as another:
            self._take(carry_out(self.job, first, self._tape))
            return self._open(heard, questions.for_name(another.name, waiting), lead)
        return self._changed(heard, waiting, self.job, job, "" if isinstance(waiting, questions.RECALLS) else lead)

    def _changed(self, heard: str, deed: Deed, before: Job, job: Job, lead: str = "") -> Answer:
        tape = job.tape or self._manners.tape
        answer = reply(heard, before, deed, job, tape, self._reader_of(job))
        due = tuple(caution for caution in answer.cautions if caution not in job.cautioned)
        job = replace(job, cautioned=job.cautioned + due)
        if self._plus_is_due(job):
            self.question = questions.about_plus()
            job = replace(job, plus_asked=True)
        self._take(job)
        by_the_way = self.question.say if self.question and self.question.by_the_way else ""
        first = isinstance(deed, Task) and TASKS[deed.kind].caution_first
        spoken = tuple(map(in_words, due))
        said = (*spoken, answer.say) if first else (answer.say, *spoken)
        return replace(answer, say=" ".join(filter(None, (lead, *said, by_the_way))))

    def _plus_is_due(self, job: Job) -> bool:
        """Whether he said a plus for the first time, and nobody knows what his is worth."""
        if self.question or job.plus_asked or not self._manners.ask_plus or job.asked is None:
            return False
        said = any(isinstance(operand, Measure) and operand.lean for operand in operands(job.asked))
        return said and job.plus is None and self._manners.plus is None

    def _take(self, job: Job) -> None:
        if job != self.job:
            self.history = (*self.history, self.job)
            if len(self.history) > DEEPEST_UNDO:  # by halves: the board writes a history with another beginning anew
                self.history = self.history[DEEPEST_UNDO // 2 :]
            self.job = job

    # Answers.

    def _open(self, heard: str, question: Question, lead: str = "") -> Answer:
        self.question = question
        return Answer(heard, "question", " ".join(filter(None, (lead, question.say))))

    def _name_wanted(self) -> Question | None:
        return self.question if self.question and (self.question.name or self.question.task) else None

    def _with_picture(self, answer: Answer) -> Answer:
        return picture(answer, self.job, self._tape, self._reader)

    def _given(self, answer: Answer, again: bool = True) -> Answer:
        """The answer as it goes out: with the choices that are open and the piece it leaves in hand."""
        choices = self.question.offered if self.question else ()
        on = marks_in_hand(self.job, self._tape).closing if answer.marks and self.job.walked is not None else None
        answer = replace(
            answer,
            choices=choices,
            piece=self.job.piece,
            tape=self._tape,
            marks_on=inches_of(on) if on is not None else None,
            held=self.job.held.inches if self.job.held else None,
        )
        if again and answer.say and answer.status != "not-understood":
            self._last = answer
        return answer

    @property
    def manners(self) -> Manners:
        """How he wants to be answered by now. His attention is not known here."""
        plus = self._manners.plus if self.job.plus is None else self.job.plus
        return replace(self._manners, tape=self._tape, plus=plus, feet=self.job.feet or self._manners.feet)

    @property
    def _tape(self) -> Tape:
        return self.job.tape or self._manners.tape

    @property
    def _reader(self) -> Reader:
        return self._reader_of(self.job)

    def _reader_of(self, job: Job) -> Reader:
        plus = job.plus if job.plus is not None else self._manners.plus
        feet = Feet.SAID if isinstance(job.asked, Convert) else job.feet or self._manners.feet  # he asked for that form
        return Reader(job.tape or self._manners.tape, plus if plus is not None else Length(0), feet)
