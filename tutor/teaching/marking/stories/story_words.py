"""What the words of a script say about a story: which quantity a value is, or a choice."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from grammar.lengths import LENGTH_PREFIX, size_unit
from tutor.teaching.hearing import plain
from tutor.teaching.marking.labels import Label, symbol_in
from tutor.teaching.marking.statements import AMOUNT
from tutor.teaching.messages import About
from tutor.teaching.staged.measuring import WRITTEN_OUT
from tutor.teaching.staged.story import Ask, Option

# What a line must speak of besides the answer itself, so that a word in passing chooses nothing.
TOPICS: Mapping[About, re.Pattern[str]] = MappingProxyType(
    {
        "shares": re.compile(
            r"same|share|fix|\bsets\b|\bset by\b|decides|determine|held|hold|const|kept|keep|stay"
            r"|conserv|common|unchanged|trapped|stuck"
            r"|cannot|can ?not|cant|does ?nt|does not|nowhere|remain|isolated|ratio|exchange|equal"
        ),
        "choice": re.compile(
            r"first|rating|left|joined|parallel|series|fit|root|solution|value|ladder"
        ),
        "reason": re.compile(r"add|reciprocal|equation|root|\b[abc]\b"),
        "energy": re.compile(r"energ|stor|work|lost|heat|\bwent\b|\bgoes\b|\bcomes?\b|pull"),
        "change": re.compile(r"charge|move|flow"),
        "check": re.compile(
            r"rating|within|safe|above|possible|impossible|cannot|agree|value|fits"
        ),
    }
)
_LETTERS_SAID: Mapping[str, str] = MappingProxyType({"Q": "charge", "V": "voltage", "U": "voltage"})
_LETTER = re.compile(r"(?<![A-Za-z_\d'’])([QVU])(?![A-Za-z_\d'’])")
_HIGHER = re.compile(
    r"\b(?:(?:[\d.]+|[a-z]+)\s+times\s+(?:as\s+(?:much|large|big|great|high)|what)"
    r"|doubl\w+|twice|tripl\w+|(?:went|goes|gone|is|are)\s+up|increas\w+|gain\w*|ris\w+|grew|grown)\b"
)
_LOWER = re.compile(
    r"\b(?:(?:half|an?\s+(?:third|quarter|[a-z]+th))\s+(?:as\s+(?:much|large|big|great|high)|of\s+what)"
    r"|halv\w+|half(?!\s+(?:of|the|each|goes|go|moves|stays)\b)|(?:went|goes|gone|is|are)\s+down|decreas\w+|dropp?\w*|fell|fallen|reduc\w+)\b"
)
_IS_NOT_HELD = re.compile(  # energy is not conserved, but charge is
    r"(?i)(?:\bnot|n['’]t|\bnever|\bno\s+longer)\s+(?:be\s+|the\s+)?(?:conserv|same|constant|kept|fixed|held|equal)"
)
_IS_PARTED = re.compile(  # how what there is of it is parted, and not that there is as much
    r"(?i)\b(?:shar|split|divid|halv)\w*\b(?=.*\b(?:equal|even|half|halves|fifty|50)\w*)|\bequal\s+shares?\b"
)
_HELD_BY_SUPPLY = re.compile(  # which holds a p.d., never a charge
    r"(?i)\b(?:supply|battery|cell|source)\s+(?:sets|fixes|holds|keeps|decides|determines)\b"
    r"|\bby\s+(?:the|a)\s+(?:supply|battery|cell|source)\b(?!\s+(?:being|going|having))"
)
_SAYS_VALUE = re.compile(r"\b(?:is|are|gives?|makes?|was|becomes?)\s+[-−]?[\d.]")
_AT_FIRST: Final = re.compile(
    r"\b(?:at\s+first|(?<!as )before(?:hand)?|initial\w*|originally|to\s+begin)\b"
)
BEFORE: Final = "before"  # what words point at that say of a value that it is of before a change
HELD: Final = ("Q", "V", "E")
MOST_WORDS = 5
MOST_OF_LABEL = 3
_CLAUSES = re.compile(r"[,;:]|\b(?:so|since|because|but|and not|while)\b")
_CAPACITOR = re.compile(r"\bC_?(\d{1,4}|[a-z])\b")
_AT_POINT = re.compile(
    r"^\s*(?:(?:put\s+into\s+|from\s+)?(?:the\s+)?(?:charge\s+)?balance\s+)?(?:at|for|of)\s+"
    r"(?:point\s+)?[A-Za-z]\w*\s*[:,]\s*",
    re.IGNORECASE,
)
_POINT_NAMED = re.compile(r"^\s*(?:[A-Za-z]\s*:|\([A-Z]\)\s*:?)\s*(?=.*=)")
_RATING = re.compile(r"\brating of C\w+")
_IN_AIR = re.compile(r"\(?\b(C\w*) with air\b\)?")
_ENERGY_LOST = re.compile(
    r"\b(?:E|W|[Ee]nergy)[ _]?(?:lost|loss)\b(?=\s*(?:=|:|is|\d))"
    r"|^\s*(?:[Tt]he\s+)?(?:[Hh]eat|[Ll]oss)\b(?=\s*=)"
)
_LOST = re.compile(r"\blost\b|\bloss\b|\bheat\b|\bwarmed\b")
_COUNTS = (
    ("n", re.compile(r"\bin\s+(?:(?:a|each|one|every)\s+(?:row|string|chain|branch)|series)\b")),
    ("m", re.compile(r"\b(?:strings?|rows?|branches|chains|in\s+parallel|sets|groups|lots)\b")),
    ("N", re.compile(r"\b(?:capacitors|caps|in\s+(?:all|total)|altogether|needed|total)\b")),
)
_ROW = re.compile(
    r"^\s*(?:each|one|every|a|the|per|C of a)?\s*(?:row|string)\s*(?:is|has|gives|of|makes)?\s*$"
)
_ELECTRIC_FIELD = re.compile(r"\bE[- ]field\b")
_NEWTONS = re.compile(r"(?<![\w.])(\d[\d.,]*)\s*([numkµμ]N)(?![A-Za-z])")
_WORK_ON = re.compile(
    r"\b(?:W|E|[Ww]ork(?:\s+done)?)\s+(?:on|by|in|to)\s+(?:(?:moving|pulling)\s+)?(?:the\s+)?"
    r"(?:(plates?)|slab|filling|dielectric|material)\b(?=\s*(?:=|:|is\b))"
)
# Of all in parallel the lowest rating is the answer itself.
_LOWEST = re.compile(
    r"\b(?:lower|lowest|smaller|smallest|least|weaker|weakest)\s+(?:of\s+the\s+)?(?:ratings?|rated)\b"
    r"[^=:]*(?=[=:])"
)
_SUM = re.compile(r"\s*(?:sum|total|together)\s*(?:is|of|comes to)?\s*$")
_WHOLE = re.compile(r"\b(?:total|whole|altogether|in\s+all)\b")
_BY_SUPPLY = re.compile(r"\b(?:supply|supplied|battery|cell|source)\b")
_ON_FILLING = re.compile(
    r"\b(?:slab|filling|dielectric|field)\b|\b(?:on|by)\s+the\s+(?:plates|material)\b|\bpull\w*\b"
)
_LENGTH = re.compile(r"(\d[\d.]*(?:e-?\d+)?)\s*([pnuµμmc]?)m(?:(\^2|2|²))?(?![A-Za-z\d])")
_FIELD = re.compile(
    r"(\d[\d.]*(?:e-?\d+)?)\s*([kM]?)V\s*(?:/|per)\s*([munµμc]?)m(?![A-Za-z\d])"
)
_LETTERS_OF_PLATES: Mapping[str, str] = MappingProxyType({"ε": "eps", "₀": "0", "ᵣ": "r"})


def label_in(text: str) -> Label | None:
    """The kind of quantity and the capacitors that words name; None where they name nothing."""
    symbol = symbol_in(text)
    if symbol is None and _LOST.search(text) and len(text.split()) <= MOST_OF_LABEL:
        return Label("E", ("E_lost",), False, None)
    if symbol is None and _SUM.match(text):
        return Label(None, ("sum",), False, None)
    if symbol is None and _ROW.search(text):
        return Label(None, ("C",), False, None)
    if symbol not in HELD and (count := counted_in(" ".join(text.split()[:4]))) is not None:
        return Label(None, (count,), False, None)
    names: tuple[str, ...] = tuple(f"C{found[1]}" for found in _CAPACITOR.finditer(text))
    if len(names) > 1 and symbol != "V":  # a charge or an energy of several is none of one
        names = ()
    if symbol == "E" or _ON_FILLING.search(text):
        for said, name in ((_LOST, "E_lost"), (_ON_FILLING, "W_filling"), (_BY_SUPPLY, "W")):
            if said.search(text):
                return Label("E", (name,), False, None)
    is_whole = symbol in HELD and not names and _WHOLE.search(text) is not None
    if not symbol and not names and _AT_FIRST.search(text):
        names = (BEFORE,)
    return Label(symbol, names, is_whole, None) if symbol or names else None


def counted_in(text: str) -> str | None:
    """The count that words after a whole number speak of: n in a chain, m chains, N in all."""
    return next((name for name, said in _COUNTS if said.search(text)), None)


_OF_CAPACITOR = re.compile(
    r"(?<![A-Za-z\d_])([QVUEW])"
    r"(?:_C_?|(?:_?|\s+(?:of|on|across|in|over)\s+)C_?(?=\d'*\s*(?:=|:)))(\d)(?![\w])"
)

# With a time behind it, the charge on C1 after = is none of a capacitance.
_KIND_OF_CAPACITOR = re.compile(
    r"(?i:\b(?:the\s+)?(charge|p\.?d\.?|voltage|volts|energy))\s+"
    r"(?:stored\s+)?(?:of|on|across|in|over|for)\s+C_?(\d)((?:\s+[a-z]+){1,3}\s*)(?==|:)"
)


def _by_letter(told: re.Match[str]) -> str:
    """The name of a quantity for its kind and its capacitor: Q1 for the charge on C1."""
    return f"{symbol_in(told[1])}{told[2]}{told[3]}"


def readable(text: str, metric: bool) -> str:
    """A line in the signs that are read here; where lengths are measured (``metric``) they become
    metres, and areas square metres.
    """
    for sign, written in WRITTEN_OUT.items() if metric else ():
        text = re.sub(sign, f" {written} ", text)
    for sign, letters in _LETTERS_OF_PLATES.items():
        text = text.replace(sign, letters)
    text = _OF_CAPACITOR.sub(r"\1\2", text)  # V_C1, V of C1
    text = _KIND_OF_CAPACITOR.sub(_by_letter, text)
    text = _ELECTRIC_FIELD.sub("field", _AT_POINT.sub("", text))
    text = _FIELD.sub(_in_volts_per_metre, text)
    text = _NEWTONS.sub(_in_newtons, text) if metric else text
    text = _WORK_ON.sub(lambda found: "W_plates" if found[1] else "W_filling", text)
    text = _LOWEST.sub("V ", text)
    text = _RATING.sub("rating", _ENERGY_LOST.sub("E_lost", _IN_AIR.sub(r"\1", text)))
    return _LENGTH.sub(
        lambda found: _in_metres(found) if metric or found[2] or found[3] else found[0], text
    )


def with_levels(text: str, points: Collection[str]) -> str:
    """An equation with the name of a potential where a pupil has the letter of its point alone:
    V_P for P, or for p.
    """
    if "=" not in text:
        return text
    text = _POINT_NAMED.sub("", text)
    for point in points:
        letter = f"(?:{re.escape(point)}|{re.escape(point.lower())})"
        text = re.sub(rf"(?<![A-Za-z_'’]){letter}(?![A-Za-z0-9_'’:])", f" V_{point} ", text)
    return text


def _in_volts_per_metre(found: re.Match[str]) -> str:
    """A field as a plain number of volts per metre: 200 kV/m, 3 kV/mm."""
    number, prefix, below = found.groups()
    power = {"": 0, "k": 3, "M": 6}[prefix] - _power_of_length(below)
    return f"{number} × 10^{power}" if power else number


def _in_newtons(found: re.Match[str]) -> str:
    """A force as a plain number of newtons: 5.5 mN."""
    unit = size_unit(found[2])
    return f"{found[1]} × 10^{unit.power}" if unit else found[0]


def _in_metres(found: re.Match[str]) -> str:
    number, prefix, squared = found.groups()
    factor = _power_of_length(prefix) * (2 if squared else 1)
    return f"{number} × 10^{factor}" if factor else number


def _power_of_length(prefix: str) -> int:
    """The power of ten of a metre with this prefix."""
    sign = prefix.replace("u", "µ").replace("μ", "µ")
    return next(power for power, each in LENGTH_PREFIX.items() if each == sign)


def is_prose(text: str) -> bool:
    """Whether a piece is a sentence that states no value, though a number may stand in it."""
    if "=" in text or ":" in text or _SAYS_VALUE.search(text):
        return False
    return len(re.findall(r"[A-Za-z]{2,}", text)) > MOST_WORDS


def words_after(text: str) -> str:
    """The words after the last value of a statement: went down, in E = 500 µJ, went down."""
    *before, after = AMOUNT.split(text)
    return after.strip(" ,;()=:") if before else ""


def _in_words(ask: Ask, text: str) -> str:
    """With words in the place of letters and of comparisons, where the answers are words."""
    if ask.about == "shares":
        return _LETTER.sub(lambda found: _LETTERS_SAID[found[1]], text)
    if ask.about == "energy" and symbol_in(text) not in ("Q", "V"):  # half the charge goes over
        return _LOWER.sub("lower", _HIGHER.sub("higher", text))
    return text


def option_said(ask: Ask, text: str, beside: str = "") -> Option | None:
    """The one option of a question that a line in words takes, None for none or several;
    ``beside`` is what else stands there of the same matter.
    """
    text = _in_words(ask, text)
    answer = next(
        (o for o in ask.options if any(plain(word) == plain(text) for word in o.words)), None
    )
    topic = TOPICS.get(ask.about)
    if answer is not None or (topic is not None and not topic.search(plain(f"{beside} {text}"))):
        return answer
    for clause in _CLAUSES.split(text):
        if ask.about == "shares" and (_IS_NOT_HELD.search(clause) or _IS_PARTED.search(clause)):
            continue
        of_supply = ask.key == "held" and _HELD_BY_SUPPLY.search(clause) is not None
        said = f" {plain(clause)} "
        found = [option for option in ask.options if any(_is_in(said, w) for w in option.words)]
        if len(found) > 1 and ask.about == "energy":  # "lost doing work on the slab"
            most = max(_times_said(said, option) for option in found)
            found = [option for option in found if _times_said(said, option) == most]
        if len(found) == 1 and not (of_supply and found[0].is_right and "charge" in found[0].words):
            return found[0]
    return None


_NUMBER: Final = re.compile(r"[\d.,/ ]+")


def _times_said(said: str, option: Option) -> int:
    """How many words of an option stand in a clause."""
    return sum(_is_in(said, word) for word in option.words)


def is_short(option: Option, text: str, most: int) -> bool:
    """Whether a clause of no more words than ``most`` takes an option."""
    clauses = (clause for clause in _CLAUSES.split(text) if clause and len(clause.split()) <= most)
    return any(_is_in(f" {plain(c)} ", word) for c in clauses for word in option.words)


def _is_in(said: str, word: str) -> bool:
    """Whether a word of an answer stands in a clause; of letters alone only a, b and c do, and a
    number never does: it may be that of any sum.
    """
    meant = plain(word)
    short = len(meant) < 2 and meant not in ("a", "b", "c")
    return not short and not _NUMBER.fullmatch(meant) and f" {meant} " in said


def as_number(value: Fraction) -> str:
    """A plain number for a remark."""
    return f"{float(value):g}"
