"""A text cut into pieces with one concept each: quantities, names, words, signs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any, Final, NamedTuple

from grammar.lenient.concepts import concept_of, words
from grammar.lenient.idioms import idiom_at
from grammar.lenient.units import NUMBER, tidy, unit_after, unit_alone


class Chunk(NamedTuple):
    """One token or phrase: its concept, its own text, where it starts, and what it holds.

    The datum of a quantity is its text in the strict notation, that of a name the name.
    """

    tag: str
    text: str
    start: int
    datum: Any = None


_CODE = re.compile(
    r"([0-9]*)([pnu])([0-9]+)(?:f)?(?![a-zA-Z0-9])|([0-9.,]+)([pnu])(?![a-zA-Z0-9])", re.I
)
_LETTERS = re.compile(
    r"([0-9.,]*)\s?(?:\*\s?)?([CVUQ])(_?[0o])?(?:\s?/\s?([0-9]+))?(?![A-Za-z0-9_'])"
)
_NAME = re.compile(
    r"[Cc]_?(?:[0-9]{1,2}|[A-Za-z])'*(?![A-Za-z0-9])|[A-Z][0-9]{1,2}'*(?![A-Za-z0-9])"
    r"|C[a-z]{1,4}[0-9]{1,2}(?![A-Za-z0-9])"
    r"|(?![VU]_[A-Z]{2}\b)[A-Z]_[A-Za-z0-9]+"
)
# Capacitor 2 is C2; in capacitor 2 uF and capacitors 2, 3 the number is a value.
_NUMBERED = re.compile(
    r"(?i)(?:capacitor|cap)\s?(?:no\.?\s?|#)?([1-9][0-9]?)"
    r"(?!\s?-?(?:[pnu]|micro|nano|pico|f|x|and\b|&|[CVQ](?![a-z]))|[.,]?[0-9]|\s?,\s?[0-9])"
)
_SYMBOL = re.compile(
    r"(?P<q>[CQVUEW])_?(?P<of>eq|tot|total|T|equiv|net|ges|g|res|es|[0-9]{1,2}|(?<![EW])[a-e])(?![A-Za-z0-9])"
    r"|(?P<dq>[QVUE])(?=\s*(?:=|\?|on\b|across\b|for\b|stored\b|,|and\b|$|\.))"
)
# The same of a capacitor whose name has letters for an index: Q_A, where the text has a C_A.
_SYMBOL_OF_A_NAME = re.compile(r"(?P<q>[QVUEW])_(?P<of>[A-Za-z][A-Za-z0-9]{0,4})(?![A-Za-z0-9])")
OF_ALL: Final = ("", *words("eq tot total T equiv net ges g res es"))  # indices of the whole
_WORD = re.compile(
    r"p\.\s?d\.?(?![a-z])|e\.\s?m\.\s?f\.?|d\.\s?c\.?(?![a-z])|a\.\s?c\.?(?![a-z])|w/(?=\s)|"
    r"[A-Za-z](?:[A-Za-z]|['-](?=[A-Za-z]))*'?",
    re.I,
)
_PAIR = re.compile(r"(?<![A-Za-z])([A-Z])(?:\s?[-–—]>?\s?)?([A-Z])(?![A-Za-z0-9'])")
_NO_PAIR: Final = words("OK AC DC IF IN OF TO AT ON IS OR BY UF NF PF PD I'")
_BETWEEN = re.compile(r"[VU]_?([A-Z])([A-Z])(?=\s*=)")  # the p.d. between two points
# What stands before the p.d. of a supply, as in Vs = 10.
_VOLTAGE_SIGN = re.compile(
    r"(?i)[vue](?:_?(?:s|in|cc|b|bat|batt|battery|supply|source))?(?=\s*[=:]\s*[0-9.])"
)
_GLUED: Final = ("and", "in", "with", "x", "series", "parallel")
_SIGNS: tuple[tuple[str, str], ...] = (
    (r"--+|-+>|=+>|>+|—|–", "SERSIGN"),
    (r"\|\|?\|?|//|\\\\", "PARSIGN"),
    (r"\n", "STOP"),
    (r"[;!]", "STOP"),
    (r"\?", "QUERY"),
    (r"\.", "STOP"),
    (r",", "COMMA"),
    (r":", "COLON"),
    (r"\(", "OPEN"),
    (r"\)", "CLOSE"),
    (r"=", "EQ"),
    (r"\+", "PLUS"),
    (r"&", "AND"),
    (r"/", "SLASH"),
    (r"-", "DASH"),
    (r"[x*×]", "TIMES"),
    (r"@", "AT"),
)
_SIGN = tuple((re.compile(pattern), tag) for pattern, tag in _SIGNS)
_FARADS: Final = re.compile(r"(?i)[0-9]\s?-?(?:[pnumk]|micro|nano|pico)-?\s?f")
_VALUE_LETTERS: Mapping[str, str] = {"C": "CAPV", "V": "VOLT", "U": "VOLT", "Q": "CHG"}


def scan(text: str, listed: bool = False) -> list[Chunk]:
    """The pieces of a text made plain.

    ``listed``: a comma between two digits parts two numbers, as in 2,5,8 nF.
    """
    return list(_pieces(text, listed))


@lru_cache(maxsize=16)  # pure; several readers look at the pieces of the same text
def _pieces(text: str, listed: bool) -> tuple[Chunk, ...]:
    return tuple(_scanned(text, listed))


def _scanned(text: str, listed: bool) -> Iterator[Chunk]:
    at = 0
    while at < len(text):
        if text[at] in ' \t"':
            at += 1
            continue
        piece, at = _next(text, at, listed)
        if piece.tag:
            yield piece


def _next(text: str, at: int, listed: bool) -> tuple[Chunk, int]:
    for attempt in (_idiom, _quantity, _unit, _letters, _named, _word, _sign):
        found = attempt(text, at, listed)
        if found is not None:
            return found
    return Chunk("" if text[at] in "'_*~^<>" else "JUNK", text[at], at), at + 1


def _idiom(text: str, at: int, _listed: bool) -> tuple[Chunk, int] | None:
    found = idiom_at(text, at)
    return None if found is None else (Chunk(found[0], text[at : found[1]], at), found[1])


_PLAIN_NUMBER = re.compile(NUMBER, re.I)
_LISTED_NUMBER = re.compile(NUMBER.replace("[.,]", "[.]"), re.I)


def _quantity(text: str, at: int, listed: bool) -> tuple[Chunk, int] | None:
    volts = re.compile(r"([0-9]+)V([0-9]+)(?![A-Za-z0-9])").match(text, at)
    if volts:
        return Chunk("VOLT", volts[0], at, f"{volts[1]}.{volts[2]} V"), volts.end()
    code = _CODE.match(text, at)
    if code and (code[1] or code[4] or code[3]) and not (code[2] == "U" and not code[1]):
        return _coded(code, at)
    match = (_LISTED_NUMBER if listed else _PLAIN_NUMBER).match(text, at)
    if match is None:
        return None
    letters = _LETTERS.match(text, at)
    if letters and letters[1] and _is_letter_value(letters, text):
        return _lettered(letters, at)
    typed = tidy(match[0])
    if letters and letters[1] and letters[2] == "C" and not (letters[3] or letters[4]):
        return Chunk("CHG", letters[0], at, f"{typed} C"), letters.end()
    power = re.compile(r" ?C(?![A-Za-z0-9_'])").match(text, match.end())
    if power and re.search("(?i)10|e", typed[1:]):
        return Chunk("CHG", text[at : power.end()], at, f"{typed} C"), power.end()
    if re.compile(r"[.,][0-9]|[0-9]").match(text, match.end()) and not listed:
        junk = re.compile(r"[0-9.,]+").match(text, at)
        return Chunk("JUNK", junk[0] if junk else match[0], at), junk.end() if junk else match.end()
    if (unit := unit_after(text, match.end(), typed)) is not None:
        tag, written, end = unit
        return Chunk(tag, text[at:end], at, written), end
    plural = re.compile(r"'?s(?![a-z])", re.I).match(text, match.end())
    if plural:
        return Chunk("NUMS", text[at : plural.end()], at, typed), plural.end()
    ordinal = re.compile(r"(?:st|nd|rd|th)(?![a-z])").match(text, match.end())
    if ordinal and typed in ("1", "2", "3", "4", "5"):
        return Chunk(f"ORD{typed}", text[at : ordinal.end()], at), ordinal.end()
    odd = re.compile(r" ?(?:[pnumkM]?[A-Z](?![A-Za-z0-9_])|kilo\b|mega\b)(?<!x)").match(
        text, match.end()
    )
    if odd and odd[0].strip() not in ("A", "C", "V", "Q", "P", "B"):
        return Chunk("JUNK", match[0] + odd[0], at), odd.end()
    stuck = re.compile(r"[A-Za-z]+[0-9]*").match(text, match.end())
    if stuck and stuck[0].lower() not in _GLUED and not concept_of(stuck[0]):
        return Chunk("JUNK", match[0] + stuck[0], at), stuck.end()
    return Chunk("NUM", match[0], at, typed), match.end()


def _unit(text: str, at: int, _listed: bool) -> tuple[Chunk, int] | None:
    """A unit by itself, as in all in nF."""
    if at and text[at - 1].isalnum():
        return None
    found = unit_alone(text, at)
    return None if found is None else (Chunk("UNITF", text[at : found[1]], at, found[0]), found[1])


def _coded(code: re.Match[str], at: int) -> tuple[Chunk, int]:
    if code[4]:
        typed, letter = tidy(code[4]), code[5]
    else:
        typed, letter = f"{code[1] or 0}.{code[3]}", code[2]
    return Chunk("CAPV", code[0], at, f"{typed} {letter.lower()}F"), code.end()


def _is_letter_value(letters: re.Match[str], text: str) -> bool:
    """Whether 2C is twice C: a text with farads in it would mean coulombs, and 2V is volts."""
    if letters[2] == "C":
        return not _FARADS.search(text)
    return letters[2] == "Q" or letters[4] is not None


def _lettered(letters: re.Match[str], at: int) -> tuple[Chunk, int]:
    symbol = letters[2] + ("0" if letters[3] else "")
    below = f"/{letters[4]}" if letters[4] else ""
    number = tidy(letters[1])
    tag = _VALUE_LETTERS[letters[2]]
    return Chunk(
        tag, letters[0], at, f"{'' if number == '1' else number}{symbol}{below}"
    ), letters.end()


def _letters(text: str, at: int, _listed: bool) -> tuple[Chunk, int] | None:
    """A value in letters without a number before it, as in C/2 or V0."""
    if at and text[at - 1].isalnum():
        return None
    filled = re.compile(r"(?:[kK]|kappa)_?([1-9])(?![A-Za-z0-9.])(?!\s*=\s*[0-9])").match(text, at)
    if filled:
        return Chunk("PERMV", filled[0], at, f"k{filled[1]}"), filled.end()
    part = re.compile(r"over_([0-9]+/[0-9]+)").match(text, at)
    if part:
        return Chunk("PART", part[0], at, part[1]), part.end()
    part = re.compile(r"times_([0-9]+/[0-9]+)").match(text, at)
    if part:
        return Chunk("FACTOR", part[0], at, part[1]), part.end()
    metal = re.compile(r"metal_over_([0-9]+/[0-9]+)").match(text, at)
    if metal:
        return Chunk("PERMV", metal[0], at, f"metal over {metal[1]} of the gap"), metal.end()
    times = re.compile(r"kC(?![A-Za-z0-9_'])").match(text, at)
    if times and not _FARADS.search(text):
        return Chunk("CAPV", times[0], at, "kC"), times.end()
    letters = _LETTERS.match(text, at)
    if letters is None or letters[1]:
        return None
    if not (letters[3] or letters[4]):
        return Chunk(f"L{letters[2]}", letters[0], at, letters[2]), letters.end()
    return _lettered(letters, at)


def _named(text: str, at: int, _listed: bool) -> tuple[Chunk, int] | None:
    if at and (text[at - 1].isalnum() or text[at - 1] == "_"):
        return None
    sign = _VOLTAGE_SIGN.match(text, at)
    if sign:
        return Chunk("LV", sign[0], at, "V"), sign.end()
    numbered = _NUMBERED.match(text, at)
    if numbered:
        return Chunk("NAME", numbered[0], at, f"C{numbered[1]}"), numbered.end()
    symbol = _symbol_of_a_name(text, at) or _SYMBOL.match(text, at)
    if symbol and not (symbol["q"] == "C" and (symbol["of"] or "").isdigit()):
        of = symbol["of"] or ""
        letter = (symbol["q"] or symbol[0][0]).replace("U", "V")
        lower_name = symbol["q"] in ("C",) and of in tuple("abcde")
        if not lower_name:
            return Chunk("SYM", symbol[0], at, (letter, of)), symbol.end()
    small = re.compile(r"([vq])_?([1-9]|tot)(?![A-Za-z0-9])").match(text, at)
    if small:
        return Chunk("SYM", small[0], at, (small[1].upper(), small[2])), small.end()
    worded = re.compile(r"[A-Z][a-z]{1,9}(?![A-Za-z])").match(text, at)
    if worded and _is_a_name(text, worded[0]):
        return Chunk("NAME", worded[0], at, worded[0]), worded.end()
    name = _NAME.match(text, at)
    if name and name[0].lower() not in ("ca.",):
        found = name[0]
        if found[0] == "c" and len(found) > 1:
            if found[1:].strip("_'").isalpha() and "_" not in found:
                return None  # a word such as ca
            found = "C" + found[1:]
        return Chunk("NAME", name[0], at, found), name.end()
    pair = _BETWEEN.match(text, at) or _PAIR.match(text, at)
    if pair and pair[1] != pair[2] and pair[0] not in _NO_PAIR:
        return Chunk("POINTS", pair[0], at, (pair[1], pair[2])), pair.end()
    single = re.compile(r"[A-Z]'?(?![A-Za-z0-9'])").match(text, at)
    if single:
        return Chunk("LETTER", single[0], at, single[0]), single.end()
    return None


def _symbol_of_a_name(text: str, at: int) -> re.Match[str] | None:
    found = _SYMBOL_OF_A_NAME.match(text, at)
    name = rf"(?<![A-Za-z0-9_])C_?{found['of']}(?![A-Za-z0-9])" if found else ""
    return found if name and re.search(name, text) else None


def _is_a_name(text: str, word: str) -> bool:
    """Whether a word is a capacitor's name: Cout with a value, or any other that comes again."""
    if word == "An" or concept_of(word) or not _is_given_a_value(text, word):
        return False
    return word[0] == "C" or len(re.findall(rf"\b{word}\b", text)) > 1


