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
    rf"(?i)\b(?:an?|the|one|another) {_CAP}(?P<name> [A-Z]\w{{0,2}}(?![\w.]))?,?"
    rf" (?:whose {_SIZE} is (?:not known|unknown|not given)|of (?:an )?unknown {_SIZE})"
    r"(?P<when>,? (?:when )?(?=(?:connected|joined|put|placed|wired)\b)|,(?= (?:is|was)\b))?"
)
_WHEN: Final = re.compile(r"(?i)^\s*(?:when|if) (?=an unknown capacitor)")
# Yields a combination whose capacitance is 12 uF.
_COMBINATION: Final = re.compile(
    r"(?i)\b(?:yields?|gives?|makes?|forms?|produces?) an? (?:combination|arrangement|pair|network"
    r"|set|circuit),? (?:whose (?:total |equivalent )?capacitance is|of capacitance"
    r"|with a (?:total )?capacitance of|of)(?= [0-9])"
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
# Is it right that … come to 4 uF?
_CLAIMED: Final = re.compile(
    rf"(?i)\b(?:is it (?:right|true|correct|so|really so) that|am i right that|can it be that) "
    rf"(?P<network>[^?]*?),? (?:comes?|makes?|gives?|equals?|amounts?|adds? up)"
    rf"(?: up)?(?: to)?(?: about)? {_VALUE}(?: in all| altogether| in total)? ?\?"
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
    text = _UNKNOWN.sub(_an_unknown_one, text)
    text = _COMBINATION.sub("gives", _WHEN.sub("", text))
    if "unknown capacitor" in text:
        text = _IS_FOUND.sub(" gives", text)
    text = _TOGETHER.sub(
        lambda said: f". The total is {said['first'] or said['last'] or said['so']}", text
    )
    text = _HAVE_TO.sub(r"must \1 ", text)
    text = _CLAIMED.sub(
        r"\g<network>. What is the total capacitance?", _SO_THAT.sub(" to get", text)
    )
    text = _ARE_LEFT.sub(r"\g<worth>", text)
    text = _CONSTANT.sub(r"\g<what> of dielectric constant ", text)
    text = _IN_ALL.sub("total charge ", text)
    return _with_plates_moved(text)


def _an_unknown_one(said: re.Match[str]) -> str:
    name = said["name"] or ""
    return f"an unknown capacitor{name}{' ' if said['when'] and said['when'].strip(' ,') else ''}"


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
