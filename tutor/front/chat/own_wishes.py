"""What is wished for in somebody's own words, put as it is typed here: quiz me on energy.

A wish begins with words of wishing, and what is behind them is a skill, a kind of question, a
shape, a lesson or a unit; whatever else a line says is left to those who read answers.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Final, NamedTuple

from grammar.records import Refusal
from tutor.front.chat.topics import content
from tutor.practice.lessons import Lesson
from tutor.practice.library import lesson_called
from tutor.practice.making_needs import NEEDS
from tutor.practice.orders import order_in
from tutor.practice.questions.kinds import KINDS, kind_called, kinds_for
from tutor.teaching.hearing import plain
from tutor.teaching.skills import SKILLS, UNITS, Skill
from tutor.teaching.speech import listed


class Wished(NamedTuple):
    """The line that is ``typed`` here for what was wished; without one, ``told`` says what there
    is.
    """

    typed: str = ""
    told: str = ""


_COURTESY = (
    "please|pls|ok|okay|so|now|and|then|well|actually|maybe|just|instead|can|could|may|might|shall"
    "|would|will|lets?|i|id|ill|im|we|you|u|us|me|want|wanna|need|like|love|rather|prefer|to|have"
    "|get|go|for|some|any|a|an|the|few|couple|little|bit|more|another|one|new|different|other|d"
)
_ASKING = (
    "give|gimme|set|ask|show|find|make|do|try|practi[sc]e|practi[sc]ing|revise|revising|revision"
    "|review|work|drill|train|quiz|test|begin|start|switch|move|over|learn|study"
)
_THING = (
    "something|anything|tasks?|questions?|problems?|exercises?|practice|lessons?|drills?|stuff"
)
_LEAD_WORD = re.compile(rf"(?:{_COURTESY}|{_ASKING}|{_THING}|on|about)")
_BETWEEN = re.compile(r"^(?:(?:on|about|for|of|in|with|from|over|to|at|is|the|a|an) )+")
_BEHIND = re.compile(r"(?: (?:please|pls|instead|now|then|next|today|again|first|thanks))+$")
# What makes a wish of it beyond doubt; with the others it is one where it names a thing exactly.
_ASKS = re.compile(
    rf"\b(?:practi[sc]\w+|revis(?:e|ing)|quiz|test (?:me|us)|(?:{_THING}) (?:on|about)"
    rf"|(?:give|gimme|set|ask)\b.* (?:{_THING})"
    r"|(?:want|like|need|do|try|get|(?:can|could|may) (?:i|we) have)\b.*"
    r" (?:tasks?|questions?|problems?|exercises?|practice|lessons?|drills?))\b"
)
_HAS_ONE = re.compile(
    r"(?<!\bcan )(?<!\bcould )(?<!\bmay )\b(?:i|we|ive|weve) (?:have|got|had|have got)"
    r" (?:a|another|one|some|this)\b"
)
_NEW_ONES = re.compile(r"\b(?:give|gimme|set|quiz|test|practi\w+|some|another|more|new)\b")
_MAY_ASK = re.compile(
    r"\b(?:can|could|may|shall|lets?|want|like|love|rather|prefer|need)\b.*"
    r"\b(?:do|try|work on|go over|learn|study|switch to|move to)\b|^review\b|\binstead$"
)
_OF_LESSONS = re.compile(r"\b(?:lessons?|learn)\b")
_OWN_FAULTS = re.compile(
    r"(?:what|whatever|things|all|everything|where)?(?: that)? ?(?:i|ive) (?:have |had |always )?"
    r"(?:got|get|did|do|went|go|done|was|am|had)\b.*\b(?:wrong|bad|weak|shaky)\b.*"
    r"|(?:my )?(?:mistakes|errors|faults|wrong answers|weak (?:points|spots|areas))"
)
_WITHOUT_SUMS = re.compile(
    r"(?:questions? )?(?:without|with no|no) (?:any )?"
    r"(?:sums?|numbers|calculat\w+|maths?|arithmetic)"
)
_UNITS = re.compile(r"units? \d(?: (?:(?:and|to) )?\d)*")
# 'too hard' is said by who is stuck.
_HARDER = re.compile(
    r"(?:(?:can|could|i|we|you|want|give|set|make|me|us|it|this|that|is|was|too|much|way|a|bit"
    r"|little|something|ones?|tasks?|questions?|one|have|please|do|get|more|lets|try|like|need"
    r"|these|are) )*"
    r"(?:harder|easier|simpler|(?<=more )difficult|(?<=more )challenging|(?<=too )(?:easy|simple)"
    r"|(?<=something )(?:hard|easy|simple|difficult))"
    r"(?: (?:ones?|tasks?|questions?|problems?|this time|for me))*"
)
_ANOTHER = re.compile(r"(?:another|one more|new|different) (?:one|task|question|problem|exercise)")
HOW_HARD: Final = (
    "How hard a task is follows what you know: 'practice' sets larger ones as answers come right. "
    "One may be ordered too: 'practise two in series', or 'practise back through several levels'."
)
MOST_NAMED: Final = 4


def wish_in_own_words(line: str, lessons: Iterable[Lesson], is_busy: bool) -> Wished | None:
    """What a line wishes for; None for one that wishes for nothing here. Where somebody ``is_busy``
    with a problem, a wish must be one beyond doubt.
    """
    said = plain(line)
    if _HARDER.fullmatch(said):
        return Wished(told=HOW_HARD)
    if _HAS_ONE.search(said):
        return None  # I have a question about the charge
    if _ANOTHER.fullmatch(said):
        return Wished("practice")
    if _UNITS.fullmatch(said):
        return units_told(said)
    words, lead = _BEHIND.sub("", said).split(), 0
    found: Wished | None = None
    while lead < len(words) and _LEAD_WORD.fullmatch(words[lead]):
        lead += 1
        said, rest = " ".join(words[:lead]), _BETWEEN.sub("", " ".join(words[lead:]))
        asks = _ASKS.search(said) is not None
        if not (asks or _MAY_ASK.search(plain(line))):
            continue
        of_lessons = _OF_LESSONS.search(said) is not None
        if exact := _named(rest, lessons, of_lessons):
            return exact
        if asks or not is_busy or plain(line).endswith(" instead"):
            found = _nearly(rest, lessons, of_lessons, said if asks else "")
    return found


def _named(words: str, lessons: Iterable[Lesson], of_lessons: bool) -> Wished | None:
    """What goes by just these words."""
    if of_lessons:
        lesson = lesson_called(lessons, words) if words else None
        return None if lesson is None else Wished(f"lesson {lesson.number}")
    skill = next((s for s in SKILLS if words in map(plain, (s.name, *s.also))), None)
    if skill is not None:
        return Wished(f"practise {skill.name}")
    if words and kind_called(words) is not None:
        return Wished(f"practise {words}")
    try:
        order_in(words)
    except Refusal:
        return None
    return Wished(f"practise {words}")


def _nearly(
    words: str, lessons: Iterable[Lesson], of_lessons: bool, asking: str
) -> Wished | None:
    """What comes near to these words behind those that ask for it."""
    if of_lessons:
        return about_lessons(words, lessons)
    if not words:
        return Wished("practice") if _NEW_ONES.search(asking) else None
    return about_practice(words)


def about_practice(words: str) -> Wished | None:
    """What can be practised of what is called by no name of its own: a unit, a word of several
    skills, what went wrong.
    """
    words = plain(words)
    if not words or _OWN_FAULTS.fullmatch(words):
        return Wished("practice")
    if _WITHOUT_SUMS.fullmatch(words):
        return Wished(told=WITHOUT_SUMS)
    if _UNITS.fullmatch(words):
        return units_told(words)
    skills = [*_skills_of(words)]
    if len(skills) == 1:
        return Wished(f"practise {skills[0].name}")
    names = [f"'practise {skill.name}'" for skill in skills[:MOST_NAMED]]
    return Wished(told=f"More than one skill is of that: {listed(names)}.") if names else None


def _skills_of(words: str) -> Iterator[Skill]:
    """Those that can be practised and have all words of a topic in their names."""
    said = content(words)
    for skill in SKILLS:
        if said and said <= content(skill.name) and (skill.code in NEEDS or kinds_for(skill.code)):
            yield skill


def units_told(words: str) -> Wished:
    """What belongs to the units that are named, and how to come to it."""
    named = [int(unit) for unit in re.findall(r"\d", words)]
    known = [unit for unit in named if unit in UNITS]
    if not known:
        return Wished(told=f"There are units 1 to {len(UNITS)}.")
    skills = {unit: [s.name for s in SKILLS if s.unit == unit] for unit in known}
    lines = [f"Unit {unit}, {UNITS[unit]}: {listed(skills[unit])}." for unit in known]
    one = next(s.name for s in SKILLS if s.unit == known[0] and s.code in NEEDS)
    of = f"units {listed(map(str, known))}" if len(known) > 1 else f"unit {known[0]}"
    lines.append(
        f"They are practised one by one, as in 'practise {one}'; 'paper {of}' sets a paper."
    )
    return Wished(told="\n".join(lines))


WITHOUT_SUMS: Final = (
    "Questions without sums go by their kind, as in 'practise rank the charges'. "
    f"The kinds: {', '.join(KINDS)}."
)


def about_lessons(words: str, lessons: Iterable[Lesson]) -> Wished | None:
    """The lesson on a topic, or those that there are on it."""
    words = _BETWEEN.sub("", plain(words))
    if not words:
        return Wished("lessons")
    if (lesson := lesson_called(lessons, words)) is not None:
        return Wished(f"lesson {lesson.number}")
    said = content(words)
    fitting = [each for each in lessons if said and said <= content(each.title)]
    if len(fitting) == 1:
        return Wished(f"lesson {fitting[0].number}")
    names = [f"'lesson {each.number}', {each.title}" for each in fitting[:MOST_NAMED]]
    return Wished(told=f"There are several: {'; '.join(names)}.") if names else None