def _is_given_a_value(text: str, name: str) -> bool:
    """Whether a word such as Cout is the name of a capacitor somewhere in the text."""
    return re.search(rf"\b{name}\b,?\s*(?:=|is|of|:|\(|has)?\s*[0-9]", text) is not None


def _word(text: str, at: int, _listed: bool) -> tuple[Chunk, int] | None:
    match = _WORD.match(text, at)
    if match is None:
        return None
    word = match[0].rstrip("'")
    end = at + len(word)
    glued = re.compile(r"(?i)(?:with|and|in|is|the|of|a)(?=[0-9])").match(text, at)
    if glued:
        word, end = glued[0], glued.end()
    if word.lower() == "x":
        return Chunk("TIMES", word, at), end
    if word.lower() in ("a", "an"):
        return Chunk("A", word, at), end
    if word.lower().endswith("'s") and concept_of(word[:-2]):
        word, end = word[:-2], end - 2
    tag = concept_of(word)
    model = re.compile(r"[0-9]+(?![A-Za-z0-9.])").match(text, end)
    if not tag and model and word.isupper() and len(word) > 1:
        return Chunk("WORD", text[at : model.end()], at), model.end()  # a PP3 battery
    if not tag and "-" in word:
        first = word.split("-")[0]
        word, end = first, at + len(first)
        tag = concept_of(first)
    if tag.startswith("N") and tag[1:2].isdigit():
        return Chunk("WNUM", word, at, tag[1:]), end
    return Chunk(tag or "WORD", word, at), end


def _sign(text: str, at: int, _listed: bool) -> tuple[Chunk, int] | None:
    for pattern, tag in _SIGN:
        match = pattern.match(text, at)
        if match:
            return Chunk(tag, match[0], at), match.end()
    return None
