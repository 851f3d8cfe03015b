"""A sentence of one's own, asked for at the end of a lesson: it is kept, and nobody marks it."""

from __future__ import annotations

import re
from typing import Final

from tutor.front.chat.going_through import ASK_NOW, onward
from tutor.front.chat.stages import Answer, Chat, Choosing, Reflecting
from tutor.teaching.hearing import request_in
from tutor.teaching.messages import Message
from tutor.teaching.polite_requests import polite_request

TAKEN = "Kept as you wrote it."
OWN_WORDS = "Here a sentence of your own is wanted; nobody marks it. 'next' leaves it."
NUDGE = (
    "A rough sentence will do. Take the words that the question names, and say with them what the "
    "idea of this lesson was. 'I don't know' once more shows one way to say it."
)
COMPARE = "One way to say it, to compare with:"
_ASKS: Final = re.compile(r"(?i)\W*(?:what|why|how|which|where|who|can|could|do|does)\b")
MOST_OF_A_REQUEST: Final = 8  # words


def reflect(chat: Chat, line: str) -> Answer:
    """A free answer: it is kept as it is, and the lesson goes on."""
    stage, said = chat.stage, [Message("say", TAKEN)]
    assert isinstance(stage, Reflecting), "the table of answers has it so"
    if not line.strip():
        return Answer(chat, (Message("ask", f"{stage.text}\nOr 'next' to leave it."),))
    if chat.course is None:
        return Answer(chat._replace(stage=Choosing()), (ASK_NOW,))
    is_short = len(line.split()) <= MOST_OF_A_REQUEST
    request = request_in(line) or (polite_request(line) if is_short else None)
    if request in ("unsure", "hint", "why") and not stage.nudged:
        asked = (Message("hint", NUDGE), Message("ask", stage.text))
        return Answer(chat._replace(stage=stage._replace(nudged=True)), asked)
    if (told := _beside_the_words(chat, line, request)) is not None:
        return Answer(chat, (told, Message("ask", stage.text)))
    if request is not None:
        said = []
    if stage.model:
        said.append(Message("say", f"{COMPARE} {stage.model}"))
    answer = onward(chat)
    return answer._replace(messages=(*said, *answer.messages))


def _beside_the_words(chat: Chat, line: str, request: str | None) -> Message | None:
    """What is said to a request that has no place here, or to a question; None for an answer."""
    if request is not None:
        is_for_the_model = request in ("unsure", "hint", "why", "show")
        return None if is_for_the_model else Message("say", OWN_WORDS)
    if "?" not in line or _ASKS.match(line) is None:
        return None  # 'is it because …?' is an answer
    from tutor.front.chat.topics import told_at_rest  # late: its tables are many

    told = told_at_rest(chat._replace(stage=Choosing()), line)
    return told.messages[0] if told is not None else Message("say", OWN_WORDS)
