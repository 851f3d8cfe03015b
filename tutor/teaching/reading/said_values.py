"""Values in a sentence: which of its parts is the answer, and which are the reason for it.

The grammar reads a line that is nothing but values. Where it refuses, the line is cut where people
cut it ('because', 'so', 'which is', a comma), each piece is read by itself, and the words around a
value are left aside. What cannot be read with certainty is asked about and never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import suppress
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from grammar.answers import LONGEST_LINE, Claim, evaluate, is_plain_value
from grammar.expressions import Neg, Num, names_in, parts_of
from grammar.lengths import size_unit
from grammar.quantity import UNIT_SIGN, is_unit
from grammar.records import Refusal
from grammar.refusals import ANY_VALUE
from grammar.spoken_numbers import in_figures, without_counts
from tutor.teaching.reading.because_words import BECAUSE, WORDS
from tutor.teaching.reading.spoken_words import is_plain_word

FragmentRole: TypeAlias = Literal["said", "reason", "result"]
ClaimReader: TypeAlias = Callable[[str], tuple[Claim, ...]]
WhyNot: TypeAlias = tuple[str, str]
WHICH: WhyNot = ("There is more than one value there.", "Which of them is your answer?")
COMPARED: WhyNot = ("That says how it compares with another.", "How much is it?")
DENIED: WhyNot = ("That says what it is not.", "What is it?")
NOT_STUCK: WhyNot = ("", "")
PART: WhyNot = ("That says what part of another it is.", "How much is it?")
UNSOLVED: WhyNot = ("That is an equation with two unknowns.", "What value comes of it?")
IN_ONE: WhyNot = ("That is an equation still to be solved.", "What value comes of it?")
CONVERTED: WhyNot = ("That says how units go together.", "How much is it, then?")
BRACKETS = (("(", ")"), ("[", "]"))


# Seen from B it stands at 7: what is put in front tells the view, and not a reason.
_FRONTED = re.compile(
    r"(?i)\W*(?:(?:seen|counted|measured|reckoned)\s+)?(?:from|by|with|at|after)\s+[^,;\d]*"
)


class Unsettled(Refusal):
    """A line with values in it of which none can be taken for the answer without asking."""


class Fragment(NamedTuple):
    """A piece of a sentence: what it is there for, and what it states if it can be read at all.

    ``plain`` says that it is a value and nothing else; ``stuck`` why a value in it was not taken.
    """

    role: FragmentRole
    text: str
    claims: tuple[Claim, ...] = ()
    plain: bool = True
    stuck: WhyNot = NOT_STUCK


_RESULT = (
    r"so|hence|thus|therefore|which\s+(?:is|gives|makes|equals|leaves|comes\s+(?:out\s+)?to|means"
    r"|would\s+be)|that\s+(?:is|gives|makes|leaves)|(?:you|i|we)?\s*(?:then\s+)?(?:get|got|have)"
    r"|giv(?:es?|ing)|mak(?:es?|ing)|leav(?:es|ing)|comes?\s+(?:out\s+)?(?:to|at|as)"
    r"|(?:and\s+)?(?:upside[\s-]*down|flipp?(?:ed)?(?:\s+it)?|turned\s+(?:over|round)|inverted)"
    r"(?:\s+(?:it\s+)?(?:is|gives))?(?=[\s,:=]+\d)|(?:doubl|halv|tripl|squar)(?:ed|ing)"
    r"(?:\s+(?:it\s+)?(?:is|gives|makes))?(?=[\s,:=]+\d)|works?\s+out\s+(?:to|at|as)|(?:my|the|final)\s+(?:final\s+)?(?:answer|result)\s*(?:is|:)?"
)
# 250/63 is 3.97, round up: 4
_RESULT += (
    r"|round(?:s|ed|ing)?\s+(?:it\s+)?(?:up|off|down)?[\s,:]*(?:(?:to|is|gives|makes|so|means)\s+)?"
    r"(?=[\s,:=]*\d)"
)
_REASON = (
    rf"{WORDS}|as(?=\s+(?!well|usual)\w)|if|depending"
    r"|when|by\s+(?!\d)\w+|after|from(?=\s+\D)|where"
)
_SAID = r"and\s+then|then|but|and"
_CUT = re.compile(
    rf"(?i)(?P<result>\b(?:{_RESULT})(?![\w'’]))"
    rf"|(?P<reason>\b(?:{_REASON})\b|(?<=[\dFVCJs])[\s,]+not\b(?=\s+\d))"
    rf"|(?P<said>,(?!\d)|,(?=\d+\s*[A-Za-z]\w*\s*=)|;|[!?]+|\.(?!\d)(?=\s|$)|\s[-–]\s(?=[A-Za-z])"
    rf"|\b(?:{_SAID})\b|\s\()"
)
# Between two values, each with its name or its unit, no comma is needed.
_NAMED_NEXT = re.compile(
    r"(?<=[\dFVCJ])\s+(?![munpµμcd]?m[2²])(?=[A-Za-z](?:_\w+|[A-Za-z]{0,2}\d\w*'*)\s*(?:[=:]|\bis\b))"
)
_VALUE_NEXT = re.compile(
    r"(?<![\d^*×x/+(−-])(?<!\w)(\d+(?:[.,]\d+)?\s*(?:[pnuµμmkM]?[FVCJ])?)\s+"
    r"(?=(?!0\d|\d00\b)\d+(?:[.,]\d+)?\s*(?:[pnuµμmkM]?[FVCJ])?\s*$)"  # 15 000 is one number
)
_OR_ABOUT = re.compile(
    r"(?i)(?P<sum>[^=]*\d[^=]*?),?\s+or\s+(?:about|around|roughly|nearly|approx\w*\.?|~|≈)\s*"
    r"(?P<value>\d[\d.,]*\s*(?:[pnuµμmk]?[FVCJ])?)\W*"
)
NEAR_ENOUGH = 0.02
_WITH_ITS_SUM = re.compile(
    r"(?P<value>.*\d\s*[A-Za-zµμ]*)\s+\((?P<sum>[^()=]*\d[^()=]*)\)\W*"
)
# 144 uC (3.6 times 40): no product, but how it came about.
_IN_BRACKETS_BEHIND_A_UNIT = re.compile(
    r"(?i)(\d\s*(?:[pnuµμmk]?[FVCJ]|\w*(?:volt|farad|coulomb|joule)s?))\s+"
    r"\((?!\s*and\b|[^)]*(?:=|\bother\b|\b[QVUEC]_?\d))[^)]*\)\s*$"
)
_DENIAL = re.compile(r"(?i)\b(?:not|no|never|isn'?t|wasn'?t|ain'?t|cannot|can'?t|without)\b")
_IS_IT_NOT = re.compile(
    r"(?i)\bor\s+so\b|\bor\s+thereabouts\b|\b(?:is|would|will|wo|was|should|must)(?:n'?t)?\s+(?:it|that|this)\s+(?:not\s+)?(?:be\b)?"
    r"|,?\s*(?:is|was|would)n['’]?t\s+(?:it|that)(?:\s+be)?\s*\??\s*$"
    r"|,?\s*is\s+(?:it|that)\s+not\s*\??\s*$"
    r"|,?\s*\b(?:but\s+)?(?:i['’]?m\s+|am\s+)?not\s+(?:so\s+|too\s+|really\s+|entirely\s+|quite\s+)?"
    r"(?:sure|certain)\b|\bif\s+i['’]?m\s+not\s+(?:wrong|mistaken)\b"
)
# 36 : 3 = 12, as many write a division; V : 12 and V1:V2 are none.
_DIVIDED = re.compile(r"(?<=[\w)])\s:\s(?=[\w(][^:]*=)|(?<=\d)\s?:\s?(?=\d+(?:[.,]\d+)?\s*=)")
# 8u*25: a prefix with its unit left out, within a sum.
_PREFIX_ALONE = re.compile(
    r"(?<![\w.])(\d+(?:\.\d+)?)\s?(micro|nano|pico|[pnuµμ])(?=\s*(?:[*×x·/+=]|[−–-]\s|times\b|by\b|is\b|gives\b|makes\b))(?!x\s*[A-Za-z])"
)
PREFIX_POWERS: Mapping[str, int] = MappingProxyType(
    {"p": -12, "pico": -12, "n": -9, "nano": -9, "u": -6, "µ": -6, "μ": -6, "micro": -6}
)
_FLIPPED = re.compile(
    r"(?i)(?:^|(?<=[\s,=]))(\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?),?\s+(?:and\s+|then\s+|but\s+)*"
    r"(?:flipped|turned(?:\s+over)?|inverted|upside[\s-]?down)\W*$"
)
_COMPARISON = re.compile(
    r"(?i)\b(?:more|less|bigger|smaller|greater|higher|lower|larger|fewer|under|above|below"
    r"|between|least|most|times\s+as|twice|half|double|than|halfway|almost|nearly\s+all)\b"
    r"|^\W*(?:(?:it|well|way|just|far)(?:['’]s|\s+is)?\s+)*over\s+\d"
)
# 2/5 of the whole, and no value after it.
_PART_OF = re.compile(
    r"(?i)(?:\d\s*/\s*\d+|\d\s*(?:%|per\s?cent)|\b(?:half|thirds?|quarters?|fifths?))\s+of\s+"
    r"(?:the|its|it|what|all|that)\b[^=\d]*$"
)
_THE_REST = re.compile(
    r"(?i)\W*(?:it(?:['’]?s|\s+is|\s+gets|\s+has)?\s+)?(?:all\s+)?(?:the\s+|its\s+)?(?:rest|remainder|remaining"
    r"|other\s+(?:half|part)|what(?:['’]?s|\s+is|\s+remains)?\s*(?:left)?)(?:\s+of\s+\w+|\s+one)?\W*"
)
# 6000 µJ, two thirds of it!!
_AND_ITS_PART = re.compile(
    r"(?i)^(\W*[-+]?\d[\d.,]*\s*(?:[pnuµμmk]?[FVCJ]|\w*(?:volt|farad|coulomb|joule)s?))\s*[,;(–-]\s*"
    r"(?:which\s+is\s+|that['’]?s\s+)?(?:\w+\s+|\d\s*/\s*)*?(?:half|thirds?|quarters?|fifths?|\d+|\d\s*%)\s+"
    r"of\s+(?:the|its|it|what|all|that)\b[^=\d]*$"
)
# 10 mJ and 3.75 mJ, 13.75 mJ altogether; but in 120 and 60 together the last is a part.
_IN_ALL = re.compile(
    r"(?i)^.*\d.*(?:,|;|\band(?!\s+[\d.]+\s*[a-zµμ]*\s+together)|\bso|\bmakes?|\bgiving|=)\s*(?:that['’]?s\s+|that\s+is\s+)?"
    r"(\d[\d.]*\s*(?:[pnuµμmk]?[FVCJ])?)\s+(?:alto?l?gether|in\s+total|in\s+all|total|together|overall)\W*$"
)
# 4, leaving 8: the answer, or what is left of another.
_WHAT_IS_LEFT = re.compile(r"(?i)^\W*\d[\d.,]*\s*[pnuµμmk]?[FVCJ]?[\s,]+leav(?:es|ing)\s+\d")
# 6 if I use the rule, 25 if I trust my gut.
_ON_CONDITION = re.compile(
    r"(?i)\d[^,;.]*\bif\b[^,;=]*[,;.]?\s+(?:or\s+|and\s+|but\s+)?\d[^,;]*\bif\b"
)
# 11p - 2r = 78: two letters with numbers before them, of which neither is given.
_WITH_UNKNOWNS = re.compile(
    r"\W*\d*\s*(?![FVCJxeE])(?P<one>[A-Za-z])\s*[+−-]\s*\d+\s*"
    r"(?![FVCJxeE]|(?P=one))[A-Za-z]\s*=[^=]*\d[^=]*"
)
# 3x + x = 20, 4x = 20
_IN_ONE_UNKNOWN = re.compile(
    r"\W*(?=.*(?:\d|[+−-])\s*[xyzk]\b)\d*\s*(?P<one>[xyzk])(?:\s*[+−-]\s*\d*\s*(?P=one))*\s*=\s*\d[\d.]*"
    rf"\s*{UNIT_SIGN}?\W*"
)
# 1 cm2 = 0.0001 m2
_UNITS_ALONE = re.compile(
    r"\W*1\s*(?P<unit>[a-zA-Zµμ]+)(?:\^?[23²³])?\s*(?:=|is)\s*\d[\d.,e^×x*\s−-]*?\s*"
    r"(?!(?P=unit))[a-zA-Zµμ]+(?:\^?[23²³])?\W*"
)
_NO_VALUE_YET = (
    (UNSOLVED, _WITH_UNKNOWNS), (IN_ONE, _IN_ONE_UNKNOWN), (CONVERTED, _UNITS_ALONE),
)
# An operation on something that no number stands for: 3 times the golden ratio minus 3.
_OPERATED_ON_WORDS = re.compile(
    r"(?i)(?:\b(?:times|plus|minus|over|by)|[*/+×÷])\s*\0[\s\0]*"
    r"(?:(?:times|plus|minus|over|divided)\b|[*/+×÷−-]|$)"
    r"|\b(?:plus|minus)\s*\0[\s\0]*(?=[A-Z])"
)
_SAID_EQUAL = re.compile(r"(?s)(?P<words>.*\d.*)=\s*(?P<value>[^=]*\d[^=]*)")
_CHOICE = re.compile(r"(?i)\bor\b|\beither\b|/or/")
_WORD = re.compile(r"[A-Za-zµμΔ][A-Za-z0-9_₀-₉'’′]*")
_AMOUNT = re.compile(r"(?<![A-Za-z_\d])\d")
_KEPT = frozenset((
    "over", "plus", "minus", "times", "divided", "by", "squared", "cubed", "of", "equals", "is",
    "equal", "to", "x", "e",
))
_HANGING = re.compile(
    r"(?i)^[\s.,:]*(?:to|of|by|x|is)\s+(?=\d)|\s+(?:of|to|over|by|is|x)[\s.,]*$"
)
_OF_OTHERS = re.compile(r"(?i)\b(?:other|others|second|next|last|rest|remaining|third)\b")


# A value and why: what is said of other numbers behind it is no answer.


def read_said(line: str, names: Collection[str], read: ClaimReader) -> tuple[Claim, ...]:
    """The values that a line states, in order; ``read`` reads what is nothing but values.

    Errors: ``Refusal`` where there is none, ``Unsettled`` where there are several and it is not
    plain which is meant.
    """
    if len(line) > LONGEST_LINE:
        return read(line)  # which is refused, before any pattern goes over it
    line = _with_marks(in_figures(without_counts(_IS_IT_NOT.sub(" ", line))))
    reason = BECAUSE.search(line)
    head = line[: reason.start()].rstrip(" ,") if reason is not None else ""
    if re.search(r"\d", head) and not re.search(r"[,;](?!\d)", head):
        with suppress(Refusal):  # what comes behind it is no answer
            return read_said(head, names, read)
    line = _IN_ALL.sub(_with_its_unit, _AND_ITS_PART.sub(r"\1", line))
    if _PART_OF.search(line) or _THE_REST.fullmatch(line):
        raise Unsettled(*PART)
    if _WHAT_IS_LEFT.match(line) or _ON_CONDITION.search(line):
        raise Unsettled(*WHICH)
    for stuck, pattern in _NO_VALUE_YET:
        if pattern.fullmatch(line):
            raise Unsettled(*stuck)
    line = _IN_BRACKETS_BEHIND_A_UNIT.sub(r"\1", _without_its_sum(line, read))
    if any(found.lastgroup != "said" for found in _CUT.finditer(line)):
        with suppress(Refusal):
            unsaid = Refusal("No value is said there.", ANY_VALUE)
            return _of_a_sentence(line, names, read, unsaid)
    try:
        return _without_working(read(line))
    except Refusal as refusal:
        cut = _REMARK_BEHIND.fullmatch(line)
        if cut is not None and not any(each.search(cut["remark"]) for each in _SAY_MORE_OF_IT):
            with suppress(Refusal):
                return _without_working(read(cut["value"]))
        found = _from_a_side_that_is_read(line, names, read)
        return found or _of_a_sentence(line, names, read, refusal)


# 1.2 uF product over sum: how it was done, behind the value and without a comma.
_REMARK_BEHIND = re.compile(
    rf"(?P<value>.*\d\s*{UNIT_SIGN})\s+(?P<remark>(?!or\b|and\b|if\b)[a-z]{{2,}}\b[^\d=]*)"
)
_SAY_MORE_OF_IT = (
    _DENIAL, _COMPARISON, _CHOICE, re.compile(r"(?i)\b(?:each|both|of|on|for|too|same)\b"),
)


_A_SUM_OF_TWO = re.compile(r"\b[A-Z]_?\d+'?\s*\+\s*[A-Z]_?\d+'?\W*$")


def _from_a_side_that_is_read(
    line: str, names: Collection[str], read: ClaimReader
) -> tuple[Claim, ...]:
    """What a chain of equalities says from the first side on that can be read, behind the name that
    it begins with: V' = Q/(C1 + C2) = 0.3 mC/20 uF = 15 V, where Q is no name here.
    """
    first, *sides = re.split(r"\s*=\s*", line.strip())
    is_name = re.fullmatch(r"[A-Za-z]\w*'*", first) is not None
    if not sides or re.search(r"[,;?]", line) or not re.match(r"[\d.(]", sides[-1]) or (
        is_name and first not in names
    ):
        return ()
    if _A_SUM_OF_TWO.search(first) and (bare := _without_words(first, names)):
        with suppress(Refusal):  # the p.d.s: V1 + V2 = 30
            return read(" = ".join((bare, *sides)))
    for at in range(1 if is_name else 0, len(sides)):
        with suppress(Refusal):
            return read(" = ".join([*([first] if is_name else []), *sides[at:]]))
    return ()


def _with_its_unit(found: re.Match[str]) -> str:
    """What several come to, in the unit of the last of them where it has none of its own."""
    units = re.findall(r"\d\s*([pnuµμmk]?[FVCJ])\b", found[0])
    return f"{found[1]} {units[-1]}" if units and found[1].strip()[-1].isdigit() else found[1]


def _without_its_sum(line: str, read: ClaimReader) -> str:
    """48 (120-72) as 48, where what stands in brackets comes to the number before them; 7/3 or
    about 2.3 as 2.3.
    """
    if rounded := _OR_ABOUT.fullmatch(line):
        try:
            exact, about = (
                evaluate(read(rounded[side])[0].sides[-1], {}).value for side in ("sum", "value")
            )
        except (Refusal, ValueError):
            return line
        return rounded["sum"] if abs(float(exact / about) - 1) < NEAR_ENOUGH else line
    found = _WITH_ITS_SUM.fullmatch(line)
    if found is None:
        return line
    try:
        (one,), (other,) = read(found["value"]), read(found["sum"])
        value, total = one.sides[-1], evaluate(other.sides[-1], {})
    except (Refusal, ValueError):
        return line
    is_same = isinstance(value, Num) and value.value != 0 and (
        abs(float(total.value / value.value) - 1) < NEAR_ENOUGH
    )
    return found["value"] if is_same else line


def _without_working(claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
    """Without a sum in figures that only shows how the value before it came about."""
    claims = _after_its_steps(claims)
    first, *others = claims
    if not isinstance(first.sides[-1], Num):
        if len(others) == 1 and _comes_to(first, others[0]):
            return (first._replace(sides=(*first.sides, others[0].sides[0])),)
        return claims
    return (first, *(
        each for each in others if not _explains(each) and not _is_its_opposite(first, (each,))
    ))


def _after_its_steps(claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
    """The last of several sums in figures, where it takes in what those before it came to: 2*3=6,
    2+3=5, 6/5 = 1.2.
    """
    *steps, last = claims
    if not steps or not all(_explains(each) for each in claims):
        return claims
    taken = {part.value for part in parts_of(last.sides[0]) if isinstance(part, Num)}
    results = {each.sides[-1].value for each in steps if isinstance(each.sides[-1], Num)}
    return (last,) if results and results <= taken else claims


def _comes_to(first: Claim, then: Claim) -> bool:
    """Whether a number is what the sum before it comes to: 1/6 of 180, 30."""
    value = then.sides[0]
    if len(first.sides) > 1 or then.target or len(then.sides) > 1 or not isinstance(value, Num):
        return False
    try:
        return bool(evaluate(first.sides[0], {}).value == value.value)
    except Refusal:
        return False


def _explains(claim: Claim) -> bool:
    return len(claim.sides) > 1 and not claim.target and not names_in(*claim.sides)


# 576u J: a prefix that stands with the number.
_PARTED_UNIT = re.compile(r"(?<=\d)(\s?[pnuµμm])\s(?=[FVCJ]\b)")
# Oh wait, no: what comes after takes the place of what was said before.
_MENDS = re.compile(
    r"(?i)^\W*(?:(?:oh|ah|wait|oops|hang\s+on|hold\s+on|sorry|actually)\b[\s,.!]*)+(?:no\b[\s,.!]*)?"
    r"|^\W*no\b[\s,.!]*(?:(?:wait|sorry|hang\s+on|hold\s+on|i\s+meant?|it(?:['’]?s|\s+is))\b[\s,.!]*)+"
)


_TURNED_COMES_TO = re.compile(
    r"(?i)(\b1\s*/\s*C\w*)\s+(?:(?:then\s+)?comes?\s+(?:out\s+)?(?:to|at|as)|makes|gives)\s+"
)
_OUGHT = re.compile(
    r"(?i)^\W*(?:it\s+)?(?:should|must|ought\s+to)\s+(?:(?:have|of|['’]ve)\s+)?(?:been|be)\s+"
)


# k times smaller than V; 3 times as much as C1.
_TIMES_THAN = re.compile(
    r"(?i)^\W*(?:it(?:['’]?s|\s+is)\s+)?(?P<times>[\d.]+|[a-z](?:_?\w)?)\s*(?:times|x)\s+"
    r"(?:(?P<less>smaller|less|lower)|bigger|larger|higher|more|greater|as\s+\w+)\s+(?:than|as)\s+"
    r"(?P<one>[A-Z]\w*'*|\d[\d.]*\s*[pnuµμmk]?[FVCJ])\W*$"
)


def _times_than(found: re.Match[str]) -> str:
    """So many times another, as a sum."""
    one, times = found["one"], found["times"]
    return f"{one}/{times}" if found["less"] else f"{times}*{one}"


# 20 V / 5 V: two values of one kind, and no value of that kind comes of dividing them.
_ONE_BY_ONE = re.compile(
    r"^(\W*\d[\d.]*\s*([pnuµμmk]?[FVCJ]))\s*/\s*(?=\d[\d.]*\s*\2\W*$)"
)
# C12 times the battery: its p.d. is meant.
_TIMES_THE_SUPPLY = re.compile(
    r"(?i)\b(times|multiplied\s+by|by)\s+(?:the\s+)?(?:battery|supply)(?:['’]?s)?(?:\s+(?:voltage|volts"
    r"|p\.?d\.?))?(?=\W*$)"
)
# Multiply C by V, divide the charge by 12, adding 4 and 6, take 5 from 9.
_ORDERED = re.compile(
    r"(?i)\b(?P<verb>multipl|divid|add|subtract|tak)(?:y|ied|ying|ed?|ing)?\s+(?:together\s+|away\s+)?"
    r"(?P<one>(?:the\s+)?[\w.,]*[\wµμ](?:\s[pnuµμmk]?[FVCJ])?)\s+"
    r"(?P<to>by|with|and|to|from|away\s+from)\s+"
    r"(?P<other>(?:the\s+|its\s+)?[\w.,]*[\wµμ](?:\s[pnuµμmk]?[FVCJ])?)(?![\w.])"
)
_SIGN_OF: Mapping[tuple[str, str], str] = MappingProxyType({
    ("multipl", "by"): "times", ("multipl", "with"): "times", ("multipl", "and"): "times",
    ("divid", "by"): "over", ("add", "and"): "plus", ("add", "to"): "plus", ("add", "with"): "plus",
    ("subtract", "from"): "minus", ("tak", "from"): "minus", ("tak", "away from"): "minus",
})


def _ordered(found: re.Match[str]) -> str:
    """What is to be done with two quantities, with its sign between them."""
    one, other = found["one"], found["other"]
    sign = _SIGN_OF.get((found["verb"].lower(), " ".join(found["to"].lower().split())))
    if sign is None:
        return found[0]
    return f"{other} {sign} {one}" if sign == "minus" else f"{one} {sign} {other}"


# 10 and a bit.. 10.2; about ten, 10.2 to be exact: the value that is meant comes last.
_ROUGHLY = re.compile(
    r"(?i)^\W*(?:(?P<hedge>(?:(?:just|a\s+bit|bit|little|slightly)\s+)?(?:about|around|roughly|over|above"
    r"|under|nearly|almost|approx\w*))\s+)?\d[\d.]*+\s*(?!x\b)[A-Za-zµμ]{0,2}"
    r"(?P<behind>[\s-]*(?:and\s+(?:a\s+bit|something|some)|ish|or\s+(?:so|thereabouts)|something))?"
    r"[\s,.…:;–-]+(?:(?:so|exactly|precisely|actually|it['’]?s|make\s+that)\s+)*(?=\d)"
)


def _without_the_rough(line: str) -> str:
    """A line without the rough value that it begins with, where another follows."""
    found = _ROUGHLY.match(line)
    return line[found.end():] if found and (found["hedge"] or found["behind"]) else line


# 15 split by 3; 300 shared over ten.
_SHARED_BY = re.compile(
    r"(?i)(?<=[\dFVCJ])\s+(?:split|shared|parted|cut)\s+(?:up\s+)?(?:equally\s+)?(?:by|between|among|over"
    r"|into|in)\s+(?=\d)"
)


# 6*12 over 6+12: said so, all behind it divides.
_OVER_A_SUM = re.compile(
    r"(?i)([\w)]\s*)\s\s*over\s+([\w.]+(?:\s*(?:\+|\bplus\b)\s*[\w.]+)+)(?=\s*(?:[=,;]|$|\b(?:is|so|which|gives|makes)\b))"
)
# V1:V2 = 2:1, V1 to V2 is 2 to 1.
_RATIO = re.compile(
    r"\b([A-Z]_?\w*)\s*(?::|\bto\b)\s*([A-Z]_?\w*)\s*(?:=|\bis\b|\bare\b|\bas\b|\blike\b)\s*"
    r"(\d[\d.]*)\s*(?::|\bto\b)\s*(\d[\d.]*)(?![\d.]*\s*[A-Za-zµ])"
)


def _with_marks(line: str) -> str:
    line = _OVER_A_SUM.sub(r"\1/(\2)", _RATIO.sub(r"\1/\2 = \3/\4", line))
    line = _SHARED_BY.sub(" divided by ", line)
    line = _TIMES_THAN.sub(_times_than, line)
    line = re.sub(r"(?i)^\W*(?:just|only|simply|merely|plain)\s+", "", _without_the_rough(line))
    line = _ONE_BY_ONE.sub(r"\1, ", line)
    line = _TIMES_THE_SUPPLY.sub(r"\1 V", line)
    line = _ORDERED.sub(_ordered, _OUGHT.sub("", line))
    if turned := _TURNED_COMES_TO.search(line):
        line = f"{line[: turned.start()]}{turned[1]} = {in_figures(line[turned.end() :])}"
    line = _PARTED_UNIT.sub(r"\1", _MENDS.sub("", line))
    line = re.sub(r"\b([QVUE]_?\d+)\s+(?=\d+(?:[.,]\d+)?(?:\s*[pnuµμmk]?[VCJ])?\b)", r"\1 = ", line)
    line = re.sub(r"\s*(?:→|⇒|[-=]+>)\s*", " so ", line)
    line = _PREFIX_ALONE.sub(lambda found: f"{found[1]}e{PREFIX_POWERS[found[2]]} ", line)
    line = _FLIPPED.sub(r" 1/(\1)", _DIVIDED.sub(" / ", line))
    line = _NAMED_NEXT.sub(", ", line)
    return _VALUE_NEXT.sub(r"\1, ", line) if not re.search(r"\d\s+\d+\s*/", line) else line


def _of_a_sentence(
    line: str, names: Collection[str], read: ClaimReader, refusal: Refusal
) -> tuple[Claim, ...]:
    """What a sentence says; ``refusal`` is raised where it says no value."""
    if any(line.count(one) != line.count(two) for one, two in BRACKETS):
        raise refusal
    pieces = [_read_piece(piece, names, read) for piece in _pieces(line)]
    found = _decisive(pieces)
    if found:
        return found
    stuck = next((piece.stuck for piece in pieces if piece.stuck != NOT_STUCK), None)
    if stuck is not None:
        raise Unsettled(*stuck)
    raise refusal


def _pieces(line: str) -> list[Fragment]:
    """The line cut at the words that bring a reason or a result, and at its marks."""
    found: list[Fragment] = []
    role: FragmentRole = "said"
    start = 0
    fronted = _FRONTED.match(line)
    for cut in _CUT.finditer(line, fronted.end() if fronted else 0):
        found.append(Fragment(role, line[start : cut.start()]))
        start = cut.end()
        if cut.lastgroup == "said":
            role = "said" if cut[0].strip() in (",", ";", ".", "!", "?", "(") or (
                role != "reason"
            ) else role
        else:
            role = "result" if cut.lastgroup == "result" else "reason"
    found.append(Fragment(role, line[start:]))
    return [piece for piece in found if re.search(r"\w", piece.text)]


def _read_piece(piece: Fragment, names: Collection[str], read: ClaimReader) -> Fragment:
    text = piece.text.strip(" )(")
    try:
        return piece._replace(claims=read(text))
    except Refusal:
        pass
    if not _AMOUNT.search(text):
        compared = _COMPARISON.search(text) and piece.role != "reason"
        return piece._replace(stuck=COMPARED if compared else NOT_STUCK)
    for says, pattern in ((DENIED, _DENIAL), (WHICH, _CHOICE), (COMPARED, _COMPARISON)):
        if pattern.search(text):
            equal = _said_equal(text, names) if says is COMPARED else None
            if equal is not None and is_plain_value(equal):
                return piece._replace(claims=read(equal), plain=False)
            return piece._replace(stuck=says if piece.role != "reason" else NOT_STUCK)
    bare = _without_words(text, names) or _said_equal(text, names)
    if bare is None:
        return piece
    try:
        return piece._replace(claims=read(bare), plain=False)
    except Refusal:
        return piece


def _said_equal(text: str, names: Collection[str]) -> str | None:
    """The value after the last equals sign, where what stands before it names nothing."""
    found = _SAID_EQUAL.fullmatch(text)
    lowered = {name.casefold() for name in names}
    if found is None or any(word.casefold() in lowered for word in _WORD.findall(found["words"])):
        return None
    return found["value"]


def _without_words(text: str, names: Collection[str]) -> str | None:
    """The text without words that are neither names, units after a number nor signs; between two
    values such words part them. None where a word may be a name or a unit that is not known here.
    """
    lowered = {name.casefold() for name in names}
    kept: list[str] = []
    end = 0
    for word in _WORD.finditer(text):
        kept.append(text[end : word.start()])
        end = word.end()
        after_number = re.search(r"[\d½⅓¼]\s*$", "".join(kept)) is not None
        is_a_unit = is_unit(word[0]) or (word[0] != "N" and size_unit(word[0]) is not None)
        is_below = re.search(r"[A-Za-z]/$", "".join(kept)) is not None and is_a_unit  # V/mm
        is_sign = word[0].lower() in _KEPT and (
            word[0].lower() in ("plus", "minus") or re.search(r"[\w)][ \0]*$", "".join(kept))
        )
        if word[0].casefold() in lowered or is_sign or is_below or (after_number and is_a_unit):
            kept.append(word[0])
        elif is_a_unit or re.match(r"\s*=", text[end:]) or (
            (after_number or re.match(r"\s*:", text[end:])) and not is_plain_word(word[0])
        ):
            return None
        else:
            kept.append("\0")
    bare = "".join((*kept, text[end:]))
    if _OPERATED_ON_WORDS.search(bare):
        return None
    bare = re.sub(r"(?<=[\dFVCJs])[\s\0,]*\0[\s\0,]*(?=[\d.(])", ", ", bare)
    bare = re.sub(r"\0(?:\s*\0)*", " ", bare)
    return _HANGING.sub(" ", bare).strip(" '’\",.:…-–")


def _decisive(pieces: list[Fragment]) -> tuple[Claim, ...]:
    """The statements that are the answer: what follows the last 'so', else what was said first."""
    results = [n for n, piece in enumerate(pieces) if piece.role == "result" and piece.claims]
    told = [piece for piece in pieces if piece.role == "said" and piece.claims]
    if len(results) == 1 and told and _is_of_another(pieces[results[0]]):
        return (*told[0].claims, *pieces[results[0]].claims)  # 7, so 14 for the other
    if results:
        last = results[-1]
        more = [p.claims for p in pieces[last + 1 :] if p.role == "said" and _adds(p)]
        before = [p.claims for p in pieces[:last] if _names_another(p, pieces[last])]
        return tuple(each for claims in (*before, pieces[last].claims, *more) for each in claims)
    said = [piece for piece in pieces if piece.role == "said" and piece.claims]
    if not said or any(
        piece.stuck in (WHICH, COMPARED) and _AMOUNT.search(piece.text) for piece in pieces
    ):
        return ()
    first, *others = said
    return tuple(_with_others(first, others))


def _with_others(first: Fragment, others: list[Fragment]) -> Iterator[Claim]:
    """The first statement, and more values; working that comes after a value explains it."""
    yield from first.claims
    is_value = all(isinstance(claim.sides[-1], Num) for claim in first.claims)
    for piece in others:
        if is_value and _is_its_opposite(first.claims[-1], piece.claims):
            continue  # +Q on one plate and −Q on the other
        if _adds(piece) or (piece.plain and not (is_value and _is_working(piece))):
            yield from piece.claims


def _is_its_opposite(claim: Claim, then: tuple[Claim, ...]) -> bool:
    """Whether a value is the one before it with a minus, as on the other plate."""
    side = then[0].sides[-1] if len(then) == 1 else None
    one = claim.sides[-1]
    return isinstance(side, Neg) and isinstance(side.inner, Num) and isinstance(one, Num) and (
        side.inner.value == one.value
    )


def _adds(piece: Fragment) -> bool:
    """Whether a piece says a value of something more: it has a name, or speaks of the other."""
    return any(claim.target for claim in piece.claims) or bool(
        piece.claims and _OF_OTHERS.search(piece.text)
    )


def _is_of_another(piece: Fragment) -> bool:
    """Whether a piece says a value of the other one, or what is left for it."""
    return not piece.plain and bool(_OF_OTHERS.search(piece.text)) and not any(
        claim.target for claim in piece.claims
    )


def _names_another(piece: Fragment, then: Fragment) -> bool:
    """Whether a value with a name of its own stands before the result of something else."""
    names = {claim.target for claim in then.claims}
    return piece.role == "said" and bool(piece.claims) and None not in names and all(
        claim.target not in names and isinstance(claim.sides[-1], Num)
        for claim in piece.claims
    )


def _is_working(piece: Fragment) -> bool:
    """Whether a piece is a sum in figures, which explains a value."""
    return all(
        not claim.target and not isinstance(claim.sides[0], Num) for claim in piece.claims
    )


def with_unit(line: str, symbol: str) -> str:
    """108u as 108 uC, where a charge is asked: a prefix with its unit left out."""
    return _PREFIX_AT_ITS_END.sub(
        lambda found: f"{found[1]}{_PREFIXES.get(found[2], found[2])}{symbol}", in_figures(line)
    )


# Nothing stands behind it, or who has the value, or why.
_PREFIX_AT_ITS_END = re.compile(
    r"(\d\s*)([pnuµμk]|mu|micro|nano|pico|milli)(?=\s*(?:$|[,;.]\s|(?:and|or|on|in|for|each|across"
    r"|as|so|because|since|which|then|total|altogether)\b))"
)
_PREFIXES: Mapping[str, str] = MappingProxyType(
    {"mu": "u", "micro": "u", "nano": "n", "pico": "p", "milli": "m"}
)
