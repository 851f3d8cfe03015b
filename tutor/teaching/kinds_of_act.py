"""What kind of act a line is, before anything in it is judged: a question, a thought that is put
as a question, a choice left open, not knowing, or an answer; and what is open at any moment beside
the problem: the fair copy, the settings, what if.

The signs are those of grammar: a question word or a turned verb at the head of a sentence, a
question mark, words of not understanding. What the line is about is read later, by who takes it.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Literal, NamedTuple, TypeAlias

from grammar.quantity import UNIT_SIGN
from grammar.spoken_numbers import in_figures
from tutor.teaching.act_signs import (
    ASKING,
    ASKS_FOR_SETTINGS,
    BETWEEN_TWO,
    CHANGING,
    COUNTED,
    FILE_ALONE,
    FILLER,
    GOES_ON_ASKING,
    HASTY,
    JOINED,
    LEAD,
    NO_KNOWING,
    NOT_GRASPED,
    OPEN_DOUBT,
    OPENS_QUESTION,
    RENAMED,
    SAVED_AS,
    SAVING,
    STATES,
    SUPPOSING,
    SURELY_LOST,
    TAIL,
    TURNED,
    UNITS,
    WHAT_IF,
)
from tutor.teaching.hearing import plain, without_pointing
from tutor.teaching.reading.because_words import BECAUSE, BECAUSE_OR_AS, WORDS
from tutor.teaching.settings import setting_in

Beside: TypeAlias = tuple[Literal["copy", "how to save", "settings", "set"], str]
SpeechAct: TypeAlias = Literal["question", "thought", "undecided", "unsure", "answer"]


class OnOffer(NamedTuple):
    """What stands open when a line is said: words of each of the ``alternatives`` where one of
    them is wanted, the ``names`` that the network has, and whether names or a value are asked for.
    """

    alternatives: tuple[tuple[str, ...], ...] = ()
    names: frozenset[str] = frozenset()
    asks_names: bool = False
    asks_value: bool = False


def beside_in(line: str, names: Collection[str]) -> Beside | None:
    """What a line asks for that leaves everything where it is: the fair copy with the file that it
    is to be kept in, how to keep it, the settings, or one of them set; None for any other line.
    ``names`` are those of the capacitors, which are no settings.
    """
    words = plain(line)
    name = file_in(line)
    if name is not None or words in ASKING:
        return "copy", name or ""
    if words in SAVING:
        return "how to save", ""
    if ASKS_FOR_SETTINGS.fullmatch(words):
        return "settings", ""
    if found := RENAMED.search(line):
        return "set", f"p.d. {found[1]}"
    wanted = setting_in(line, [*names])
    return None if wanted is None else ("set", wanted)


def file_in(line: str) -> str | None:
    """The file that a line asks the fair copy to be saved in, as it was typed."""
    found = SAVED_AS.fullmatch(line) or FILE_ALONE.fullmatch(line)
    if found is None:
        return None
    return found["file"].strip("\"'") or None


def own_words(line: str) -> str:
    """What the speaker says, without what somebody else is said to think instead, and with the
    size of a charge as a charge: |Q1| is Q1; a smile is no sign, nor is a halt in speaking, nor
    what stands in brackets about how one speaks or thinks, nor what stands around an answer on a
    sheet: the letter of its part, and the marks for it; nor that something was thought otherwise.
    """
    line = _PART_OF_A_SHEET.sub("", _MARKS_FOR_IT.sub("", line))
    line = _SMILES.sub(lambda found: ", " if line[found.end():].strip() else " ", line)
    line = re.sub(r"\|([QVUqvu]_?\d*)\|", r"\1", line)
    line = _IN_BRACKETS.sub(_of_the_matter, _HALTS.sub("", line))
    line = _SECOND_THOUGHT.sub("", line)
    return _OF_SOMEBODY_ELSE.sub("", line) if _OWN.match(line) else line


def _of_the_matter(found: re.Match[str]) -> str:
    """Words in brackets that speak of the matter, as they stand; nothing for others."""
    from tutor.teaching.enquiry.small_talk import NEAR_IT, ON_THE_MATTER  # late: few have brackets
    from tutor.teaching.reading.spoken_words import meanings_of

    said = frozenset[str]().union(*map(meanings_of, found[0].lower().strip("()").split()))
    return found[0] if said & (ON_THE_MATTER | NEAR_IT) else " "


# Words about how one speaks or thinks, and no figures or names: as we say here.
_IN_BRACKETS = re.compile(
    r"(?i)\((?=[^()]*\b(?:say|said|call|called|guess|think|hope|mean|learnt|learned|remember)\b)"
    r"[^()\d=]*\)"
)
_MARKS_FOR_IT = re.compile(r"(?i)\s*(?:\[\s*\d+(?:\s*marks?)?\s*\]|\(\s*\d+\s*marks?\s*\))\s*$")
# (b) C2 = 47 - 30 = 17 uF: an equation that ends in a value is no entry of a list.
_PART_OF_A_SHEET = re.compile(
    rf"(?i)^\s*(?:(?:q(?:uestion)?\s*)?\d+[.)]?\s*)?\((?:[a-h]|[ivx]+)\)\s*"
    rf"(?=[^()]*=\s*\d[\d.]*\s*{UNIT_SIGN}\s*$)"
)
_HALTS = re.compile(r"(?i)\b(?:um+|uh+m*|erm+)\b[\s,.…]*(?=\S)")
# No wait, the charge.
_SECOND_THOUGHT = re.compile(
    r"(?i)^\W*(?:(?:oh|ah|no|well|ok(?:ay)?|hmm+)\b\W*)*"
    r"(?:(?:wait|hang\s+on|hold\s+on|actually|sorry|oops|scratch\s+that|i\s+mean[t]?)\b\W*)+(?=\w)"
)
_SMILES = re.compile(r"(?<=\s)[:;=]-?[)(DPpo3/\\|]+(?=\s|$)|[\U0001F300-\U0001FAFF\u2600-\u27BF]+")
_OWN = re.compile(r"(?i)\W*i(?:['’]?d| would)? (?:say|think|reckon|guess|go for)\b")
_OF_SOMEBODY_ELSE = re.compile(
    r"(?i)[,;]?\s*\b(?:but|though|while)\s+(?:my|the|our|his|her)\s+(?:\w+\s+){1,2}?"
    r"(?:says?|said|thinks?|thought|reckons?)\b.*$"
)


def opens(line: str) -> str | None:
    """What follows ``what if`` at the start of a line; None for any other line."""
    found = WHAT_IF.match(line)
    return found[1] if found else None


def supposes(line: str) -> str | None:
    """The change that a question or a wish supposes in freer words; None for any other line."""
    asks = "?" in line or is_question(line) or SUPPOSING[1].match(line) or re.match(
        rf"{FILLER}what (?:happens|would|will|changes)\b", line.lower()
    )
    found = next((m for each in SUPPOSING if (m := each.match(line))), None) if asks else None
    if found is None or not CHANGING.search(found["change"]) or BECAUSE.search(line.lower()):
        return None
    return found["change"]


def act_of(line: str, offer: OnOffer) -> tuple[SpeechAct, str]:
    """What kind of act a line is that is no request, and the words that it is about: of a thought
    put as a question what is thought, of an answer with a question behind it the answer.
    """
    text = spelt_out(line)
    said, is_turned = _core(text)
    marked = text.endswith("?") or bool(re.search(r"\?\W", text))
    is_of_one = not offer.asks_names and _OF_THAT_ONE.match(said) is not None
    is_on_offer = offer.asks_names or (len(_named(said, offer)) == 1 and not is_of_one)
    is_letter = is_turned and _A_LETTER_AND_WHY.match(said) is not None
    is_alone = is_letter or (_is_bare(said, line, offer) and not (is_turned and is_on_offer))
    if _guesses_twice(text, offer) or (not is_alone and _leaves_open(text, said, offer)):
        return "undecided", said
    if is_alone:
        guessed = _under_its_name(said) if is_of_one else _as_written(line, said)
        return "answer", guessed if marked or is_turned else line
    named = _named(said, offer)
    if (marked or is_turned) and (len(named) == 1 or _is_bare(said, line, offer)) and (
        _nothing_but(said, offer, named)
    ):
        return "thought", offer.alternatives[named[0]][0] if named else _as_written(line, said)
    before_reason = BECAUSE.split(said)[0].strip(" ,")
    if marked and is_turned and offer.asks_names and before_reason != said and (
        _is_bare(before_reason, line, offer) or _proposes_names(before_reason, offer)
    ):
        return "thought", _as_written(line, before_reason)
    if offer.asks_names and _concludes_in_names(text, offer):
        return "answer", line
    if (marked or is_turned) and _is_a_reason_alone(said, offer):
        return "thought", _as_written(line, said)  # is it because of the battery?
    if _gives_reason(text) and not (marked and not is_turned and is_question(text.rstrip(" ?"))):
        return "answer", line
    if not marked and _answers_before_as(said, offer):
        return "answer", line
    if marked and offer.asks_names and _proposes_names(said, offer):
        return "thought", _as_written(line, said)
    if marked or is_question(text) or (offer.asks_value and _asks_which(text)):
        return "question", line
    if len(named) == 1 and OPEN_DOUBT.search(text):
        return "thought", offer.alternatives[named[0]][0]
    if _is_not_knowing(text, said, offer):
        return "unsure", line
    return "answer", line


def _asks_which(text: str) -> bool:
    """Whether words in which there is no amount put two things side by side, where a value is
    asked for: area of one plate or the two together.
    """
    this, *others = re.split(r"\bor\b", in_figures(_NO_AMOUNT.sub(" ", text)))
    return len(others) == 1 and not NO_KNOWING.search(text) and all(
        re.search(r"[a-z]{3}", each) and not re.search(r"\d|=", each) for each in (this, *others)
    ) and not all(map(_NOUGHT.fullmatch, (this, *others)))


_NO_AMOUNT = re.compile(r"\b(?:one|(?:the )?two|both)(?= (?:\w+|$))")
_NOUGHT = re.compile(r"\W*(?:zero|nothing|none|nought|nil|empty|more|less|so|something)\b.*")


# Isn't it b. metal in the middle can't get any charge.
_A_LETTER_AND_WHY = re.compile(
    rf"\(?[b-h]\)?(?:\s*[.,;:?]+\s*(?!or\b)|\s+(?={WORDS}))\w+\s+\w+\s+\w"
)


def _is_a_reason_alone(said: str, offer: OnOffer) -> bool:
    """Whether words are a reason and conclude nothing from it."""
    concludes = _named(said, offer) or re.search(r",|\bso\b|\d", said)
    return BECAUSE.match(said) is not None and not concludes


def is_question(line: str) -> bool:
    """Whether a line asks something, mark or no mark."""
    pieces = re.split(r"[.!;]+(?:\s|$)|(?<=left):\s", spelt_out(line))
    return any(_asks(piece) for piece in pieces if piece and not _is_heading(piece, pieces))


def _is_heading(piece: str, pieces: list[str]) -> bool:
    """Whether a piece only says what the next one lists: what's left: C1, C23."""
    return piece is not pieces[-1] and re.search(r"\bwhat (?:is|was) left$", piece) is not None


