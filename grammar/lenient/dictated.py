"""What is said aloud put as one would write it: numbers in words, names and points as dictated."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from grammar.spoken_numbers import DOZEN, ONES, TENS, number_of


def _any(*words: str) -> str:
    return f"(?:{'|'.join(sorted(words, key=len, reverse=True))})"


_ONE: Final = _any(*tuple(ONES)[1:10])
_BELOW_100: Final = rf"(?:{_any(*TENS)}(?:[ -]{_ONE})?|{_any(*ONES, 'nought')})"
_BELOW_1000: Final = (
    rf"(?:(?:(?:an?|{_ONE})[ -])?hundred(?:[ -](?:and[ -])?{_BELOW_100})?|{_BELOW_100})"
)
_WHOLE: Final = (
    rf"(?:(?:{_BELOW_1000}|a)[ -]thousand(?:[ -](?:and[ -])?{_BELOW_1000})?|{_BELOW_1000})"
)
_DIGIT: Final = _any(*ONES, *TENS, "nought", "oh")
_PART: Final = r"(?:half|quarter)(?: of)?(?: an?)?"
_NUMBER: Final = (
    rf"(?:(?:{_WHOLE}|zero|nought)?[ -]?point(?:[ -]{_DIGIT})+|{_WHOLE} and an? {_PART}"
    rf"|(?:an? )?{_PART}|{_WHOLE})"
)
_UNIT: Final = (
    r"[ -]?(?:of )?(?:(?:micro|mike|nano|pico|milli|kilo|puff)s?\b|mu ?F\b"
    r"|(?:micro|nano|pico|milli|kilo)?-? ?(?:farad|volt|coulomb|joule)"
    r"|(?:square )?(?:centi|milli|micro|nano)-?met(?:re|er)s?\b|[cm]m\b"
    r"|[unpm]F\b|V\b|uf\b|nf\b|pf\b|[umn]C\b)"
)
_BEFORE_A_UNIT: Final = re.compile(rf"(?i)\b({_NUMBER})(?={_UNIT})[ -]?(?:of )?(?:an? )?")
# Twenty by thirty-five centimetres.
_BY_ANOTHER: Final = re.compile(rf"(?i)\b({_NUMBER}) (?=by {_NUMBER}{_UNIT})")
# What fills a gap, by its number: epsilon r six, a dielectric constant of two point three.
_OF_A_FILLING: Final = re.compile(
    r"(?i)\b(epsilon(?: r)?|(?:relative )?permittivity|dielectric constant|kappa)"
    rf"((?: of| is| equals|,)* )({_NUMBER})\b"
)
# A number of several words counts nothing, whatever comes after it.
_OF_SEVERAL_WORDS: Final = re.compile(
    rf"(?i)\b(?:{_any(*TENS)}[ -]{_ONE}|(?:an?|{_ONE})[ -]hundred(?:[ -](?:and[ -])?{_BELOW_100})?"
    rf"|(?:{_WHOLE}|zero|nought)[ -]point(?:[ -]{_DIGIT})+)\b"
)
_SMALL_PAIR: Final = re.compile(
    r"(?<![a-zA-Z])(?!is|of|an|in|at|to|by|so|no|on|or|we|if|as|he|it|my|me|up|nf|pf|uf)([a-z]{2})"
    r"(?= ?[:=]? ?[0-9.]+ ?[unp]f\b)"
)
_DECIMAL: Final = re.compile(rf"(?i)\b((?:{_WHOLE}|zero|nought)[ -]point(?:[ -]{_DIGIT})+)\b")
_LISTED_WORD: Final = re.compile(
    r"(?i)(?<!the )(?<!first )(?<!second )(?<!third )(?<!other )(?<!this )(?<!that )"
    rf"\b((?>{_WHOLE}))(?=(?:,? and |, )(?:{_WHOLE}(?:,? and |, ))*{_WHOLE}[ -]"
    r"(?:micro|nano|pico)-? ?f)"
)
_SMALL_POINTS: Final = re.compile(
    r"\b(between|from|nodes?|points?|terminals?|at|across|on|connects|joins|links)"
    r"((?: nodes?| points?| terminals?)?)"
    r" ([a-z]) (and|to) ([a-z])\b(?! (?!and\b|[0-9.]+ ?k?v(?:olts?)?\b)[a-z0-9])"
)
# Points beside others that are in small letters: between terminals a and b if ….
_SMALL_ENDS: Final = re.compile(r"\b((?:nodes|points|terminals|ends) )([a-z]) (?:and|to) ([a-z])\b")
_POINT_WORDS: Final = re.compile(
    rf"(?i)\b(?:node|rail|junction|point) ({_ONE}|zero)\b(?! {_DIGIT}\b)(?!{_UNIT})"
)
_BETWEEN_WORDS: Final = re.compile(
    rf"(?i)\b(between|across|from) ({_ONE}|zero) (and|to) ({_ONE}|zero)\b"
)
_INDEX: Final = rf"({_ONE}|[1-9])"
# C one is …, capacitor two has …, C 1 and C 2
_NAMED: Final = re.compile(
    rf"(?i)\b(?:capital )?(?:c(?: sub)?|capacitor|cap|condenser)(?: number| no\.?)? {_INDEX}\b"
    r"(?! ?-?(?:(?:[unpm]|micro|nano|pico)[ -]?f|micro|nano|pico|mike|volt|point|hundred|thousand)"
    r"|[.,]?[0-9]| ?,[0-9])"
)
# V two, Q three
_SIGNED: Final = re.compile(
    rf"(?<![0-9] )(?<!to )(?<!from )\b([VUQE]) ({_any(*tuple(ONES)[1:7])})\b"
    r"(?=[ ]*(?:[.?!,;]|$|and\b|please|pls))"
)
_C_SUB: Final = re.compile(r"(?i)\b(?:capital )?C (?:(?:sub|underscore) )+([a-z]+|[0-9]+)\b")
# The letter as it is heard: see one is …, see two is …
_HEARD: Final = re.compile(rf"(?i)\b(?:see|sea) {_INDEX}\b")
# C a is …, C b in series with C c
_LETTERED: Final = re.compile(r"\bC ([a-e])\b(?! (?:farad|[0-9.]+ ?[unp]F))")
# C p is thirty, C in = 10 nF, C alpha two microfarads: an index of letters with its value.
_INDEXED: Final = re.compile(
    r"\bC ([a-zA-Z]|in|out|left|right|middle|centre|center|upper|lower|top|bottom|alpha|beta|gamma"
    r"|delta)\b"
    rf"(?=,?(?: which| that)?(?: is| has| of| equals)? ?=? ?(?:[0-9]|{_NUMBER}\b))"
)
# voltage twelve, with no unit
_FED: Final = re.compile(
    rf"(?i)\b((?:voltage|supply|source|battery)(?: (?:is|of|equals|being))?) ({_NUMBER})"
    r"(?=\s*(?:[,.;?\n]|$))"
)
# C two three point three: the name, then its value
_NAME_AND_NUMBER: Final = re.compile(
    rf"(?i)(,? ?)\b(C(?:[1-9]|_[a-e])) (?:is |equals |are |has )?({_NUMBER})\b(?! (?:end|of|in|and"
    rf"|by|after|behind|before)\b)"
)


def taken_down(text: str) -> str:
    """A text with figures for numbers in words, C1 for C one, and points in capitals."""
    text = _with_the_unit_of_all(_with_small_pairs(text))
    text = re.sub(r"(?i)\bhalf a dozen\b|\ba dozen\b", lambda d: DOZEN[d[0].lower()], text)
    text = re.sub(r"(?i)\bsee (?=(?:[a-e]|sub [a-z0-9]+) (?:is|equals|has)\b)", "C sub ", text)
    if len({each.lower() for each in _HEARD.findall(text)}) > 1:
        text = _HEARD.sub(r"C \1", text)
    text = re.sub(r"(?i)\b([VUQE]) (?:sub|underscore) ([a-z]+|[0-9]+)\b", _with_index, text)
    text = _SIGNED.sub(_with_index, text)
    text = _C_SUB.sub(_with_index, text)
    if len(indices := {*_INDEXED.findall(text)}) > 1:
        text = re.sub(rf"\bC ({'|'.join(indices)})\b(?! farad)", _with_index, text)
    if len({*_LETTERED.findall(text)}) > 1:
        text = _LETTERED.sub(_with_index, text)
    if re.search(r"\bC_[a-e]\b", text):
        text = re.sub(r"\bC([a-e])\b", r"C_\1", text)
    if len({each.lower() for each in _NAMED.findall(text)}) > 1:
        text = _NAMED.sub(_with_index, text)
        text = _with_bare_indices(text)
    text = re.sub(r"(?i)[,.]? \b(?:new|next) line\b[,.]? ?", "\n", text)
    text = re.sub(r"(?i),? \bquestion mark\b", "?", text)
    text = re.sub(r"(?i)\bopen (?:round )?(?:bracket|parenthesis)\b[,.]?", "(", text)
    text = re.sub(r"(?i)\b(with|to|of|and)[,.] (?=\()", r"\1 ", text)
    text = re.sub(r"(?i)[,.]? ?\bclosed? (?:round )?(?:bracket|parenthesis)\b", ")", text)
    text = re.sub(r"(?i),? \bfull stop\b[,.]?", ".", text)
    text = re.sub(r"(?i),? \bcomma\b,?(?= )", ",", text)
    if len(_NAME_AND_NUMBER.findall(text)) > 1:
        text = _NAME_AND_NUMBER.sub(
            lambda said: f"{'. ' if ',' in said[1] else said[1]}{said[2]} = {_value(said[3])}", text
        )
    text = _FED.sub(lambda said: f"{said[1]} {_value(said[2])} V", _with_breaks(text))
    text = re.sub(rf"(?i)\b(C\w{{1,8}}) equals (?=(?:{_NUMBER}|[0-9.]+){_UNIT})", r"\1 = ", text)
    text = re.sub(r"(?i)\bpee dee\b", "p.d.", text)
    text = _LISTED_WORD.sub(lambda said: f"{_value(said[1])}", text)
    if _SMALL_POINTS.search(text):
        text = _SMALL_ENDS.sub(lambda s: f"{s[1]}{s[2].upper()} and {s[3].upper()}", text)
    points = "".join({point for each in _SMALL_POINTS.findall(text) for point in each[2::2]})
    text = _SMALL_POINTS.sub(
        lambda said: f"{said[1]}{said[2]} {said[3].upper()} {said[4]} {said[5].upper()}", text
    )
    if points:  # a supply is connected to a and c
        text = re.sub(
            rf"\b(to|of|point|node|at) ([{points}]) (and|to) ((?!\2)[{points}])\b(?! ?=)",
            lambda said: f"{said[1]} {said[2].upper()} {said[3]} {said[4].upper()}",
            text,
        )
    text = _with_numbered_points(_DECIMAL.sub(lambda said: f"{_value(said[1])}", text))
    text = _OF_A_FILLING.sub(lambda said: f"{said[1]}{said[2]}{_value(said[3])}", text)
    text = re.sub(r"(?i)\b(?:an? )?half (?:of )?(?:an? )?(?-i:C)\b(?! ?[0-9=])", "C/2", text)
    text = _BY_ANOTHER.sub(lambda said: f"{_value(said[1])} ", text)
    text = _BEFORE_A_UNIT.sub(lambda said: f"{_value(said[1])} ", text)
    return _OF_SEVERAL_WORDS.sub(lambda said: f"{_value(said[0])}", text)


def _with_small_pairs(text: str) -> str:
    """``ab 2uf bc 4uf, 8v on a n c``: points in capitals, where three pairs hang together."""
    pairs = [each[1] for each in _SMALL_PAIR.finditer(text)]
    letters = "".join(pairs)
    if len(pairs) < 3 or any(letters.count(each) < 2 for each in {*letters}):
        return text
    text = _SMALL_PAIR.sub(lambda pair: "from {} to {}".format(*pair[1].upper()), text)
    two = rf"\b(on|at|across|between|from|to) ([{letters}]) (n|and|&|to) ([{letters}])\b"
    return re.sub(two, lambda s: f"{s[1]} {s[2].upper()} and {s[4].upper()}", text)


# A to P two, P to B four, …, all microfarads.
_VALUE_BETWEEN: Final = re.compile(
    rf"\b(?P<points>[A-Z] to [A-Z]):? (?P<worth>(?i:{_NUMBER})|[0-9]*\.?[0-9]+)"
    r"(?= ?(?:[,;.]|and\b))"
)
_ALL_IN: Final = re.compile(
    r"(?i),? ?\b(?:all|everything)(?: of them)?(?: are| is| in)* "
    r"(?P<unit>(?:micro|nano|pico)-?farads?|[unp]F)\b"
)


def _with_the_unit_of_all(text: str) -> str:
    """Values that are told between points, each with the unit that is told of all."""
    told = _ALL_IN.search(text)
    if told is None or len(_VALUE_BETWEEN.findall(text)) < 3:
        return text
    return _VALUE_BETWEEN.sub(
        lambda said: f"{said['points']} {said['worth']} {told['unit']}", text.replace(told[0], "")
    )


def _with_breaks(text: str) -> str:
    """A text that runs on without a break, with one where its next clause begins."""
    runs_on = not re.search(r"[.,;:!?\n](?![0-9])", re.sub(r"\. (?=C)", "", text))
    if not runs_on or len(re.findall(r"\bC[1-9_]", text)) < 2:
        return text
    begins = r"(?:they|these|those|all of them) (?:are|sit|go)\b|and then\b|find\b|what"
    text = re.sub(rf"(?i)(?: right)? (?={begins})", ". ", text)
    return re.sub(r"(?i)(?:(?<=farads)|(?<=farad)) (?=(?:and )?C[0-9_])", ". ", text)


# Their values by the bare index: one is two microfarads, two is five and three is eight.
_BY_INDEX: Final = re.compile(
    rf"(?i)(?P<break>, )?(?:(?<=[,.;:] )|(?<=and )|(?<=^)|(?<=where )|(?<=with ))"
    rf"(?P<index>{_ONE}) (?:is|being|equals) (?P<worth>{_NUMBER})\b"
    rf"(?P<unit>(?: |-)(?:micro|nano|pico)-?farads?)?(?= ?[,.;]| and"
    r"\b|$)"
)


def _with_bare_indices(text: str) -> str:
    told = list(_BY_INDEX.finditer(text))
    unit = next((each["unit"] for each in told if each["unit"]), "")
    if len(told) < 2 or not unit:
        return text
    return _BY_INDEX.sub(lambda said: _told_by_index(said, unit), text)


def _told_by_index(said: re.Match[str], unit: str) -> str:
    name, worth = f"C{ONES[said['index'].lower()]}", _value(said["worth"])
    return f"{'. ' if said['break'] else ''}{name} = {worth}{said['unit'] or unit}"


def _with_index(said: re.Match[str]) -> str:
    """A letter with its index, as it is written: C1, C_a, V2."""
    *letter, index = (each.lower() for each in said.groups())
    sign = letter[0].upper() if letter else "C"
    index = str(ONES.get(index, index))
    return f"{sign}{index}" if index.isdigit() or sign != "C" else f"{sign}_{index}"


def _with_numbered_points(text: str) -> str:
    """Points numbered in words, in figures."""
    text, count = _POINT_WORDS.subn(lambda said: f"point {ONES[said[1].lower()]}", text)
    if not count:
        return text
    return _BETWEEN_WORDS.sub(
        lambda said: f"{said[1]} points {ONES[said[2].lower()]} {said[3]} {ONES[said[4].lower()]}",
        text,
    )


def _value(spelt: str) -> str:
    """A number in words as figures: twelve, two point five, one and a half."""
    words = re.split(r"[ -]+", spelt.lower().strip())
    if "point" in words:
        at = words.index("point")
        digits = "".join(str(number_of([each])) for each in words[at + 1 :])
        return f"{number_of(words[:at])}.{digits}"
    part = Fraction("half" in words, 2) + Fraction("quarter" in words, 4)
    return f"{float(number_of(words) + part):g}" if part else str(number_of(words))
