"""A line that was not taken as a whole, heard once more clause by clause.

Who answers often says more than the answer: what led to it, what follows, what it reminds them of.
Where the line as a whole could not be read, each clause is heard on its own, in order, and those
that are right are taken. One clause that is wrong leaves the line as it was heard at first.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from tutor.teaching.conversation import TurnOf
from tutor.teaching.messages import Message
from tutor.teaching.reading.because_words import AS, WORDS
from tutor.teaching.reading.spoken_words import with_pd_whole

T = TypeVar("T")
MOST_CLAUSES = 8
LONGEST = 240  # letters of a line that somebody says in a breath
_BETWEEN = re.compile(
    r"(?i),(?!\d)|;|:(?!\d)|[!…—–]|\.(?!\d)|\s-\s|[-=]+>|→|⇒|∴"
    r"|\s[(]|[)](?=\W|$)"
    r"|\ball\s+(?:of\s+it\s+)?(?=(?:in|on|at|from|across|held|stored)\b)"
    rf"|{WORDS}|{AS}|\b(?:so|but|hence|therefore|thus|(?:and\s+)?then|which\s+(?:means|makes|gives))\b"
)
# Who weighs two things has not answered; what was thought, or is not so, is no answer either, nor
# what something is said to be of.
_LEAVES_OPEN = re.compile(
    r"(?i)\b(?:or|either|unless|if|between)\b|\?|^\W*(?:both|neither|none|nothing|all(?!\s+(?:of\s+it|in|on|its|the)\b))\b"
    r"|[!.,;…]\s*no\b\s*(?:[!.,…]|$|wait\b|[a-z]{0,2}\d)"  # C1! no, C2!
)
_NOT_SAID_NOW = re.compile(
    r"(?i)^\W*of\b|\b(?:thought|was|wrong|(?<!\bI )says?|said|not)\b|n['’]t\b"
    r"|\d\S*\s*\w*\s+(?:against|versus|vs)\b|\bthan\s+\S*\d"
)
# What a sum in words comes to, where nothing before it says of what: half q v = 288/2 = 144 uJ.
_COMES_TO = re.compile(
    r"(?!\s*[A-Za-z]\w*'*\s*=)(?!.*\b(?:on|of|in|for|across)\s+C_?\d+'*\s*=)[^=]*[A-Za-z]{2}[^=]*=(?:[^=]*=)*\s*(?P<end>[^=]*\d[^=]*)$"
)


# Who takes something back has meant the last of it.
_TAKES_BACK = re.compile(r"(?i)\b(?:no|wait|actually|sorry|oops|rather|instead|but|mean)\b")


def hear_clauses(
    answer: Callable[[T, str], TurnOf[T]], task: T, line: str, heard: TurnOf[T],
    is_wrong: bool = False,
) -> TurnOf[T]:
    """What the clauses of a line come to by ``answer``, where the line as a whole, ``heard``, has
    settled nothing; that again where they settle nothing either. A line that ``is_wrong`` as it
    was heard was misread where its first clause is right by itself, and none after it wrong.
    """
    if _LEAVES_OPEN.search(line) or breaks_a_bracket(line):
        return heard
    clauses = clauses_of_line(line)
    if len(clauses) > MOST_CLAUSES:
        return heard
    if is_wrong and (len(clauses) < 2 or _TAKES_BACK.search(line)):
        return heard
    said: list[Message] = []
    asks: list[Message] = []
    start = task
    for at, clause in enumerate(clauses):
        turn = answer(task, clause)
        verdicts = [message.verdict for message in turn.messages if message.verdict]
        if "wrong" in verdicts or (is_wrong and at == 0 and verdicts != ["right"]):
            return heard
        if is_wrong and at and _is_the_whole(answer, start, clause):
            return heard
        if verdicts and all(verdict == "right" for verdict in verdicts):
            task = turn.task
            said += [message for message in turn.messages if message.kind != "ask"]
            asks = [message for message in turn.messages if message.kind == "ask"]
            if turn.opens or not asks:
                return turn._replace(messages=(*said, *asks))
    return TurnOf(task, (*said, *asks)) if said else heard


# 150 on each, so 300 in total: the whole is what is concluded, and the part led to it.
_OF_ALL = re.compile(r"(?i)\d.*\b(?:in\s+(?:all|total)|alto?l?gether|total|together|overall)\W*$")


def _is_the_whole(answer: Callable[[T, str], TurnOf[T]], task: T, clause: str) -> bool:
    """Whether a clause says what all of it comes to, and is wrong for what is asked."""
    return _OF_ALL.search(clause) is not None and any(
        message.verdict == "wrong" for message in answer(task, clause).messages
    )


def breaks_a_bracket(line: str) -> bool:
    """Whether a bracket of a line is left open or closes nothing, so that its parts are half."""
    return line.count("(") != line.count(")")


def clauses_of_line(line: str) -> list[str]:
    """The clauses of a line that say something, where they are less than all of it."""
    if len(line) > LONGEST:
        return []
    parts = [each for each in _BETWEEN.split(with_pd_whole(line)) if re.search(r"\w", each)]
    ends = [found["end"] if (found := _COMES_TO.match(each)) else each for each in parts]
    said = [each.strip() for each in ends if not _NOT_SAID_NOW.search(each)]
    said = [each for each in said if "=" not in each or re.search(r"\d", each)]  # no bare formula
    return said if said != [line.strip()] else []