def _asks(text: str) -> bool:
    text = text.strip()
    if text.endswith("?"):
        return True
    if STATES.match(text):
        return False
    return bool(
        OPENS_QUESTION.match(text) or NOT_GRASPED.search(text) or GOES_ON_ASKING.search(text)
        or BETWEEN_TWO.match(text)
    )


def asks_between(line: str) -> bool:
    """Whether a line puts two moments or conditions side by side and states nothing of them."""
    return BETWEEN_TWO.match(re.sub(r"[?!.\s]+$", "", spelt_out(line))) is not None


def _is_not_knowing(text: str, said: str, offer: OnOffer) -> bool:
    """Whether a line says that its speaker does not know; one that goes on to answer does not."""
    if not NO_KNOWING.search(text):
        return False
    if SURELY_LOST.search(text) or (
        re.search(rf"\W(?:{NO_KNOWING.pattern})\W*(?:to be honest|tbh)?\W*$", text)
        and re.search(r"\b(?:can not|could not|does not|is not|would)\b", text)
    ):
        return True
    is_asked = offer.alternatives and _TAG_QUESTION.search(text)
    if is_asked and not _named(_AMOUNT.sub(" ", said), offer):
        return True
    without = _POWER.sub(" ", NO_KNOWING.sub(" ", said))
    without = re.sub(r"\b(?:is|are|am|was) not\b", " ", without)  # not my thing
    return not re.search(r"\d|=", without) and len(_named(without, offer)) != 1


