"""A paper handed in: its marks and remarks line by line, and the offer to go over what was lost."""

from __future__ import annotations

from tutor.front.chat.account import WHAT_NOW
from tutor.front.chat.stages import Answer, Chat, Choosing, Writing
from tutor.practice.course import GoingOver
from tutor.practice.papers_marked import mark_question, to_go_over
from tutor.practice.papers_told import told
from tutor.teaching.messages import Message


def handed_in(chat: Chat, stage: Writing) -> Answer:
    """The marks of a paper, with the offer to go over what lost some."""
    questions = zip(stage.paper.questions, stage.scripts, strict=True)
    results = [
        mark_question(question, script, number, chat.terms)
        for number, (question, script) in enumerate(questions, start=1)
    ]
    said = [m for n, result in enumerate(results, start=1) for m in told(n, result)]
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
