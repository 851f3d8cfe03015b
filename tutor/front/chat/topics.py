"""What is said at rest that is no network: a topic, a question about a word, a greeting."""

from __future__ import annotations

import re

from tutor.front.chat.stages import Answer, Chat
from tutor.front.opening import WHICH
from tutor.practice.lessons import Lesson
from tutor.practice.making_needs import NEEDS
from tutor.teaching.enquiry.matter import NO_NETWORK
from tutor.teaching.enquiry.replying import doubt_in, explained, stems_in, term_in
from tutor.teaching.enquiry.small_talk import small_talk
from tutor.teaching.hearing import plain
from tutor.teaching.kinds_of_act import is_question
from tutor.teaching.messages import Message
from tutor.teaching.reading.lexicon import COMMON_WORDS
from tutor.teaching.skills import BY_CODE

BEYOND = (
    "That is beyond this program: it works out networks of capacitors at rest, without resistors, "
    "coils or alternating supplies."
)
CANNOT_AT_REST = (
    "That I cannot answer. I can say what a word means (charge, p.d., in series …), walk any "
    "network that you type, or begin a lesson: 'lessons' lists them."
)
_BEYOND_STEMS = frozenset(
    ("resist", "resistor", "inductor", "induct", "coil", "altern", "diod", "transistor",
     "frequenc", "transform", "imped")
)
_WISH = re.compile(
    r"(?i)\b(?:help (?:me )?(?:with|on)|(?:learn|know|more|something|lesson|teach me|revise) about"
    r"|teach me|mix(?:ing)? (?:\w+ ){0,3}up|trouble with|bad at|stuck (?:on|with)|explain"
    r"|practi[cs]e with)\b"
)
# What somebody wants who names no network, and how to say it here.
_WANTED = (
    (
        re.compile(r"(?i)\b(?:test|exam|mock|finals?)s?\b.*\b(?:on|in|tomorrow|next|soon|week|coming|today)\b"),
        "'practice' sets tasks for what makes most sense now, and 'paper units 3 and 4, 30 marks' "
        "is a trial without help. 'exam on 14 June 2027' spreads the looking again till then.",
    ),
    (
        re.compile(
            r"(?i)\b(?:harder|easier|more\s+difficult)\b|\bsomething\s+(?:easy|hard|simple|else)\b"
            r"|\b(?:give|gimme|set|want|do|try)\b.*\b(?:another|one|task|problem|exercise|question)\b"
        ),
        "'practice' sets a task that fits what you know, 'practise two in series' one for that; "
        "'another like this' gives the last one other values.",
    ),
)
# What is said beside 'another' and 'with other values' by who wants one more like the last.
_OF_ANOTHER = (
    "can could may i we you please pls have get do try give set me lets want another one more "
    "network problem like of that this it these those kind sort such with other different new "
    "values numbers the same again"
)
MOST_WORDS = 3
_COMMON = frozenset(COMMON_WORDS.split())
_VALUES = re.compile(r"\d|--|\|\||∥|=")


def told_at_rest(chat: Chat, line: str) -> Answer | None:
    """The answer to a question or a topic, with the lesson that fits; None for any other line."""
    if _VALUES.search(line):
        return None
    if (wanted := next((told for words, told in _WANTED if words.search(line)), None)) is not None:
        return _said(chat, wanted)
    entry = term_in(line)
    is_a_topic = entry is not None and len(line.split()) <= MOST_WORDS  # bridges, series please
    if not (is_question(line) or _WISH.search(line) or is_a_topic):
        kind_words = small_talk(line, (), "")
        return _said(chat, kind_words) if kind_words else None
    stems = stems_in(line.lower())
    if stems & _BEYOND_STEMS:
        return _said(chat, BEYOND)
    matter = NO_NETWORK._replace(speech=NO_NETWORK.speech._replace(terms=chat.terms))
    told = explained(entry, matter) if entry is not None else doubt_in(line, matter)
    lesson = lesson_on(f"{line} {entry.term if entry is not None else ''}", chat.lessons)
    if told is None and lesson is None:
        return _said(chat, CANNOT_AT_REST)
    return _said(chat, *filter(None, (told, _pointer(lesson) if lesson is not None else "")))


def wants_another(line: str) -> bool:
    """Whether a line asks for one more like the last, and for nothing else."""
    words = plain(line).split()
    asks = not {"another", "more"}.isdisjoint(words) or words[-1:] in (["values"], ["numbers"])
    return asks and {*words} <= {*_OF_ANOTHER.split()}


def _said(chat: Chat, *texts: str) -> Answer:
    return Answer(chat, (*(Message("say", text) for text in texts), Message("ask", WHICH)))


def lesson_on(line: str, lessons: tuple[Lesson, ...]) -> Lesson | None:
    """The first lesson that shares most words with a line, in its title above all; None where none
    shares any.
    """
    said = content(line)

    def fit(lesson: Lesson) -> int:
        skill = BY_CODE.get(lesson.skills[0]) if lesson.skills else None
        told = f"{skill.name} {skill.says}" if skill is not None else ""
        return 2 * len(said & content(lesson.title)) + len(said & content(told))

    best = max(lessons, key=fit, default=None)
    return best if best is not None and fit(best) else None


def content(text: str) -> frozenset[str]:
    """The words of a text that say what it is about, as their stems."""
    words = re.findall(r"[a-z]+", text.lower().replace("p.d.", "pd"))
    kept = " ".join(word for word in words if word not in _COMMON)
    return frozenset(stem for stem in stems_in(kept) if "_" not in stem)


def _pointer(lesson: Lesson) -> str:
    text = f"'lesson {lesson.number}' is about it: {lesson.title}."
    code = lesson.skills[0] if lesson.skills else ""
    return f"{text} 'practise {BY_CODE[code].name}' sets tasks." if code in NEEDS else text