_POWER = re.compile(r"\b[munkcd]?m\^?[23]\b")  # m2: no number of its own
_TAG_QUESTION = re.compile(r"\b(?:does|do|is|are|has|did|will|would) (?:not )?(?:it|they)\W*$")
_AMOUNT = re.compile(r"\d[\d.,]* ?[pnuµμmk]?[vcjf]\b")


def without_not_knowing(line: str) -> str:
    """A line without the pieces of it that say that its speaker does not know."""
    pieces = re.split(r"([,;.]\s*|\b(?:and|but)\b)", line)
    kept = [piece for piece in pieces if not NO_KNOWING.search(spelt_out(piece))]
    return "".join(kept).strip(" ,;.")


def spelt_out(line: str) -> str:
    """Small letters, contractions and hasty spellings in full, a p.d. in one word."""
    text = re.sub(r"['’`´\"“”„]", "", line.lower()).replace("…", ".")
    text = re.sub(r"\bp\.\s?d\.?(?=\W|$|s\b)", "pd", text)
    text = re.sub(r"[a-zµμ]+(?!\d)", lambda m: HASTY.get(m[0], m[0]), text)
    text = re.sub(r"^y (?=is|are|do|does|not|the|it|r)", "why ", text)
    return re.sub(r"\s+", " ", text).strip()


