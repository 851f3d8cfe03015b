"""Where the learner stands, said on request and on the first screen; and the day of the exam."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

from tutor.front.chat.home import suggested
from tutor.front.chat.stages import Answer, Chat, Choosing, Person, Solving
from tutor.learner.standing_words import IdeaWords, SkillWords, ideas_in_words, skills_in_words
from tutor.learner.suggesting import choices
from tutor.teaching.messages import Message
from tutor.teaching.skills import BY_CODE, UNITS
from tutor.teaching.speech import counted

STANDING = (
    "where do i stand", "how am i doing", "how do i stand", "my standing", "what do i know",
    "what am i good at", "what should i do next", "what is suggested", "suggest something",
    "what next", "whats next", "what is next", "what comes next", "what should i do",
)
IN_FULL = " in full"
FULL_ALONE = ("in full", "show it in full", "show me in full", "the full list", "full list")
# Of all that was answered; what went wrong just now is told within the problem.
WRONG_SO_FAR = re.compile(
    r"(?:(?:show|tell|list|give|me|us|all|of|the|please) )*(?:(?:what|which|where|things|ones)\b"
    r".*\bi\b.*\bwrong\b(?P<when>.*)|what went wrong(?P<at>.*)"
    r"|my (?:mistakes|errors|faults|wrong answers)(?: .*)?)"
)
NOTHING_WRONG = "Nothing that was answered shows a wrong idea so far."
WHERE_WRONG = "'where do I stand in full' shows every skill, 'practice' sets what is shaky again."
NOTHING_YET = "Nothing has been asked of you yet, so there is nothing to tell."
IDEAS_SHOWN = "What went wrong in a way that is known:"
NAMED, MOST_IDEAS, MOST_CHOICES = 3, 2, 3
EXAM = re.compile(r"(?i)\s*(?:my\s+|the\s+)?exam\b\s*(?:is\b|:)?\s*(?:on\s+)?(.*?)\s*[.!]?\s*$")
WHEN = re.compile(
    r"(?i)\W*(?:(?:when|what day|which day|what date|how long|how much time)\b.*\bexam\b.*"
    r"|how many days\b.*)"
)
DAY_AND_MONTH = re.compile(
    r"(?i)(\d{1,2})(?:st|nd|rd|th)?(?:\s+of)?\s+([a-z]+)\.?,?(?:\s+(\d{4}))?"
)
MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)
WHAT_NOW = "What would you like to do? A network, 'practice', 'lessons', or 'stop'."


def account(chat: Chat, words: str) -> Answer | None:
    """Where the learner stands, where a line asks for it: one screen, or with 'in full' all."""
    if words in FULL_ALONE:
        words = f"{STANDING[0]}{IN_FULL}"
    asked, person = words.removesuffix(IN_FULL), chat.person
    if asks_what_was_wrong(chat, words):
        told_wrong = "\n".join([*_wrong_so_far(person), WHERE_WRONG])
        return Answer(chat, (Message("say", told_wrong), Message("ask", WHAT_NOW)))
    if asked not in STANDING:
        return None
    told = account_of(person) if asked != words else short_account_of(person)
    lines = [*told, "What makes sense next, and why:"]
    lines += (f"- {each}" for each in _choices(chat))
    if asked == words and person.standing.skills:
        lines.append("'where do I stand in full' shows every skill, with what shows it.")
    return Answer(chat, (Message("say", "\n".join(lines)), Message("ask", WHAT_NOW)))


def asks_what_was_wrong(chat: Chat, words: str) -> bool:
    """Whether a line asks for all that went wrong, and not for what did in the problem in hand."""
    found = WRONG_SO_FAR.fullmatch(words)
    if found is None:
        return False
    when = found["when"] or found["at"] or ""
    is_busy = isinstance(chat.stage, Solving) and not chat.stage.is_done
    of_all = words.startswith("what") or "my " in words
    return not is_busy or (of_all and when.strip() in ("", "so far", "today", "up to now"))


def _wrong_so_far(person: Person) -> Iterator[str]:
    ideas = [each for each in ideas_in_words(person.standing) if each.state != "resolved"]
    skills = skills_in_words(person.standing, person.now, person.exam)
    shaky = [each.name for each in skills if each.word == "shaky"]
    if ideas:
        yield IDEAS_SHOWN
        yield from (f"- {_told_idea(each)}" for each in ideas)
    elif not shaky:
        yield NOTHING_WRONG
    if shaky:
        yield f"Shaky: {', '.join(shaky)}".rstrip(".") + "."


def short_account_of(person: Person) -> Iterator[str]:
    """The same on one screen: the skills by how they stand, and the wrong ideas that come back."""
    skills = skills_in_words(person.standing, person.now, person.exam)
    for word in ("steady", "getting there", "to look at again", "shaky", "still open"):
        names = [each.name for each in skills if each.word == word]
        if names:
            more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
            yield f"{word.capitalize()}: {', '.join(names[:NAMED])}{more}".rstrip(".") + "."
    if all(each.word == "not met yet" for each in skills):
        yield NOTHING_YET
        return
    ideas = [each for each in ideas_in_words(person.standing) if each.state != "resolved"]
    if ideas:
        yield IDEAS_SHOWN
        yield from (f"- {each.words}: {each.word}" for each in ideas[:MOST_IDEAS])
        if len(ideas) > MOST_IDEAS:
            yield f"- and {len(ideas) - MOST_IDEAS} more"


def account_of(person: Person) -> Iterator[str]:
    """Each skill that was met, and each wrong idea that showed, with the evidence; a line each."""
    skills = skills_in_words(person.standing, person.now, person.exam)
    met = [each for each in skills if each.word != "not met yet"]
    if not met:
        yield NOTHING_YET
    for unit, title in UNITS.items():
        here = [each for each in met if BY_CODE[each.skill].unit == unit]
        if here:
            yield f"{title}:"
            yield from (f"- {_told(each)}" for each in here)
    ideas = ideas_in_words(person.standing)
    if ideas:
        yield IDEAS_SHOWN
        yield from (f"- {_told_idea(each)}" for each in ideas)


def _told(words: SkillWords) -> str:
    return f"{words.name}: {words.word} ({words.evidence})"


def _told_idea(words: IdeaWords) -> str:
    return f"{words.words}: {words.word} ({words.evidence})"


def _choices(chat: Chat) -> Iterator[str]:
    """The best of each kind, since what is typed for two of a kind is often the same."""
    person, kinds = chat.person, set[str]()
    for each in choices(person.standing, person.now, person.exam):
        if each.kind not in kinds and len(kinds) < MOST_CHOICES:
            kinds.add(each.kind)
            yield suggested(chat, each.kind, each.skill, each.why)


# Who is learning

A_NAME = r"[^\W\d_a-z]\w*"
NAMES = re.compile(
    rf"\s*(?:[Ii] am|I'm|[Mm]y name is|[Tt]his is)\s+({A_NAME}(?:[ -]{A_NAME})?)\s*[.!]?\s*$"
)
NOT_KEPT = (
    "Nothing is kept of this chat, so names make no difference. Start the program with "
    "--learner and a name, or without --unrecorded."
)


def someone_else(chat: Chat, line: str) -> Answer | None:
    """Another learner, who says a name with a capital; whoever holds the chat changes over."""
    found = NAMES.match(line)
    if found is None:
        return None
    if found[1] == chat.person.name:
        said = Message("say", f"Yes, what you do is kept for {found[1]}.")
        return Answer(chat, (said, Message("ask", WHAT_NOW)))
    if not chat.person.name:
        return Answer(chat, (Message("say", NOT_KEPT), Message("ask", WHAT_NOW)))
    named = chat._replace(person=chat.person._replace(name=found[1]), course=None)
    return Answer(named._replace(stage=Choosing()), ())


# The exam


def exam_in(chat: Chat, line: str) -> Answer | None:
    """The day of the exam, where a line tells it or asks for it; None for any other line."""
    if WHEN.fullmatch(line):
        return Answer(chat, (Message("say", _when(chat.person)), Message("ask", WHAT_NOW)))
    found = EXAM.match(line)
    if found is None:
        return None
    said = found[1]
    if said.lower() in ("none", "no", "no date", "is over", "over"):
        return _with_exam(chat, None, "No exam is on the calendar now.")
    day = date_in(said, datetime.fromtimestamp(chat.person.now, UTC).date())
    if day is None:
        text = "Say the day like: exam on 14 June 2027, or exam 2027-06-14; or 'exam none'."
        return Answer(chat, (Message("say", text), Message("ask", WHAT_NOW)))
    if day < datetime.fromtimestamp(chat.person.now, UTC).date():
        text = f"{_in_words(day)} is over. Say the day with the year that is meant."
        return Answer(chat, (Message("say", text), Message("ask", WHAT_NOW)))
    text = (
        f"The exam is on {_in_words(day)}. "
        "What you look at again will be spread over the time till then."
    )
    return _with_exam(chat, day, text)


def _in_words(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1].capitalize()} {day.year}"


def _when(person: Person) -> str:
    if person.exam is None:
        return "No exam is on the calendar. 'exam on 14 June 2027' puts one there."
    today = datetime.fromtimestamp(person.now, UTC).date()
    left = (person.exam - today).days
    till = f", in {counted(left, 'day')}" if left > 0 else ""
    return f"The exam is on {_in_words(person.exam)}{till}."


def _with_exam(chat: Chat, day: date | None, text: str) -> Answer:
    person = chat.person._replace(exam=day)
    return Answer(chat._replace(person=person), (Message("say", text), Message("ask", WHAT_NOW)))


def date_in(text: str, today: date) -> date | None:
    """A day as 2027-06-14, 14 June 2027 or in 3 days; without its year the next such day."""
    if text.lower() == "tomorrow":
        return today + timedelta(days=1)
    if found := re.fullmatch(r"(?i)in (?:(\d{1,3}) days?|(\d{1,2}) weeks?)", text):
        return today + timedelta(days=int(found[1] or 0), weeks=int(found[2] or 0))
    found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text)
    if found:
        return _day(int(found[1]), int(found[2]), int(found[3]))
    found = DAY_AND_MONTH.fullmatch(text)
    if found is None:
        return None
    months = [at for at, name in enumerate(MONTHS, 1) if name.startswith(found[2].lower()[:3])]
    if not months or len(found[2]) < 3:
        return None
    if found[3]:
        return _day(int(found[3]), months[0], int(found[1]))
    this_year = _day(today.year, months[0], int(found[1]))
    if this_year is not None and this_year <= today:
        return _day(today.year + 1, months[0], int(found[1]))
    return this_year


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
