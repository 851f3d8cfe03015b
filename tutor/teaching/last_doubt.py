"""The last doubt before a line is called wrong, one for every kind of question.

A line is wrong only where what it states as its answer is not so. What else it says (a reason, a
remark, what follows, a number on the way) is no answer: a line that was heard as wrong, or not
taken, is heard again in its clauses (by_clauses.py), in its numbers (second_look.py) and without
the reason behind it, before that stands. The reason itself is weighed afterwards, by itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from tutor.teaching.claims import names_to_come
from tutor.teaching.conversation import OpenTask, TurnOf, place_of
from tutor.teaching.dialogue import VALUE_QUESTIONS, values_alone, with_others_in_names
from tutor.teaching.hearing import WHOSE_IS_IT
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.pointing import WHICH, begins_with_none
from tutor.teaching.replies import NOT_DIVIDED
from tutor.teaching.said_of_each import EVERY
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import ask_again
from tutor.teaching.walk import Walk, next_question, used_names


def heard_out(
    answer: Callable[[Any, str], TurnOf[Any]], task: OpenTask, line: str, heard: TurnOf[Any]
) -> TurnOf[Any]:
    """What a line comes to by ``answer``, that was ``heard`` as it is told there, once everything
    in it has had its say.
    """
    if isinstance(task, Walk):
        line = values_alone(task, with_others_in_names(task, line))
    if isinstance(task, Walk) and EVERY.search(line) and _is_of_each(task, line):
        return heard  # one of its numbers alone would leave out that it is said of each
    if isinstance(task, Walk | Telling):
        heard = _by_clauses_and_numbers(answer, task, line, heard)
    if _has(heard, "right") and not _has(heard, "wrong"):
        return heard
    heard = _without_its_reason(answer, task, line, heard)
    return _of_whom(heard) if isinstance(task, Walk) and _has(heard, "right") else heard


def _is_of_each(walk: Walk, line: str) -> bool:
    """Whether a line says one amount of each, where a value of one of them is asked."""
    from tutor.teaching.amounts_of_walk import of_each_in_names  # late: seldom said

    question = next_question(walk)
    is_of_values = question is not None and question.about in VALUE_QUESTIONS
    return is_of_values and of_each_in_names(walk, line) is not None


def _by_clauses_and_numbers(
    answer: Callable[[Any, str], TurnOf[Any]], task: Walk | Telling, line: str, heard: TurnOf[Any]
) -> TurnOf[Any]:
    is_wrong = _is_wrong_alone(heard)
    if (is_wrong or _is_open(task, heard)) and not (
        _names_nobody(task, line) or _says_another_kind(answer, task, line, heard)
        or _says_more_than_is_so(task, heard)
    ):
        from tutor.teaching.by_clauses import hear_clauses  # late, as these are: few lines need it

        heard = hear_clauses(answer, task, line, heard, is_wrong)
        if isinstance(task, Walk) and _is_wrong_alone(heard):
            heard = _one_choice_of_several(answer, task, line, heard)
    if not _is_of_values(task, heard):
        return heard
    if not _has(heard, "right"):
        from tutor.teaching.second_look import look_again

        return look_again(answer, task, line, heard)
    if _has(heard, "wrong", "incomplete") and _judged_in(heard)[0].verdict == "right":
        from tutor.teaching.second_look import its_answer_alone

        return its_answer_alone(answer, task, line, heard)
    return heard


def _says_more_than_is_so(task: Walk | Telling, heard: TurnOf[Any]) -> bool:
    """Whether a line was heard as the right answer in words with something that is not so: work,
    on the plates, where the filling moves; the charge, and it is divided.
    """
    options = task.ask.options if isinstance(task, Telling) and task.ask is not None else ()
    replies = [option.reply for option in options if option.is_right and option.reply]
    return any(m.text in replies or NOT_DIVIDED in m.text for m in heard.messages)


def _one_choice_of_several(
    answer: Callable[[Any, str], TurnOf[Any]], walk: Walk, line: str, heard: TurnOf[Any]
) -> TurnOf[Any]:
    """A choice that was heard as wrong, where a clause names a right one and others say more than
    names: that one, or the question which is meant where there are several, or wrong ones too.
    """
    from tutor.teaching.by_clauses import clauses_of_line

    question = next_question(walk)
    clauses = clauses_of_line(line)
    if question is None or question.about != "choice" or begins_with_none(line) or not any(
        re.search(r"[a-z]{3,}", _NAMES_AND_SIGNS.sub("", each)) for each in clauses
    ):
        return heard
    if _A_NAME.search(line):  # an amount beside a wrong choice makes it no better
        clauses = [each for each in clauses if _A_NAME.search(each)]
    turns = [turn for turn in (answer(walk, each) for each in clauses) if _judged_in(turn)]
    right = [turn for turn in turns if {m.verdict for m in _judged_in(turn)} == {"right"}]
    if len(right) == 1 and not any(_has(turn, "wrong") for turn in turns):
        return right[0]
    asked = Message("verdict", WHICH, about="choice", verdict="incomplete")
    return ask_again(walk, [asked]) if right else heard


_A_NAME = re.compile(r"(?i)(?<!\w)[a-z]_?\d+\b")
_NAMES_AND_SIGNS = re.compile(r"(?i)\b(?:and|with|[a-z]_?\d+)\b")


def _without_its_reason(
    answer: Callable[[Any, str], TurnOf[Any]], task: OpenTask, line: str, heard: TurnOf[Any]
) -> TurnOf[Any]:
    """What stands before 'because', where that alone is not wrong: a reason makes no answer wrong,
    and no number in it is one.
    """
    from tutor.teaching.reading.because_words import BECAUSE_OR_AS

    head = BECAUSE_OR_AS.split(line, maxsplit=1)[0]
    if head == line or not re.search(r"\w", head) or _is_chosen_for_the_other(heard):
        return heard
    alone = answer(task, head)
    verdicts = {message.verdict for message in _judged_in(alone)}
    is_no_worse = verdicts <= {"right", "incomplete"} if _has(heard, "wrong") else False
    return alone if verdicts == {"right"} or (verdicts and is_no_worse) else heard


def _of_whom(heard: TurnOf[Walk]) -> TurnOf[Walk]:
    """A value behind a right answer that is wrong for who is asked, and right for another one
    whose turn comes: it is asked who has it.
    """
    at = next((n for n, each in enumerate(heard.messages) if each.verdict == "wrong"), 0)
    wrong, value = heard.messages[at], heard.task.last_wrong
    if wrong.of is None or not isinstance(value, Fraction) or not any(
        quantity.symbol == wrong.of.symbol and right == value and quantity not in heard.task.known
        for quantity, right in heard.task.truth.items() if quantity != wrong.of
    ):
        return heard
    asked = wrong._replace(text=WHOSE_IS_IT, verdict="incomplete", malrules=())
    free = heard.task._replace(tries=0, last_wrong=None, aside=None)
    return ask_again(free, [*heard.messages[:at], asked])


def _is_chosen_for_the_other(heard: TurnOf[Any]) -> bool:
    """Whether a choice is right, and what it is made for is what these do not share."""
    judged = [(each.about, each.verdict) for each in _judged_in(heard)]
    return judged[:1] == [("choice", "right")] and ("shares", "wrong") in judged


def _judged_in(heard: TurnOf[Any]) -> list[Message]:
    return [message for message in heard.messages if message.verdict]


def _has(heard: TurnOf[Any], *verdicts: Verdict) -> bool:
    return any(message.verdict in verdicts for message in heard.messages)


def _is_open(task: OpenTask, heard: TurnOf[Any]) -> bool:
    """Whether nothing has come of an answer: it was unread, or something was asked back."""
    verdicts = {message.verdict for message in heard.messages}
    return not heard.opens and not verdicts & {"right", "wrong"} and not any(
        message.kind in ("reveal", "close", "hint") for message in heard.messages
    ) and place_of(heard.task) == place_of(task)


def _names_nobody(task: OpenTask, line: str) -> bool:
    """Whether a capacitor is named that is not in the network of a walk, nor made of it: what is
    said of it is true of nobody.
    """
    if not isinstance(task, Walk):
        return False
    said = {name.upper().replace("_", "") for name in _CAPACITOR.findall(line)}
    there = {*used_names(task), *(c.name for c in task.network.capacitors)}
    said -= {name.upper() for name in there}
    return bool(said) and not said <= {name.upper() for name in names_to_come(task)}


_CAPACITOR = re.compile(r"(?i)(?<![\w.])c_?\d+(?![\w.']|\s*=)")


def _is_wrong_alone(heard: TurnOf[Any]) -> bool:
    """Whether something was judged wrong, and nothing else of the line was judged."""
    return [each.verdict for each in _judged_in(heard)] == ["wrong"]


def _says_another_kind(
    answer: Callable[[Any, str], TurnOf[Any]], task: Walk | Telling, line: str, heard: TurnOf[Any]
) -> bool:
    """Whether what is wrong in a choice is how those are said to be joined that can be combined:
    that is stated, and no remark.
    """
    if not isinstance(task, Walk) or not _has(heard, "wrong") or any(
        each.about != "choice" for each in _judged_in(heard)
    ):
        return False
    answered = answer(task._replace(tries=0), line).task.last_wrong  # the last try forgets it
    return isinstance(answered, str) and answered.endswith((" series", " parallel"))


def _is_of_values(task: Walk | Telling, heard: TurnOf[Any]) -> bool:
    """Whether all that was judged are values."""
    judged = _judged_in(heard)
    if isinstance(task, Telling) and _has(heard, "wrong"):
        asks = task.story.asks
        return all(each.step and asks[each.step - 1].right is not None for each in judged)
    return bool(judged) and all(each.about in VALUE_QUESTIONS for each in judged)
