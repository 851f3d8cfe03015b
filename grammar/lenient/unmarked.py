"""Letters, TeX and page marks made plain: what the scanner is given holds ordinary signs only."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

_SIGNS: Mapping[int, Any] = str.maketrans({
    "μ": "u", "µ": "u", "’": "'", "‘": "'", "′": "'", "“": '"', "”": '"', "−": "-", "\u00a0": " ",
    "\u2009": " ", "\u202f": " ", "×": "x", "∥": " || ", "‖": " || ", "∣": "|", "Ω": "ohm",
    "\u2126": "ohm", "[": "(", "]": ")", "{": "(", "}": ")", "＋": "+", "＝": "=", "…": ".",
    "½": "1/2", "¼": "1/4", "→": " -> ", "⟶": " -> ", "⇒": " => ", "\u2010": "-", "\u2011": "-",
    "ε": " permittivity ", "ℰ": " V ", "κ": " k ", "²": "2", "∞": " infinite ", "\ufeff": " ",
    "₀": "0", "₁": "1", "₂": "2", "₃": "3", "₄": "4", "₅": "5", "₆": "6", "₇": "7", "₈": "8",
    "₉": "9", "é": "e", "≈": "=",
})  # fmt: skip
# What TeX writes for a sign or a unit. Longer commands stand before those they begin with.
_TEX = (
    (r"\\(?:d|t)?frac\s*{([^{}]*)}\s*{([^{}]*)}", r"\1/\2"),
    (r"\\(?:SI|qty|unit|si)\s*(?:\[[^\]]*\])?\s*{([^{}]*)}\s*{([^{}]*)}", r" \1 \2 "),
    (
        r"\\(?:text|mathrm|rm|mathit|mbox|textrm|operatorname|mathbf|ce|pu"
        r"|text\w+)\s*{([^{}]*)}", r"\1"),
    (r"\\(?:micro|mu|upmu)\b\s*", "u"),
    (r"\\nano\b\s*", "n"), (r"\\pico\b\s*", "p"), (r"\\milli\b\s*", "m"), (r"\\kilo\b\s*", "k"),
    (r"\\farad\b", "F"), (r"\\volt\b", "V"), (r"\\coulomb\b", "C"),
    (r"\\(?:parallel|Vert|\|)", " || "),
    (r"\\(?:times|cdot)\b", "x"),
    (r"\\(?:dots|ldots|cdots|quad|qquad|left|right|displaystyle|rm|mathrm|hspace|big|Big)\b", " "),
    (r"\\(?:item)\b", "\n"),
    (r"\\(?:begin|end)\s*{\w+\*?}", "\n"),
    (r"\\\\", "\n"),
    (r"\\[,;:!> ]|~", " "),
    (r"\\[()\[\]]", " "),
    (r"\\(?:varepsilon|epsilon)(?:_\{?r\}?)?", " permittivity "),
    (r"\\(?:mathcal|mathscr|varepsilon_0)\s*\{?\s*E\s*\}?", " V "), (r"\\emf\b", " V "),
    (r"\\kappa\b", "k"),
)  # fmt: skip
_BULLET = re.compile(
    r"(?m)^[ \t]*(?:-(?=\s)|[*•·‣>]+(?!\d)|\(?(?:[0-9]{1,2}|[a-h]"
    r"|[ivx]{1,4})[.)](?=\s))[ \t]*(?=\S)"
)
_PART_MARK = re.compile(r"(?<=[\s.;:?])\(?(?:[a-h]|i{1,3}|iv|v)\)(?=\s)")
_GREETING = re.compile(
    r"(?i)^\s*(?:hi|hello|hey|hiya|good (?:morning|evening|afternoon)|please|pls|ok(?:ay)?|so|um+|"
    r"er+|right|well)\b[\s,!.]*"
)
# The number of a question or a figure, and the marks it earns, count nothing.
_NUMBERING = re.compile(
    r"(?i)\b(?:hw\s+)?(?:q(?:u(?:estion)?)?|ex(?:ercise|ample)?|problem|prob|task"
    r"|page|chapter|section|part|"
    r"fig(?:ure)?|no)\b\.?\s*\(?[0-9]+(?:\.[0-9]+)*[a-h]?\)?(?=[\s:.,)]"
    r"|$)(?!\s*(?:[unp]f|uc|=))\s*[:.)]?"
    r"|\bhw\b|\bq[0-9]{1,2}[a-h]?\s*:|\(?\[?\b[0-9]+\s+marks?\b\]?\)?"
)


_FIGURES: Mapping[str, int] = {
    word: number for number, word in enumerate(
        ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
         "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
         "nineteen"]
    )
} | {word: 10 * number for number, word in enumerate(
    ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], start=2)
} | {"a": 1, "an": 1, "hundred": 100, "thousand": 1000}  # fmt: skip
_NUMBER_WORD = (
    "zero|one|two|three|fourteen|forty|four|fifteen|fifty|five|sixteen|sixty|six|seventeen|seventy|"
    "seven|eighteen|eighty|eight|nineteen|ninety|nine|ten|eleven|twelve|thirteen|twenty|thirty|"
    "hundred|thousand|an|a"
)
_SPELT = re.compile(
    rf"(?i)\b((?:(?:{_NUMBER_WORD}|half|quarter)[ -])+(?:(?:(?<=hundred"
    rf" )and|(?<=thousand )and|point|and a(?= half| quarter))["
    rf" -](?:(?:{_NUMBER_WORD}|half|quarter)[ -])+)*)"
    r"(?:of )?(?:a |an )?(?=(?:micro|nano|pico|milli|kilo)?-?"
    r" ?(?:farad|volt|coulomb)|[unp]F\b|V\b|uf\b|nf\b|pf\b)"
)


_SMALL_POINTS = re.compile(
    r"\b(between|from|nodes?|points?|at|across|on)((?: nodes?| points?)?) ([a-z])"
    r" (and|to) ([a-z])\b"
    r"(?! [a-z0-9])"
)


def _as_points(said: re.Match[str]) -> str:
    """Points named with small letters, in capitals."""
    return f"{said[1]}{said[2]} {said[3].upper()} {said[4]} {said[5].upper()}"


_POINT_WORDS = re.compile(
    r"(?i)\b(?:node|rail|junction|point) (zero|one|two|three|four|five|six|seven|eight|nine)\b"
)
_BETWEEN_WORDS = re.compile(
    r"(?i)\b(between|across|from) (zero|one|two|three|four|five|six) (and|to)"
    r" (zero|one|two|three|four|five|six)\b"
)


_LISTED_WORD = re.compile(
    rf"(?i)\b({_NUMBER_WORD.removesuffix('|an|a')})(?=(?:,? and |, )"
    rf"(?:(?:{_NUMBER_WORD})(?:,? and |, ))*(?:{_NUMBER_WORD})(?:[ -](?:{_NUMBER_WORD}))*"
    r"[ -](?:micro|nano|pico)-? ?f)"
)
_DOZEN: Mapping[str, str] = {"half a dozen": "six", "a dozen": "twelve"}


def _taken_down(text: str) -> str:
    """What was dictated, written as one would: capital C sub one, c 1, eighty and forty nF."""
    text = re.sub(r"(?i)\bhalf a dozen\b|\ba dozen\b", lambda d: _DOZEN[d[0].lower()], text)
    text = re.sub(r"(?i)\b(?:capital )?C sub (\w+)", _with_index, text)
    if len(set(re.findall(r"\b[cC] ([1-9])(?= (?:is|equals|has|and)\b| ?=)", text))) > 1:
        text = re.sub(r"\b[cC] ([1-9])\b(?! ?(?:[unpm]|micro|nano|pico)[ -]?[fF])", r"C\1", text)
    return _LISTED_WORD.sub(lambda word: str(_FIGURES[word[1].lower()]), text)


def _with_rows_of_joins(text: str) -> str:
    """A table with columns for a name, a value and two points, as joins in words."""
    head, *rows = text.strip().split("\n")
    cells = [each.strip().lower() for each in re.split(r"[;|\t,]", head.strip("| "))]
    if len(cells) != 4 or cells[2:] != ["from", "to"]:
        return text
    told = [[each.strip() for each in re.split(r"[;|\t,]", row.strip("| "))] for row in rows]
    if any(len(row) != 4 for row in told):
        return text
    return "\n".join("{} = {} from {} to {}".format(*row) for row in told)


def _with_index(said: re.Match[str]) -> str:
    index = said[1].lower()
    return f"C{_FIGURES[index]}" if index in _FIGURES else f"C_{index}"


def _with_numbered_points(text: str) -> str:
    """Points numbered in words, in figures."""
    text, count = _POINT_WORDS.subn(lambda said: f"point {_FIGURES[said[1].lower()]}", text)
    if not count:
        return text
    return _BETWEEN_WORDS.sub(
        lambda said: (
            f"{said[1]} points {_FIGURES[said[2].lower()]} {said[3]} {_FIGURES[said[4].lower()]}"
        ),
        text,
    )


def _in_figures(spelt: re.Match[str]) -> str:
    """A number in words before its unit, in figures: twelve volts, two point five microfarad."""
    words = re.split(r"[ -]+", spelt[1].lower().strip())
    if "point" in words:
        at = words.index("point")
        after = "".join(str(_FIGURES.get(word, "")) for word in words[at + 1 :])
        return f"{_whole(words[:at])}.{after} "
    half = 0.5 if "half" in words else 0.25 if "quarter" in words else 0
    rest = [word for word in words if word not in ("half", "quarter", "and", "of")]
    if half:
        rest = [word for word in rest if word not in ("a", "an")]
        return f"{_whole(rest) + half} " if rest else f"{half} "
    if len(words) == 1 and words[0] in ("a", "an"):
        return spelt[0]
    if words[0] in ("a", "an") and words[1:2] not in (["hundred"], ["thousand"]):
        return f"{words[0]} {_whole(rest[1:])} "
    return f"{_whole(rest)} "


def _whole(words: list[str]) -> int:
    total = part = 0
    for word in words:
        number = _FIGURES.get(word, 0)
        if word == "hundred":
            part = max(part, 1) * 100
        elif word == "thousand":
            total, part = total + max(part, 1) * 1000, 0
        else:
            part += number
    return total + part


def made_plain(text: str) -> str:
    """The text with ordinary signs only; a line of its own for each entry of a list."""
    text = re.sub(r"(?m)#.*$", "", text.replace("\r\n", "\n").replace("\r", "\n"))
    if "\\" in text or "$" in text:
        text = _without_tex(text)
    text = re.sub(r"(?<=[A-Za-z])_(?:\(([A-Za-z0-9]+)\)|\{([A-Za-z0-9]+)\})", r"_\1\2", text)
    text = re.sub(r"(?m)^\s*\|(.*)\|\s*$", lambda row: row[1].replace("|", " "), text)
    text = re.sub("[\u2500-\u257f]+", " ", _with_rows_of_joins(text))
    text = re.sub(r"\*\*|__|`", "", text).translate(_SIGNS)
    text = re.sub(
        r"(?i)\b(?:capacitor|cap|condenser) (one|two|three|four|five|six)"
        r"(?= (?:goes|is|has|from|between|and|with|to|in)\b|\s*[=:(,])",
        lambda said: f"C{_FIGURES[said[1].lower()]}",
        text,
    )
    text = re.sub(r"(?i)(?<=[a-z])'(?:re)\b", " are", text)
    text = re.sub(r"(?i)(?<=[a-z])'(?:ve|ll|d)\b", "", text)
    text = re.sub(r"(?i)\bhow 2\b", "how to", text)
    text = re.sub(r"(?i)(?<=[0-9]) ?nos?\b\.?", "", text)
    text = _with_numbered_points(_taken_down(text))
    text = _SMALL_POINTS.sub(_as_points, text)
    text = re.sub(r"(?i)\bpermittivity _?\(?r\)?\b", "permittivity ", text)
    text = re.sub(r"(?:--+|—|->)\s*(?:plus|minus)\b", " ", text)
    text = _NUMBERING.sub(" ", text)
    text = re.sub(r"(?<=[unpm]F);(?=\s*[0-9.,]+\s*[unpm]?F)", ",", text)
    text = _BULLET.sub("\n", text)
    text = _PART_MARK.sub(" ", text)
    text = _SPELT.sub(_in_figures, text)
    for _ in range(3):
        text = _GREETING.sub("", text)
    return re.sub(r"[ \t]+", " ", text)


def _without_tex(text: str) -> str:
    for _ in range(3):  # commands inside the braces of others
        for pattern, put in _TEX:
            text = re.sub(pattern, put, text)
    return text.replace("$", " ").replace("\\", " ").replace("{}", "")