def _core(text: str) -> tuple[str, bool]:
    """What is left without hedges before and behind; whether it was put with a turned verb."""
    text = re.sub(r"[?!.\s]+$", "", text)
    first = re.match(r"([^?]+)\?+[ ,]*(?:or )?(?:is|am|or|right|correct)\b", text)
    text = (first[1] if first else text).strip()
    is_turned, before = False, None
    while text != before:
        before = text
        text = (TAIL.sub("", text) or text).strip(" ,?!.")
        text = LEAD.sub("", text).strip(" ,")
        if found := TURNED.match(text):
            text, is_turned = text[found.end() :].strip(" ,"), True
    return text, is_turned


def _is_bare(said: str, line: str, offer: OnOffer) -> bool:
    """A value, names or a letter of a list and nothing else."""
    if re.search(r"50.50|fifty", said):  # as likely the one as the other
        return not offer.alternatives
    if re.fullmatch(r"\(?[a-h]\)?", said):
        return not (said == "a" and len(line) > 3)
    said = _OF_ONE.sub(lambda found: f"{found[1]} {found[2] or ''}", said)
    if offer.asks_value:
        said = _THE_QUANTITY.sub("", said)
    elif _OF_THAT_ONE.match(said):
        said = _TOO.sub("", _OF_THAT_ONE.sub("", said))
    words = re.findall(r"[a-zµμ_]\w*'*", said)
    names = {name.lower() for name in offer.names}
    if not re.search(r"\d", said) and not (words and set(words) <= names | {"and"}):
        return False
    return all(word in names or UNITS.fullmatch(word) for word in words)


# 10 on the 5, 8 v across c2: whose value a number is.
_OF_ONE = re.compile(
    r"^(\d[\d.,]*(?: ?[a-zµμ]+)?) (?:on|for|across|in|at) (?:the )?(?:\d[\d.,]*(?: ?[pnuµμm]?f)?"
    r"|(c_?\d+))(?: one)?$"
)


# The charge on C2 is 24 uC: what a value is said of.
_THE_QUANTITY = re.compile(
    r"^(?:the )?(?:total |whole )?(?:charge|p\.?d\.?|voltage|capacitance|energy|value)"
    r"(?: (?:of|on|across|in) (?:the (?:whole|set|supply)|c_?\d+))?(?: (?:is|be|also|then))* (?=\d)"
)


# The same of one that is named: the charge on C2 is 24 uC; Q2 is 24 uC.
_OF_THAT_ONE = re.compile(
    r"^(?:(?:the )?(?P<what>charge|p\.?d\.?|voltage|energy) (?:of|on|across|in) c_?(?P<of>\d+)"
    r"|(?P<name>[qvue]_?\d+))(?: (?:is|be|also|then|=))* ?(?=\d)"
)


def _under_its_name(said: str) -> str:
    """The charge on C2 18 uC, as was asked, as Q2 = 18 uC."""
    found = _OF_THAT_ONE.match(said)
    assert found is not None, "it is said of one that is named"
    what = (found["what"] or "").replace("p", "v")[:1].upper().replace("C", "Q")
    name = f"{what}{found['of']}" if what else (found["name"] or "").upper()
    return f"{name} = {_TOO.sub('', said[found.end():])}"


_TOO = re.compile(r" (?:too|as well)$")


def _as_written(line: str, said: str) -> str:
    """The words of a line that make ``said``, in the letters in which they were written."""
    at = line.lower().find(said)
    return line[at : at + len(said)] if at >= 0 else said


