"""A question answered: what it is about is found by its words, and told in two sentences at most.

A name of the network comes before a term, a doubt that its words all touch before a bare term.
What cannot be answered is said to be so, with what can be.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from tutor.teaching.enquiry.doubts import DOUBTS, QuestionTopic
from tutor.teaching.enquiry.glossary import GlossaryEntry, glossary
from tutor.teaching.enquiry.matter import Matter
from tutor.teaching.enquiry.task_questions import TASK_TOPICS, in_other_words
from tutor.teaching.kinds_of_act import spelt_out
from tutor.teaching.reading.spoken_words import mended, stem
from tutor.teaching.speech import listed

SHORTEST_STEMMED = 4  # of shorter words, such as why and any, the stemmer makes others
KNOWN_STEMS: Final = frozenset(
    part
    for groups in (*(t.needs for t in (*TASK_TOPICS, *DOUBTS)), *((e.words,) for e in glossary()))
    for part in " ".join(groups).replace("_", " ").split()
)
CANNOT = (
    "That I cannot answer. I can say what a word means (charge, p.d., island …), what is to be "
    "done here and how far it is; 'why' gives the reason of the last step, 'hint' a hint."
)
_COMES: Final = frozenset({"come", "came", "from", "get", "got"})
SAY_THE_LINE: Final = (
    "Type the line that leads to that number, as your answer, and I'll say what of it fits."
)
_UNIT_OF_A_NUMBER: Final = re.compile(r"(?<=\d) ?[pnuµμmk]?[fcvj]\b")  # and no word that is asked
# What may stand around a number of which is asked why it is so.
_AROUND_A_NUMBER: Final = frozenset((
    "why", "but", "so", "and", "then", "ok", "is", "it", "that", "this", "the", "they", "are",
    "was", "does", "do", "be", "just", "only", "equal", "not", "c", "q", "v", "u", "e", "answer",
    "value", "result", "charge", "pd", "voltage", "capacitance", "energy", "total", "whole",
))
_DEFINES = re.compile(
    r"\b(?:what (?:is|are|was|does|do|about)|mean|means|meaning|define|definition|explain|remind"
    r"|confused|never heard|same as|not (?:get|understand|know)|difference between|again)\b"
    r"|^\W*(?:\w+\W+){0,2}\w+\W*\?*$"
)
_CONVERTS = re.compile(r"\d\s*[cm]?m[23²³]?\s*=\s*[\d.]+\s*[cm]?m[23²³]?\b")  # 1 cm2 = 0.0001 m2
_ASKS_WHY = re.compile(
    r"(?i)^\W*(?:and\s+|but\s+|so\s+)?(?:why\b|how\s+(?:do|can|would)\s+(?:i|we|you)\s+know\b)"
)
THE_REASON_COMES: Final = "The reason comes with the answer; 'show' tells both now."
_IS_IT = re.compile(r"\bis [a-z]_?\d*'* (?:an?|the) ")  # is Q a charge or a point


def reply_to(line: str, matter: Matter) -> str:
    """What is said to a question; the open question comes after it."""
    return _told(line, matter).replace("p.d..", "p.d.")


def _told(line: str, matter: Matter) -> str:
    text = _UNIT_OF_A_NUMBER.sub("", spelt_out(line))
    told = _compared(line, matter) or _why_not_these(line, text, matter)
    if told is not None:
        return told
    said = stems_in(text)
    topic, score = _best(said, (*TASK_TOPICS, *DOUBTS))
    defines = bool(_DEFINES.search(text))
    term = _term(text)
    name = _name_in(line, matter)
    if name and (defines or _asks_where(text) or _IS_IT.search(text)) and score < 3:
        return name
    if said & _COMES and (found := _number_in(line, matter)):
        return found
    if _asks_of_a_number_alone(text) and not _CONVERTS.search(line):
        is_denied = re.search(r"\bnot\b", text.partition(re.findall(r"\d", text)[0])[0]) is not None
        return ("" if is_denied else _number_in(line, matter)) or SAY_THE_LINE
    if topic is not None and score > 1 and not (defines and term and score < 3 and _is_head(text)):
        return topic.told(matter)
    if term is not None and (defines or topic is None):
        return explained(term, matter)
    if topic is not None:
        return topic.told(matter)
    if matter.about == "change" and _ASKS_WHY.match(line):
        return THE_REASON_COMES
    return name or (in_other_words(matter) if len(said) < 2 else CANNOT)


def doubt_in(text: str, matter: Matter) -> str | None:
    """The answer to a doubt that a text surely speaks of; None where it speaks of none."""
    topic, score = _best(stems_in(spelt_out(text)), DOUBTS)
    return topic.told(matter) if topic is not None and score > 1 else None


def explained(entry: GlossaryEntry, matter: Matter) -> str:
    """A term, and what it is on this network."""
    terms = matter.speech.terms
    text = entry.meaning.replace("{pds}", terms.differences).replace("{pd}", terms.difference)
    return f"{text} {entry.told_of(matter)}".replace("p.d..", "p.d.").strip()


def term_in(line: str) -> GlossaryEntry | None:
    """The term that a line is about; None where it speaks of none."""
    return _term(spelt_out(line))


def stems_in(text: str) -> frozenset[str]:
    """The words of a text by their stems, and each two neighbours as one."""
    words = _words(text)
    return frozenset((*words, *(f"{one}_{two}" for one, two in pairwise(words))))


def _words(text: str) -> list[str]:
    text = text.replace("||", " notat ").replace("--", " notat ")
    found = re.findall(r"[a-zµμε½]\w*|\d/\w+", text)
    return [_known(word) for word in found]


def _known(word: str) -> str:
    """The stem of a word; of one that no table holds, that of the nearest often mistyped word."""
    if len(word) < SHORTEST_STEMMED:
        return word
    found = stem(word)
    return found if found in KNOWN_STEMS else stem(mended(word))


def _best(
    said: frozenset[str], topics: Sequence[QuestionTopic]
) -> tuple[QuestionTopic | None, int]:
    found = [t for t in topics if all(said & set(group.split()) for group in t.needs)]
    best = max(found, key=lambda topic: len(topic.needs), default=None)
    return best, len(best.needs) if best is not None else 0


def _term(text: str) -> GlossaryEntry | None:
    """The term that stands first in a text, of those at one place the first of the list."""
    words = _words(text)
    for word, following in pairwise((*words, "")):
        for entry in glossary():
            if {f"{word}_{following}", word} & set(entry.words.split()):
                return entry
    return None


def _is_head(text: str) -> bool:
    """Whether a term follows straight on the words that ask what it means."""
    return re.search(
        r"\b(?:what (?:is|are|was|does) (?:an? |the |this )?|define |explain |meaning of (?:an? )?"
        r"|not (?:get|understand) (?:the )?|is an? )\w+(?: \w+)?(?: again| mean.*| here)?\W*$", text
    ) is not None


def _asks_where(text: str) -> bool:
    return re.search(r"\b(?:which|where|what|who)\b", text) is not None


# Names and numbers of the network


_SYMBOLS: Mapping[str, str] = MappingProxyType({"Q": "the charge of", "V": "the {pd} across",
                                                "U": "the {pd} across", "E": "the energy stored in",
                                                "W": "the energy stored in"})


def _name_in(line: str, m: Matter) -> str:
    """What a name in a line stands for: a capacitor, one that a step makes, a point, a quantity."""
    words = re.findall(r"[A-Za-z]\w*'*", line)
    for word in words:
        upper = word[:1].upper() + word[1:]
        if upper in m.made:
            return (
                f"{upper} is the one capacitor that can take the place of {listed(m.made[upper])}."
            )
        if upper in m.names and len(upper) > 1:
            told = m.lines_on(upper)
            return f"On {upper} this was said: {told.rstrip('.')}." if told else ""
        if len(word) > 1 and word[0].upper() in _SYMBOLS and f"C{word[1:]}" in (*m.names, *m.made):
            words_for = _SYMBOLS[word[0].upper()].replace("{pd}", m.speech.terms.difference)
            return f"{upper} is {words_for} C{word[1:]}."
    points = set(m.network.points()) if m.network is not None else set()
    for word in words:
        if word in points and not (word in ("A", "I") and line.startswith(word)):
            role = "an end of the network" if word in m.ends else "a name for a point"
            return f"{word} is {role}, where this is joined: {m.meeting(word)}."
    return ""


_OF_SIZE = re.compile(
    r"(?i)\b(?:bigg\w*|small\w*|larg\w*|great\w*|equal|identical|the same (?:size|value))\b"
)
_OF_OTHER_THINGS = re.compile(
    r"(?i)\b(?:charges?|volt\w*|p\.?\s?d\b|energ\w*|potential\w*|[qvue]_?\d)"
)


def _compared(line: str, m: Matter) -> str | None:
    """The given values of two capacitors side by side: is C1 bigger than C2?"""
    names = [n for n in m.names if re.search(rf"(?i)\b{re.escape(n)}\b", line)]
    if len(names) != 2 or not _OF_SIZE.search(line) or _OF_OTHER_THINGS.search(line):
        return None
    amounts = [found[1] for name in names if (
        found := re.match(rf"{re.escape(name)}, (\d\S* \S+),", m.lines_on(name))
    )]
    if len(amounts) != len(names):
        return None
    return f"{names[0]} is {amounts[0]}, and {names[1]} is {amounts[1]}."


_WHY_THESE = re.compile(r"\b(?:why|(?:what|how) about|can not|could not|should not)\b")
_WHY_IT = re.compile(r"\W*(?:but |so )?why (?:not |is it )?c_?\d+\W*")
WHY_THAT_ONE: Final = (
    "'why' gives the reason of the last answer. Of this one say what you think, and I'll tell you."
)


def _why_not_these(line: str, text: str, m: Matter) -> str | None:
    """Where two lie, and what is joined where they meet, to a question whether they may be
    combined; 'why C1?' of one is asked of an answer.
    """
    if _WHY_IT.fullmatch(text):
        return WHY_THAT_ONE
    these = [c for c in m.capacitors if re.search(rf"(?i)\b{re.escape(c.name)}(?!\w)", line)]
    if m.about != "choice" or len(these) != 2 or not _WHY_THESE.search(text):
        return None
    first, second = these
    places = f"{first.name} is from {first.start} to {first.end}, {second.name} from " \
             f"{second.start} to {second.end}."
    shared = [p for p in (first.start, first.end) if p in second.points]
    if not shared:
        return f"{places} They have no point in common."
    where = "; ".join(
        f"at {p} there are plates of {m.meeting(p)}{', and an end' if p in m.ends else ''}"
        for p in shared
    )
    return f"{places} {where[:1].upper()}{where[1:]}."


def _asks_of_a_number_alone(text: str) -> bool:
    """Whether a question is why a number is what it is, and speaks of nothing else."""
    words = re.findall(r"(?<![\w.])[a-z]+(?!\w)", text.replace("how come", "why"))
    return "why" in words and re.search(r"\d", text) is not None and (
        _AROUND_A_NUMBER.issuperset(words)
    )


def _is_shown_as(amount: str, number: str) -> bool:
    """Whether a number is that of an amount, perhaps rounded to fewer places: 26.7 for 26.67."""
    places = len(number.partition(".")[2])
    is_rounded = places > 0 and re.fullmatch(r"\d+\.\d+", amount) is not None
    return amount == number or (is_rounded and f"{float(amount):.{places}f}" == number)


def _number_in(line: str, m: Matter) -> str:
    """Where a number that a line names comes from."""
    for number in re.findall(r"\d+(?:[.,]\d+)?", line):
        for amount, source in m.known.items():
            if _is_shown_as(amount.split(" ")[0], number.replace(",", ".")):
                return source
        if any(re.search(rf"(?<![\w.]){re.escape(number)}(?![\d.])", told) for told in m.told):
            return f"{number} stands in the text of the problem."
    return ""
