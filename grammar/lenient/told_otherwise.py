"""What is told in a roundabout way put directly: a value that is not known, what some come to, how
far plates are moved, a claim that is to be checked.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from grammar.lenient.ways_told import ASKS, SENTENCE

_CAP: Final = r"(?:capacitor|condenser|cap)"
_SIZE: Final = r"(?:capacitance|value|size)"
_VALUE: Final = r"[0-9]*[.,]?[0-9]+ ?(?:[unp]F|(?:micro|nano|pico)-?farads?)\b"
# A capacitor X, whose capacitance is not known; one of unknown value.
_UNKNOWN: Final = re.compile(
    rf"(?i)\b(?:an?|the|one|another) (?:initially uncharged )?{_CAP}"
    r"(?P<name> [A-Z]\w{0,2}(?![\w.]))?,?"
    rf" (?:whose {_SIZE} is (?:not known|unknown|not given)|of (?:an )?unknown {_SIZE})"
    r"(?P<when>,? (?:when )?(?=(?:connected|joined|put|placed|wired)\b)|,(?= (?:is|was)\b))?"
)
# And the other is unknown; the other one of unknown capacitance; an unknown one.
_THE_OTHER_UNKNOWN: Final = re.compile(
    rf"(?i)(?:,? ?\b(?:and|but)|[,;.]) (?:the|another) (?:other|second)(?: one| {_CAP})?,?"
    rf"(?P<is> is| has)?(?: of)?(?: an?)? (?:not known|unknown)(?: {_SIZE})?\b"
    r"|(?P<a>\ban unknown) one\b"
)
_WHEN: Final = re.compile(r"(?i)^\s*(?:when|if) (?=an unknown capacitor)")
# Yields a combination whose capacitance is 12 uF.
_COMBINATION: Final = re.compile(
    r"(?i)\b(?:yields?|gives?|makes?|forms?|produces?) an? (?:combination|arrangement|pair|network"
    r"|set|circuit),? (?:whose (?:total |equivalent )?capacitance is|of capacitance"
    r"|with a (?:total )?capacitance of|of)(?= [0-9])"
)
# Two capacitors have so much in series and so much in parallel: it is what they come to.
_IN_A_WAY: Final = rf"{_VALUE},? (?:when |if )?(?:they are )?(?:connected |joined |put )?in "
_HAVE_IN_TURN: Final = re.compile(
    rf"(?i)(?<=\btwo )(?P<caps>(?:unknown |different )?{_CAP}s)"
    rf" have (?:an? )?(?:(?:total |equivalent |combined )?{_SIZE}s? (?:of )?)?"
    rf"(?={_IN_A_WAY}(?:series,? (?:and|but) {_IN_A_WAY}parallel"
    rf"|parallel,? (?:and|but) {_IN_A_WAY}series)\b)"
)
_IS_FOUND: Final = re.compile(
    r"(?i),? the (?:capacitance|value) of the (?:two|pair|combination)(?: together)? (?:is|was)"
    r"(?: then)?(?: found to be)?(?= [0-9])"
)
# Together they are 12 uF, it makes 12 uF in all.
_ALL_TOLD: Final = r"(?:(?:all? ?|both )?together|in (?:all|total|sum)|all told|overall)"
_THEY: Final = r"(?:it|they|this|that|these|those|both|the (?:two|three|four|pair)|all of them)"
_COME_TO: Final = (
    r"(?:is|are|was|were|makes?|gives?|has|have|measures?|amounts? to|comes? to|adds? up to|gets?)"
    r"(?: (?:now|then|exactly|just|only|about))*"
)
_TOGETHER: Final = re.compile(
    rf"(?i)[.,; ]*(?:\b(?:and|then) )?(?:\b{_ALL_TOLD},? (?:{_THEY} )?{_COME_TO}"
    rf"|\b{_THEY} {_ALL_TOLD} {_COME_TO}) (?P<first>{_VALUE})(?! (?:and|in) )"
    rf"|[.,; ]*(?:\b(?:and|then) )?(?:(?<!with )(?<!to )\b{_THEY}|(?<=parallel)|(?<=series)"
    rf"|(?<=with it)|(?<=with them)|(?<=with that)|(?<=each other)) {_COME_TO} "
    rf"(?P<last>{_VALUE})(?: {_ALL_TOLD})(?=\s*(?:[.,;?]|$))"
    rf"|(?:(?<=in parallel)|(?<=in series)),? {_THEY} {_COME_TO} (?P<so>{_VALUE})"
    r"(?=\s*(?:[.,;?]|$))"
)
_SO_THAT: Final = re.compile(
    r"(?i),? so that (?:i|we|you|they|it|one) (?:gets?|have|has|makes?|ends? up with|comes? to"
    r"|reach(?:es)?)(?= [0-9])"
    rf"|,? (?:so|such) that (?:only |just )?(?={_VALUE} (?:is|are|remains?) left\b)"
)
_ARE_LEFT: Final = re.compile(rf"(?i)(?<=to get)(?P<worth> {_VALUE}) (?:is|are"
    rf"|remains?) left(?: of (?:it|them|that)| over)?")
_HAVE_TO: Final = re.compile(
    r"(?i)\bdo (i|we|you) (?:have|need) to (?=put|connect|join|add|take)\b"
)
# Is it right that … come to 4 uF? He says that … are the same as a single 4 uF. Is he right?
_SAID_SO: Final = (
    r"(?:is it (?:right|true|correct|so|really so)(?: to say)? that|am i right that|can it be that"
    r"|(?:it is )?true or false(?: that)?[,:]?|right or wrong[,:]?|(?:my |a |the |our )?\w+"
    r" (?:says|claims|thinks|believes|reckons|maintains|said|claimed|thought)(?: that)?)"
)
_AS_GOOD: Final = (
    r"(?:the same as|equal to|equivalent to|as good as|worth|like|as much as|replaced by)"
)
_SAME_AS: Final = (
    rf"(?:(?:is|are|be|do|does|acts?|behaves?|works?|counts?)(?: \w+){{0,2}}? {_AS_GOOD}"
    r"|equals?|replaces?)"
)
_MAKE: Final = r"(?:comes?|makes?|gives?|equals?|amounts?|adds? up)(?: up)?(?: to)?(?: about)?"
_ONE_VALUE: Final = rf"(?:an? |one )?(?:single |lone |sole )?{_VALUE}(?: {_CAP}| one)?"
_WORDS: Final = r"(?:[^?.]|\.(?=[0-9]))*?"
_JUDGE: Final = r"(?:right or wrong|true or false|right|true|correct)"
_BEGINS: Final = r"(?<![^.;?!\n] )(?<![^.;?!\n ])"
_CLAIMED: Final = re.compile(
    rf"(?i)\b{_SAID_SO} (?P<network>{_WORDS}),? (?:{_MAKE} {_VALUE}|{_SAME_AS} {_ONE_VALUE})"
    r"(?: in all| altogether| in total)? ?[?.!]"
    rf"|{_BEGINS}(?:is|are|do|does|can|would) (?P<asked>{_WORDS}\b(?:series|parallel)\b{_WORDS}),?"
    rf" (?:together )?(?:(?:be |act |behave )?{_AS_GOOD}|replace|{_MAKE}) {_ONE_VALUE} ?\?"
    rf"|{_BEGINS}(?:is|are|does|do) (?:this|that|it|these|they)(?: all)?(?: together)?"
    rf" (?:(?:be |act |behave )?{_AS_GOOD}|replace|{_MAKE}) {_ONE_VALUE} ?\?"
    rf"|{_BEGINS}(?P<judged>{_WORDS}\b(?:series|parallel)\b{_WORDS}),? (?:{_MAKE}|{_SAME_AS})"
    rf" {_ONE_VALUE}[:,.;] {_JUDGE} ?\?"
)
# What gives so much with an unknown one, or with which one.
_LIKE_ONE: Final = re.compile(rf"(?i)\b{_SAME_AS} (?:an? |one )(?:single )?(?={_VALUE})")
_SEEKS: Final = re.compile(rf"(?i)\bunknown\b|\b(?:what|which) {_CAP}\b")
_IS_IT_SO: Final = re.compile(
    r"(?i)\s*\b(?:is|are|am) (?:he|she|it|this|that|they|i) (?:really )?(?:right|correct|true|so)"
    r" ?\?"
)
# From 0.5 mm to 2 mm; looked for where a clause begins alone, once for each.
_MOVED: Final = re.compile(
    r"(?i)(?<![^.;,])(?P<verb>[^.;,]*\b(?:plates?|gap|distance|separation|spacing)\b[^.;]*?)\bfrom "
    r"(?P<a>[0-9.,]+) ?(?P<unit>mm|cm|um)?(?: apart)? to (?P<b>[0-9.,]+) ?"
    r"(?P<to>mm|cm|um)\b(?: apart)?"
)
_AREA: Final = re.compile(r"(?i)[0-9] ?(?:cm2|mm2|m2|cm\^2|m\^2|square)|cm²")
_CONSTANT: Final = re.compile(
    r"(?i)\b(?P<what>slab|sheet|piece|block|material|oil|plastic|insulator)(?: with| of)?(?: an?)?"
    r" constant(?: of)? ?(?=[0-9])"
)
_IN_ALL: Final = re.compile(
    r"(?i)\b(?:receives?|holds?|carries|has|have|takes?|gets?) in (?:total|all)(?: the| a)?"
    r"(?: charge)?(?: of)? (?=[0-9.,]+ ?[unm]C\b)"
)


def told_directly(text: str) -> str:
    """The text made plain with such wordings put directly."""
    text = _with_its_letter_named(text)
    text = _HAVE_IN_TURN.sub(r"\g<caps> give ", _UNKNOWN.sub(_an_unknown_one, text))
    text = _THE_OTHER_UNKNOWN.sub(_the_other_unknown, text)
    text = _COMBINATION.sub("gives", _WHEN.sub("", text))
    if "unknown capacitor" in text:
        text = _IS_FOUND.sub(" gives", text)
    text = _TOGETHER.sub(
        lambda said: f". The total is {said['first'] or said['last'] or said['so']}", text
    )
    text = _HAVE_TO.sub(r"must \1 ", text)
    text = _with_claims_asked(_SO_THAT.sub(" to get", text))
    text = _ARE_LEFT.sub(r"\g<worth>", text)
    text = _CONSTANT.sub(r"\g<what> of dielectric constant ", text)
    text = _IN_ALL.sub("total charge ", text)
    return _with_plates_moved(text)


# A capacitor by the small letter of an unknown, where just that letter is asked for.
_LETTER_SOUGHT: Final = re.compile(
    r"(?i)\b(?:find|calculate|determine|what is|work out)(?: the)?(?: value of)? "
    r"(?P<letter>(?-i:[xyz]))\b(?!-| (?:to|and)\b)"
)
_LETTER_GIVEN: Final = r"(?i)\bcapacitors?,? (?-i:{0}),? and (?P<a>[0-9.]+ ?[unp]F)|\b(?-i:{0})\b"


def _with_its_letter_named(text: str) -> str:
    sought = _LETTER_SOUGHT.search(text)
    if sought is None or re.search(rf"(?i)\bC_?[0-9]|[0-9] ?{sought['letter']}\b", text):
        return text
    return re.sub(
        _LETTER_GIVEN.format(sought["letter"]),
        lambda said: f"capacitors, {said['a']} and C2," if said["a"] else "C2",
        text,
    )


def _with_claims_asked(text: str) -> str:
    """What some are claimed to come to is what is asked, and no capacitor."""
    if _SEEKS.search(text):
        return _LIKE_ONE.sub("gives ", text)
    asked = _CLAIMED.sub(
        lambda said: (
            f"{said['network'] or said['asked'] or said['judged'] or ''}."
            " What is the total capacitance?"
        ),
        text,
    )
    return text if asked == text else _IS_IT_SO.sub("", asked)


def _an_unknown_one(said: re.Match[str]) -> str:
    name = said["name"] or ""
    return f"an unknown capacitor{name}{' ' if said['when'] and said['when'].strip(' ,') else ''}"


def _the_other_unknown(said: re.Match[str]) -> str:
    if said["is"]:
        return ". Find the other"
    return f"{said['a'] or ' and an unknown'} capacitor"


def _with_plates_moved(text: str) -> str:
    """How far plates are moved: by how many times the gap grows; where the area is told, the first
    gap where it stands, and the last one as what is done in the end.
    """
    said = _MOVED.search(text)
    if said is None:
        return text
    first, last = (Fraction(said[each].replace(",", ".").rstrip(".")) for each in "ab")
    if (said["unit"] or said["to"]) != said["to"] or not first:
        return text
    if not _AREA.search(text):
        whose = re.search(_VALUE, said["verb"])
        more = re.search("[0-9]", re.sub(_VALUE, "", said["verb"]))
        if more or Fraction(times := f"{float(last / first):g}") != last / first:
            return text
        told = f"There is a capacitor of {whose[0]}. " if whose else ""
        then = f"{told}Then the gap is made {times} times as large"
        return f"{text[: said.start()]} {then}{text[said.end() :]}"
    unit = said["to"]
    text = f"{text[: said.start()]}The plates are {said['a']} {unit} apart{text[said.end() :]}"
    asked = next((m.start() for m in SENTENCE.finditer(text) if ASKS.search(m[0])), len(text))
    return f"{text[:asked]} Then the gap is changed to {said['b']} {unit}. {text[asked:]}"
