"""The marks of a class put into the record of its learners, each script once however often it is
marked.
"""

from __future__ import annotations

import json
from hashlib import sha256

from tutor.desk.marks_marking import ClassMarks, MarkedScript
from tutor.learner.record import Record
from tutor.learner.rows import Exchange
from tutor.practice.papers_told import told
from tutor.teaching.marking.marked import in_marks
from tutor.teaching.messages import Message
from tutor.teaching.speech import counted


def keep_marks(record: Record, found: ClassMarks, now: float) -> str:
    """Enter each marked script as a sitting of its learner, who is entered if new; gives what was
    done in words. A script that is in the record already is left as it is there.

    Errors: ``Refusal`` where the record cannot be written.
    """
    new = sum(_keep(record, each, now) for each in found.marked)
    already = len(found.marked) - new
    told = f"{counted(new, 'script').capitalize()} entered in {record.path}"
    return f"{told}, {already} there before." if already else f"{told}."


def _keep(record: Record, each: MarkedScript, now: float) -> bool:
    """Whether it was new."""
    opening = json.dumps({
        "marked": [question.question.text for question in each.questions],
        "seed": each.script.seed,
        **({"variant": each.script.variant} if each.script.variant else {}),
    })
    learner = record.learner(each.script.pupil, now)
    mark = sha256("\0".join((learner.name, opening, each.script.text)).encode("utf-8", "replace"))
    sitting = record.begin(learner, opening, now)._replace(id=mark.hexdigest()[:32])
    if record.sitting(sitting.id) is not None:
        return False
    for number, question in enumerate(each.questions, start=1):
        messages = list(told(number, question))
        if number == len(each.questions):
            messages.append(Message("say", f"Marks: {each.total} of {in_marks(each.of)}."))
        written = "\n".join(line.text for line in question.marked.lines if line.text.strip())
        record.keep(sitting, Exchange(written, messages, str(number)), now)
    return True
