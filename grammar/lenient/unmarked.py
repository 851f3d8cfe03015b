"""Letters, TeX and page marks made plain: what the scanner is given holds ordinary signs only."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from grammar.lenient.dictated import taken_down
from grammar.lenient.labelled import with_labels

_SIGNS: Mapping[int, Any] = str.maketrans({
    "μ": "u", "µ": "u", "’": "'", "‘": "'", "′": "'", "“": '"', "”": '"', "−": "-", "\u00a0": " ",
    "\u2009": " ", "\u202f": " ", "×": "x", "∥": " || ", "‖": " || ", "∣": "|", "Ω": "ohm",
    "\u2126": "ohm", "[": "(", "]": ")", "{": "(", "}": ")", "＋": "+", "＝": "=", "…": ".",
    "½": "1/2", "¼": "1/4", "→": " -> ", "⟶": " -> ", "⇒": " => ", "\u2010": "-", "\u2011": "-",
    "ε": " permittivity ", "ℰ": " V ", "κ": " kappa ", "²": "2", "∞": " infinite ", "\ufeff": " ",
    "₀": "0", "₁": "1", "₂": "2", "₃": "3", "₄": "4", "₅": "5", "₆": "6", "₇": "7", "₈": "8",
    "₉": "9", "é": "e", "à": " of ", "≈": "=",
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
    (r"\\(?:times|cdot)(?![a-z])", "x"),
    (r"\\(?:dots|ldots|cdots|quad|qquad|left|right|displaystyle|rm|mathrm|hspace|big|Big)\b", " "),
    (r"\\(?:item)\b", "\n"),
    (r"\\(?:begin|end)\s*{\w+\*?}", "\n"),
    (r"\\\\", "\n"),
    (r"\\[,;:!> ]|~", " "),
    (r"\\[()\[\]]", " "),
    (
        r"\\(?:varepsilon|epsilon)(?=\s*=\s*[0-9.,]+\s*(?:\\[,;: ]|~|\\mathrm|\\text|[{\s])*V)",
        " V "),
    (r"\\(?:varepsilon|epsilon)(?:_\{?r\}?)?", " permittivity "),
    (r"\\(?:mathcal|mathscr|varepsilon_0)\s*\{?\s*E\s*\}?", " V "), (r"\\emf\b", " V "),
    (r"\\kappa(?![a-z])", " kappa"),
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
    r"|\bhw\b|\bq[0-9]{1,2}[a-h]?\s*:|^\s*q[0-9]{1,2}[a-h]?(?=\s)|\(?\[?\b[0-9]+\s+marks?\b\]?\)?"
)


# A value taken back: 2.5 in no wait 6 cm.
# From the beginning of a number on, and nothing of it given back: long runs of digits stay cheap.
_PUT_RIGHT = re.compile(
    r"(?i)(?<![0-9])(?<![0-9]\.)[0-9][0-9.]*+[ -]?[a-z0-9]*[ ,.]*"
    r"\b(?:no,? wait|sorry(?:,? i mean)?|i mean|scratch that)[ ,.]*(?=[0-9])"
)


# A chain told by its formula: 1/C = 1/C1 + 1/C2.
_ONE_OVER = r"1 ?/ ?\(?[^+=,;?()]+\)?"
_RECIPROCALS = re.compile(
    rf"\b1 ?/ ?\(?C(?:_?\w+)?\)? ?= ?(?P<terms>{_ONE_OVER}(?: ?\+ ?{_ONE_OVER})+)"
    r"(?=[,;.?\n]|$| in | and )"
)


_ASKS_WHY = re.compile(r"(?i)\b(?:why|where do(?:es)?|comes? from|derive|prove)\b")


def _as_a_chain(formula: re.Match[str]) -> str:
    parts = re.split(r" ?\+ ?", formula["terms"])
    return f"{', '.join(re.sub('^1 ?/ ?|[()]', '', part).strip() for part in parts)} in series"


def _with_rows_of_joins(text: str) -> str:
    """A table with columns for a name, a value and two points, as joins in words."""
    head, *rows = text.strip().split("\n")
    cut = re.compile(r"[;|\t,]|(?<=\S) {2,}(?=\S)")
    cells = [each.strip().lower() for each in cut.split(head.strip("| "))]
    if len(cells) != 4 or cells[2:] != ["from", "to"]:
        return text
    told = [[each.strip() for each in cut.split(row.strip("| "))] for row in rows]
    if any(len(row) != 4 for row in told):
        return text
    joins = ("{} = {} from point {} to point {}", "supply of {1} between points {2} and {3}")
    return "\n".join(joins[bool(re.search("[0-9] ?V$", row[1]))].format(*row) for row in told)


# What is printed on a small capacitor: two figures and how many noughts, in picofarads.
_MARKED = re.compile(
    r"(?i)\b(?:marked|labell?ed|coded?|stamped|printed)(?: with| as)? \"?([1-9][0-9])([0-6])\"?"
    r"(?![0-9.]|\s?[unpµ]?F)"
)


_PLUS_IS_SERIES = re.compile(r"(?i)[,;.(]*\s*(?:where )?\+ (?:is|means|=) (?:in )?series\)?")


def made_plain(text: str) -> str:
    """The text with ordinary signs only; a line of its own for each entry of a list."""
    text = re.sub(r"(?m)#.*$", "", text.replace("\r\n", "\n").replace("\r", "\n"))
    if "\\" in text or "$" in text:
        text = _without_tex(text)
    text = re.sub(r"(?<=[A-Za-z])_(?:\(([A-Za-z0-9]+)\)|\{([A-Za-z0-9]+)\})", r"_\1\2", text)
    text = re.sub(r"10\^\{(-?[0-9]+)\}", r"10^\1", text)
    text = re.sub(r"\b[VU]_?([A-Z])([A-Z])(?=\s*=)", r"voltage between \1 and \2", text)
    if not _ASKS_WHY.search(text):
        text = _RECIPROCALS.sub(_as_a_chain, text)
    text = with_labels(text)
    text = re.sub(r"(?m)^\s*\|(.*)\|\s*$", lambda row: row[1].replace("|", " "), text)
    text = re.sub("[\u2500-\u257f]+", " ", _with_rows_of_joins(text))
    text = re.sub(r"\*\*|__|`", "", text).translate(_SIGNS)
    text = re.sub(r"(?i)(?<=[a-z])'(?:re)\b", " are", text)
    text = re.sub(r"(?i)(?<=[a-z])'(?:ve|ll|d)\b", "", text)
    text = re.sub(r"(?i)\bhow 2\b", "how to", text)
    if (legend := _PLUS_IS_SERIES.search(text)) is not None:
        text = text.replace(legend[0], " ").replace("+", " -- ")
    text = re.sub(r"(?i)\b(?:1|one) more\b", "another", text)
    text = re.sub(r"(?:(?<=[mM]fd)|(?<=[pnu]F))\.(?=\s*,|\s+(?:and|are|is|in|with)\b)", "", text)
    if re.search(r"(?i)\bd\.? ?c\b|direct current", text):
        text = re.sub(r"(?i)\bmains\b|\(?direct current\)?", "supply", text)
    text = _MARKED.sub(lambda code: f"of {int(code[1]) * 10 ** int(code[2])} pF", text)
    text = re.sub(r"(?i)\b(?:step|line) [0-9]{1,2}\s*:", "\n", text)
    text = re.sub(r"(?i)(?<=[0-9]) ?nos?\b\.?", "", text)
    text = taken_down(text)
    text = re.sub(r"(?i)\bpermittivity _?\(?r\)?\b", "permittivity ", text)
    text = re.sub(r"(?:--+|—|->)\s*(?:plus|minus)\b", " ", text)
    text = _NUMBERING.sub(" ", text)
    text = re.sub(r"(?<=[unpm]F);(?=\s*[0-9.,]+\s*[unpm]?F)", ",", text)
    text = re.sub(r"(?i)(?<=[0-9][unp]f)(?=[0-9])", ", ", text)
    text = re.sub(
        r"(?i)([0-9]*\.?[0-9]+) ?(?:inch(?:es)?\b)",
        lambda said: f"{float(said[1]) * 25.4:g} mm",
        text,
    )
    text = re.sub(
        r"(?i)(\b(?:marked|labelled|stamped|printed) [0-9.]+ ?[unp]F),(?= ?[0-9.]+ ?V\b)",
        r"\1",
        text,
    )
    text = re.sub(
        r"(?i)^\s*(?:revision |work|home)?(?:sheet|work) (?:no\.? ?)?[0-9]*\s*:", "", text
    )
    text = _PUT_RIGHT.sub("", text)
    text = re.sub(r"\(J\)", " ", text)
    text = _BULLET.sub("\n", text)
    text = _PART_MARK.sub(" ", text)
    for _ in range(3):
        text = _GREETING.sub("", text)
    return re.sub(r"[ \t]+", " ", text)


def _without_tex(text: str) -> str:
    for _ in range(3):  # commands inside the braces of others
        for pattern, put in _TEX:
            text = re.sub(pattern, put, text)
    return text.replace("$", " ").replace("\\", " ").replace("{}", "")