def _named(text: str, offer: OnOffer) -> list[int]:
    """The places of the alternatives that a text names."""
    said = without_pointing(plain(text))
    found = [
        (n, *match.span()) for n, words in enumerate(offer.alternatives) for word in words
        for match in re.finditer(rf"(?<!\S){re.escape(plain(word))}(?!\S)", said)
    ]

    def is_within(start: int, end: int) -> bool:  # in 'not equal' no 'equal' is named
        return any(a <= start and end <= b and b - a > end - start for _, a, b in found)

    return sorted({n for n, start, end in found if not is_within(start, end)})


def _others(text: str, offer: OnOffer, named: list[int]) -> list[str]:
    """The words of a text beside the alternatives and those that join them."""
    padded = f" {plain(text)} "
    for n in named:
        for word in sorted(offer.alternatives[n], key=len, reverse=True):
            padded = padded.replace(f" {plain(word)} ", "  ")
    return [word for word in padded.split() if word not in JOINED]


def _nothing_but(said: str, offer: OnOffer, named: list[int]) -> bool:
    return not named or not _others(said, offer, named)


def _leaves_open(text: str, said: str, offer: OnOffer) -> bool:
    """Several answers at once, none of them, or how many people are for which."""
    named = _named(text, offer)
    if offer.asks_names and not _gives_reason(text):
        return _weighs_names(said, offer)
    if not offer.alternatives or _gives_reason(text):
        return False
    if re.search(r"\b(?:neither|not)\b", text) and len(named) == len(offer.alternatives) - 1:
        return False  # neither of these, so the one that is left
    if len(named) > 1 and re.search(r"\bone of (?:those|these|them|the two)\b", text):
        return True
    counts = COUNTED.search(_AMOUNT.sub(" ", text)) is not None
    if len(named) > 1 and (counts or not _others(said, offer, named)):
        return True
    alone = {"both", "either", "neither", "any", "all", "whichever"}
    return bool(set(said.split()) & alone) and not named and set(said.split()) <= JOINED


def _guesses_twice(text: str, offer: OnOffer) -> bool:
    """Whether two values or more are each put as a question: 20 V? 40 V?"""
    *guesses, last = text.split("?")
    return not offer.asks_names and len(guesses) > 1 and not re.search(r"\w", last) and all(
        re.search(r"\d", each) and _is_bare(_core(_OR.sub("", each))[0], each, offer)
        for each in guesses
    )


_OR = re.compile(r"^[\s,]*or\b")


def _weighs_names(said: str, offer: OnOffer) -> bool:
    """Whether names stand on both sides of each of two times 'or', and nothing is taken of them."""
    names = {name.lower() for name in offer.names}
    sides = [{*re.findall(r"[a-z]\w*'*", each)} for each in re.split(r"\bor\b", said)]
    return len(sides) > 2 and all(len(side & names) > 1 for side in sides)


def _gives_reason(text: str) -> bool:
    """Whether a reason is given, and none asked for."""
    return bool(BECAUSE.search(text)) and not re.match(rf"{FILLER}(?:why|how|what|is that)\b", text)


def _answers_before_as(said: str, offer: OnOffer) -> bool:
    """Whether a line names one answer on offer and goes on with its reason: Q as it is cut off."""
    head = BECAUSE_OR_AS.split(said)[0].strip(" ,")
    named = _named(head, offer)
    return head != said and len(named) == 1 and _nothing_but(head, offer, named)


def _concludes_in_names(text: str, offer: OnOffer) -> bool:
    """Whether a line ends in names of which it says that they follow: …, so C3 and C4."""
    after = re.split(r"\b(?:so|therefore|hence)\b", text)
    if len(after) < 2 or text.endswith("?"):
        return False
    words = set(re.findall(r"[a-z]\w*'*", after[-1]))
    names = {name.lower() for name in offer.names}
    return len(words & names) > 1 and words <= names | JOINED


def _proposes_names(said: str, offer: OnOffer) -> bool:
    """Names with how they are joined and nothing else: C1 and C2 in series?"""
    words = re.findall(r"[a-z]\w*'*", said)
    names = {name.lower() for name in offer.names}
    others = {"parallel", "series", "combine", "combined", "together", "with", "we", "first", "in"}
    found = [word for word in words if word in names]
    return len(found) > 1 and set(words) <= names | others | JOINED
