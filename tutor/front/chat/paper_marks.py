"""A paper handed in: its marks and remarks line by line, and the offer to go over what was lost."""

from __future__ import annotations

from collections.abc import Iterator

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.front.chat.account import WHAT_NOW
from tutor.front.chat.stages import Answer, Chat, Choosing, Writing
from tutor.practice.course import GoingOver
from tutor.practice.papers_marked import MarkedQuestion, mark_question, to_go_over
from tutor.teaching.marking.marked import MarkedLine
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.observation import Observation
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed, speech_for
from tutor.teaching.staged.bridged import bridge_story
from tutor.teaching.staged.story import Story
from tutor.teaching.walk import begin_walk
from tutor.teaching.wording import Wording


def in_marks(number: int) -> str:
    """So many marks, in figures as on a paper."""
    return f"{number} mark{'' if number == 1 else 's'}"


def handed_in(chat: Chat, stage: Writing) -> Answer:
    """The marks of a paper, with the offer to go over what lost some."""
    questions = zip(stage.paper.questions, stage.scripts, strict=True)
    results = [
        mark_question(question, script, number, chat.terms)
        for number, (question, script) in enumerate(questions, start=1)
    ]
    said = [m for n, result in enumerate(results, start=1) for m in _told(n, result)]
    total = sum(result.marked.total for result in results)
    said.append(Message("say", f"Marks: {total} of {stage.paper.marks}."))
    items = tuple(
        (number, item) for number, result in enumerate(results, start=1)
        if (item := to_go_over(result)) is not None
    )
    done = chat._replace(stage=Choosing())
    if not items:
        text = "Nothing lost a mark, so there is nothing to go over."
        return Answer(done, (*said, Message("say", text), Message("ask", WHAT_NOW)))
    asked = Message("ask", "'go over' walks the steps that lost marks; or what else?")
    return Answer(done._replace(left=GoingOver(items)), (*said, asked))


def _told(number: int, result: MarkedQuestion) -> Iterator[Message]:
    """One question: each line with its marks and its remark, then what is not there."""
    marked = result.marked
    yield Message("say", f"Question {number}: {marked.total} of {in_marks(marked.of)}.")
    for line in marked.lines:
        if line.text.strip():
            yield from _line(line, result.seen.get(line.line, ()))
    if marked.left_out:
        yield Message("say", f"Nothing was written for: {', '.join(marked.left_out)}.")
    if result.bare is not None:
        yield Message("say", _set_out(result.bare), seen=result.set_out)


def _line(line: MarkedLine, seen: tuple[Observation, ...]) -> Iterator[Message]:
    """A line as it was written, what was earned on it, and the remark; what it shows beside the
    value that it ends with goes beside a short word of its own.
    """
    marks = f" ({line.marks.total} of {line.marks.of})" if line.marks.of else ""
    more = ""
    if line.marks.implied:
        more = f" {line.marks.implied} of these for what was not written."
    verdict = "right" if line.verdict == "carried" else line.verdict
    yield Message(
        "verdict", f"{line.line}  {line.text.strip()}{marks}\n{line.remark}{more}",
        verdict=verdict, malrules=line.malrules, seen=seen[0] if seen else None,
    )
    for each in seen[1:]:
        word: Verdict = "right" if each.outcome == "right" else "wrong"
        about = each.key.split()[-1]
        yield Message("verdict", f"{about} in this line: {word}.", verdict=word, seen=each)


def _set_out(bare: tuple[int, ...]) -> str:
    if not bare:
        return "Set out in full: relation, numbers put in, result and unit for every value."
    lines = f"line{'s' if len(bare) > 1 else ''} {listed([str(n) for n in bare])}"
    return f"Not set out in full: {lines}. Put in the numbers, then give the result with its unit."


def balances_of(text: str, settings: Settings) -> Story:
    """A network where series and parallel stick, told by its charge balances as it was marked."""
    walk = begin_walk(build(read_network(text)), settings)
    opening = Wording(speech_for(walk.problem, settings)).opening(walk)
    return bridge_story(walk.problem, settings)._replace(opening=tuple(opening.split("\n")))
