"""Letters, TeX and page marks made plain: what the scanner is given holds ordinary signs only."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any, Final
from unicodedata import combining, normalize

from grammar.lenient.asked_plainly import asked_plainly
from grammar.lenient.dictated import taken_down
from grammar.lenient.filled_in_part import with_filled_parts
from grammar.lenient.labelled import with_labels
from grammar.lenient.limits_told import with_limits_told
from grammar.lenient.lines_drawn import with_lines_drawn
from grammar.lenient.lists_told import has_a_list
from grammar.lenient.meetings_told import with_meetings
from grammar.lenient.names_in_turn import with_names_in_turn
from grammar.lenient.nodes_named import with_nodes
from grammar.lenient.own_told import with_own_told
from grammar.lenient.parts_listed import with_parts_listed
from grammar.lenient.plainer_words import in_plainer_words
from grammar.lenient.points_in_signs import with_points_in_signs
from grammar.lenient.put_plainly import put_plainly
from grammar.lenient.small_phrases import with_small_phrases
from grammar.lenient.told_otherwise import told_directly
from grammar.lenient.unit_of_all import with_unit_beside

_SIGNS: Mapping[int, Any] = str.maketrans({
    "μ": "u", "µ": "u", "’": "'", "‘": "'", "′": "'", "“": '"', "”": '"', "−": "-", "\u00a0": " ",
    "\u2009": " ", "\u202f": " ", "×": "x", "∥": " || ", "‖": " || ", "∣": "|", "Ω": "ohm",
    "\u2126": "ohm", "[": "(", "]": ")", "{": "(", "}": ")", "＋": "+", "＝": "=", "…": ".",
    "½": "1/2", "¼": "1/4", "→": " -> ", "⟶": " -> ", "⇒": " => ", "\u2010": "-", "\u2011": "-",
    "ε": " permittivity ", "ℰ": " V ", "κ": " kappa ", "²": "2", "∞": " infinite ", "\ufeff": " ",
    "₀": "0", "₁": "1", "₂": "2", "₃": "3", "₄": "4", "₅": "5", "₆": "6", "₇": "7", "₈": "8",
    "₉": "9", "à": " of ", "≈": "=", "Δ": "", "∆": "",
})  # fmt: skip
# Powers of ten as they are printed: 10⁻⁴.
_POWER: Final = re.compile("(?<=[x×·* ])10([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_RAISED: Mapping[int, Any] = str.maketrans("⁺⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "+-0123456789")
# What TeX writes for a sign or a unit. Longer commands stand before those they begin with.
_TEX = (
    (r"(?<=\d)\{([,.])\}(?=\d)", r"\1"),
    (r"\\(?:d|t)?frac\s*{([^{}+]*)}\s*{([^{}+]*)}", r"\1/\2"),
    (r"\\(?:d|t)?frac\s*{([^{}]*)}\s*{([^{}]*)}", r"(\1)/(\2)"),
    (r"\\(?:SI|qty|unit|si)\s*(?:\[[^\]]*\])?\s*{([^{}]*)}\s*{([^{}]*)}", r" \1 \2 "),
    (
        r"\\(?:text|mathrm|rm|mathit|mbox|textrm|operatorname|mathbf|ce|pu"
        r"|text\w+)\s*{([^{}]*)}", r"\1"),
    (r"\\(?:micro|mu|upmu)(?![a-z])\s*", "u"),
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
    (r"\\kappa(?![a-z])", " kappa"), (r"\\Delta(?![a-z])\s*", ""),
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
# The number of a question or a figure, the marks it earns, and a time of day count nothing.
_NUMBERING = re.compile(
    r"(?i)(?<!\bto )(?<!\band )(?<!\bfrom )(?<!point )"
    r"\b(?:hw\s+)?(?:q(?:u(?:estion)?)?|ex(?:ercise|ample)?|problem|prob|task"
    r"|page|chapter|section|part|"
    r"fig(?:ure)?|no)\b\.?\s*\(?[A-Z]?[0-9]+(?:[.-][0-9]+)*[a-h]?\)?(?=[\s:.,)]"
    r"|$)(?!\s*-?(?:[unpm]?[fvc]\b|micro|nano|pico|milli|volt|farad|coulomb|=))\s*[:.)]?"
    r"|(?:\bhw\b|^)\s*q[0-9]{1,2}[a-h]?(?=\s)|\bhw\b|\bq[0-9]{1,2}[a-h]?\s*:"
    r"|\(?\[?\b[0-9]+\s+marks?\b\]?\)?|(?<=[.?!])\s*\([0-9]{1,2}\)(?=\s|$)"
    r"|\b[0-9]{1,2}(?::[0-9]{2})?\s?[ap]\.?m\b\.?"
)
# The same with the name said again: C4 = 3 uF, sorry, C4 = 6 uF.
_NAMED_RIGHT = re.compile(
    r"(?i)(?P<name>\bC_?[0-9a-z]{1,2}) ?(?:=|is) ?[0-9.]+ ?[unp]?F?[ ,.]*"
    r"(?:no,? wait|sorry(?:,? i mean)?|i mean|scratch that)[ ,.]*(?=(?P=name)\b)"
)


# A chain told by its formula: 1/C = 1/C1 + 1/C2.
_ONE_OVER = r"1 ?/ ?+\(?+[^+=,;?()]+\)?"
_ONE_OVER_BEFORE = r"1 ?/ ?+\(?+[^+=,;?()]++\)?+"  # a plus follows
_RECIPROCALS = re.compile(
    rf"\b1 ?/ ?\(?C(?:_?\w+)?\)? ?= ?(?P<terms>(?:{_ONE_OVER_BEFORE} ?+\+ ?)+{_ONE_OVER})"
    r"(?=[,;.?\n]|$| in | and )"
)


# Two in a row told by their formula, C1 C2/(C1 + C2), and some side by side told by their sum.
_NAME: Final = r"C_?\w"
_PRODUCT_OVER_SUM: Final = re.compile(
    rf"(?:\bC\w* ?= ?)?\(?\b(?P<a>{_NAME}) ?[x*·]? ?(?P<b>{_NAME})\)? ?/ ?"
    rf"\(?(?:(?P=a) ?\+ ?(?P=b)|(?P=b) ?\+ ?(?P=a))\)?"
)
# C1 = C2 = C3 = 4 uF: all of them are worth that.
_ALL_EQUAL: Final = re.compile(
    rf"\b(?P<names>{_NAME}(?: ?= ?{_NAME})+) ?= ?"
    r"(?P<worth>C\b(?!_)|[0-9.,]+ ?[unp\u00b5\u03bc]F\b|[0-9.]* ?C\b(?!_))"
)


_ASKS_WHY = re.compile(r"(?i)\b(?:why|where do(?:es)?|comes? from|derive|prove)\b")


# How many of a unit are asked for.
_HOW_MANY: Mapping[str, str] = {
    "(?:[unpm]C|(?:micro|nano|milli|pico)?-?coulombs?)": "charge",
    "(?:[unm]?J|(?:micro|milli)?-?joules?)": "energy",
    "(?:V|volts?)": "voltage",
    "(?:[unp]F|(?:micro|nano|pico)-?farads?)": "capacitance",
}


def _as_a_chain(formula: re.Match[str]) -> str:
    parts = re.split(r" ?\+ ?", formula["terms"])
    return f"{', '.join(re.sub('^1 ?/ ?|[()]', '', part).strip() for part in parts)} in series"


def _each_equal(said: re.Match[str]) -> str:
    return ", ".join(f"{each} = {said['worth']}" for each in re.split(" ?= ?", said["names"]))


_CUT: Final = re.compile(r"[;|\t,]|(?<=\S) {2,}(?=\S)")
_COLUMNS: Final = (
    ("name", re.compile(r"(?i)(?:name|part|cap(?:acitor)?|component|label|element|which|no\.?)s?")),
    (
        "value",
        re.compile(
            r"(?i)(?:value|size|capacitance|worth|c)s?(?: ?(?:in|\("
            r"|/) ?[unpµ]F\)?)?"
        ),
    ),
    ("from", re.compile(r"(?i)from|start|between|(?:node|point|end|terminal) ?(?:1|a|one)|left")),
    ("to", re.compile(r"(?i)to|and|end|(?:node|point|end|terminal) ?(?:2|b|two)|right")),
)


def _with_rows_of_joins(text: str) -> str:
    """A table with columns for a name, a value and two points, in any order, as joins in words;
    lines after it that are no rows stay as they are.
    """
    head, *rows = text.strip().split("\n")
    columns = _columns_of(head)
    if not columns:
        return text
    told = re.search(r"(?i)\b([unpµ])F\b", head)
    unit = f" {told[1]}F" if told else ""
    found: list[str] = []
    for row in rows:
        cells = [each.strip() for each in _CUT.split(row.strip("| "))]
        if len(cells) != len(columns) or ":" in row:
            found.append(re.sub(r"\b([A-Z]) ?, ?([A-Z])$", r"points \1 and \2", row))
        elif re.search("[^-|: ]", row):
            found.append(_join_of(dict(zip(columns, cells, strict=True)), unit))
    return "\n".join(found)


def _columns_of(head: str) -> list[str]:
    """What each column of a table is about; none where it does not give two points and a value."""
    found = []
    for cell in _CUT.split(head.strip("| ")):
        kind = next((kind for kind, told in _COLUMNS if told.fullmatch(cell.strip())), "")
        found.append(kind)
    return found if {"value", "from", "to"} <= {*found} and len({*found}) == len(found) else []


def _join_of(cells: Mapping[str, str], unit: str) -> str:
    """A row in words; a number alone is in the unit of its column."""
    value = cells["value"] + unit * bool(re.fullmatch("[0-9.,]+", cells["value"]))
    ends = re.sub(r"\([-+−]\)", "", f"{cells['from']} {cells['to']}").split()
    if re.search("[0-9] ?V$", value):
        return f"supply of {value} between points {' and '.join(ends)}"
    name = cells.get("name", "")
    name = f"{'C' * name.isdigit()}{name} = " if name else ""
    return f"{name}{value} from point {' to point '.join(ends)}"


# What is printed on a small capacitor: two figures and how many noughts, in picofarads.
_MARKED = re.compile(
    r"(?i)\b(?:marked|labell?ed|coded?|stamped|printed)(?: with| as)? \"?([1-9][0-9])([0-6])\"?"
    r"(?![0-9.]|\s?[unpµ]?F|\s?k?V)"
)


_MULTIPLE_TOLD = re.compile(
    r"(?i)(?:(?:,|\b(?:and|for|with|if|where|when|take|let))\s+)*\b([kmxn])\s*=\s*([0-9]+)"
    r"(?!\.?[0-9]|\s*(?:[unpm]?[FVCJ]|[cm]?m)\b)"
)


def _with_multiples_told(text: str) -> str:
    """``C and kC … for k = 3``, ``n = 4 capacitors``: the letter is the number it is said to be."""
    told = _MULTIPLE_TOLD.search(text)
    if told is None:
        return text
    counted = re.compile(r" (?:(?:equal|identical|such|more) )*(?:capacitor|cap|condenser)s\b")
    if counted.match(text, told.end()):
        return f"{text[: told.start()]} {told[2]}{text[told.end() :]}"
    of_many = rf"\b{told[1]}(?={counted.pattern})"
    of_a_letter = rf"\b{told[1]} ?C\b" if told[1] != "n" else of_many
    if not re.search(rf"{of_many}|{of_a_letter}", text):
        return text
    text = re.sub(of_many, told[2], text.replace(told[0], " "))
    return re.sub(of_a_letter, f"{told[2]}C", text)


# Two strokes that no value, name or bracket follows are said, and not put between two.
_STROKES_SAID: Final = re.compile(
    r"(?i)(?<!:)//(?!/)(?!\s*(?:\(|\.?[0-9]|C_?[0-9a-z]?\b|(?:an?|the|one|another|two|three) ))"
)
# The rail or the bus that a p.d. is named with is what feeds them.
_FED_FROM: Final = re.compile(
    r"(?i)((?<![a-z])[0-9.]+[ -]?(?:k?V|volts?)(?: d\.?c\.?)?) (?:supply )?"
    r"(?:rails?|bus(?:bars?|es)?|lines?|psu|feed)\b(?! (?:and|to|from|[A-Z]\b))"
)


_PLUS_IS_SERIES = re.compile(
    r"(?i)[,;.(]*\s*(?:where )?\+ (?:is|means|=) (?:in )?series"
    r"(?:,? (?:and|but) (?://|\|\|) (?:(?:is|means|=) )?(?:in )?parallel)?\)?"
)


# 4uf8uf, 6ufseries, serieswith3uf, across5V: words that were typed together.
_GLUED = re.compile(
    r"(?i)(?<=[0-9][unp]f)(?=(?:in)?(?:ser|par|across)|and|with|[0-9])"
    r"|(?<=series)(?=with|and|[0-9])|(?<=parallel)(?=with|and|to|[0-9])|(?<=paralel)(?=with|[0-9])"
    r"|(?<=across)(?=[0-9])|(?<=\bfind)(?=[CQVE]\b)"
)


@lru_cache(maxsize=4)  # pure; a second opinion goes by the same text
def made_plain(text: str) -> str:
    """The text with ordinary signs only; a line of its own for each entry of a list."""
    text = re.sub(r"(?m)#.*$", "", text.replace("\r\n", "\n").replace("\r", "\n"))
    if "\\" in text or "$" in text:
        text = _without_tex(text)
    text = re.sub(r"(?<=[A-Za-z])_(?:\(([A-Za-z0-9]+)\)|\{([A-Za-z0-9]+)\})", r"_\1\2", text)
    text = re.sub(r"10\^\{(-?[0-9]+)\}", r"10^\1", text)
    text = _POWER.sub(lambda power: f"10^{power[1].translate(_RAISED)}", text)
    text = with_points_in_signs(with_unit_beside(text))
    if not _ASKS_WHY.search(text):
        text = _RECIPROCALS.sub(_as_a_chain, text)
        text = _PRODUCT_OVER_SUM.sub(r"\g<a> and \g<b> in series", text)
    text = re.sub(r"(?<=[0-9 ]C) ?'s\b", "", text)  # two C's
    text = _ALL_EQUAL.sub(_each_equal, text)
    text = with_labels(with_parts_listed(text))
    text = re.sub(r"(?m)^\s*\|(.*)\|\s*$", lambda row: row[1].replace("|", " "), text)
    text = re.sub("[\u2500-\u257f]+", " ", _with_rows_of_joins(text))
    text = with_meetings(text)
    text = _without_accents(re.sub(r"\*\*|__|`", "", text).translate(_SIGNS))
    text = re.sub(r"(?i)(?<=[a-z])'(?:re)\b", " are", text)
    text = re.sub(r"(?i)(?<=[a-z])'(?:ve|ll|d)\b", "", text)
    text = re.sub(r"(?i)\b(it|that|this|there|here|which|he|she)'s\b", r"\1 is", text)
    for unit, quantity in _HOW_MANY.items():
        text = re.sub(rf"(?i)\bhow many {unit}\b", f"what {quantity}", text)
    text = re.sub(
        r"(?i)\b(how|what|where|hooked|con+e?c?t?ed|attached|joined|charged|wired) 2\b",
        r"\1 to",
        text,
    )
    if (legend := _PLUS_IS_SERIES.search(text)) is not None:
        text = text.replace(legend[0], " ").replace("+", " -- ")
    text = _GLUED.sub(" ", text)
    text = re.sub(r"(?i)\b(?:1|one) more\b", "another", text)
    text = re.sub(r"(?i)\bw/(?=[0-9])", "with ", re.sub(r"(?i)\bb4\b", "before", text))
    text = re.sub(r"(?<=[A-Za-z]{2})\.(?=[0-9])", ". ", text)  # those.5V ends a sentence
    text = re.sub(r"(?:(?<=[mM]fd)|(?<=[pnu]F))\.(?=\s*,|\s+(?:and|are|is|in|with)\b)", "", text)
    text = re.sub(r"(?i)(?<=[0-9])(and|with|paral\w*|series|seri)(?=[0-9]|\b)", r" \1 ", text)
    text = with_limits_told(put_plainly(in_plainer_words(with_own_told(text))))
    text = _STROKES_SAID.sub(" in parallel ", text)
    if re.search(r"(?i)\bd\.? ?c\b|direct[- ]current", text):
        text = re.sub(r"(?i)\bmains\b|\(?direct[- ]current\)?", "supply", text)
    text = _FED_FROM.sub(r"\1 supply", text)
    text = _MARKED.sub(lambda code: f"of {int(code[1]) * 10 ** int(code[2])} pF", text)
    text = _with_multiples_told(text)
    text = re.sub(r"(?i)\b(?:step|line) [0-9]{1,2}\s*:", "\n", text)
    text = re.sub(r"(?i)(?<=[0-9]) ?(?:off|pcs)\b\.? ?(?=[0-9.]+ ?[unp])", " of ", text)
    text = re.sub(r"(?i)(?<=[0-9]) ?nos?\b\.?", "", text)
    text = re.sub(r"(?i)\b(c[1-9])(?=c[1-9] (?:in |are )*(?:ser|par))", r"\1 and ", text)
    text = with_small_phrases(
        with_filled_parts(with_names_in_turn(taken_down(with_nodes(with_lines_drawn(text)))))
    )
    text = told_directly(asked_plainly(text))
    text = re.sub(r"(?i)\bpermittivity _?\(?r\)?\b", "permittivity ", text)
    text = re.sub(r"(?:--+|—|->)\s*(?:plus|minus)\b", " ", text)
    text = _NUMBERING.sub(" ", text)
    if not has_a_list(text):
        text = re.sub(r"(?<=[unpm]F)\s*;(?=\s*[0-9.,]+\s*[unpm]?F)", ",", text)
    return re.sub(r":\s*\n", ":\n", _without_headings(text))  # a list begins on the next line


def _without_headings(text: str) -> str:
    """The text without the headings of a sheet, what is marked on a part, and lists of parts."""
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
    text = _NAMED_RIGHT.sub("", text)
    text = re.sub(r"\(J\)", " ", text)
    text = re.sub(r"(?im)^\s*(?:not known|unknowns?|looking for|wanted)\s*:", "Find:", text)
    text = re.sub(r"(?im)^\s*(?:known|given|data)\s*:?\s*$", "", text)
    text = re.sub(
        r"\b(C_?[0-9a-zA-Z]{1,2}),? (?:unknown|(?:is )?not known)\b", r"\1 is unknown", text
    )
    text = _BULLET.sub("\n", text)
    text = _PART_MARK.sub(" ", text)
    for _ in range(3):
        text = _GREETING.sub("", text)
    return re.sub(r"[ \t]+", " ", text)


def _without_accents(text: str) -> str:
    """The text with plain letters: Ces for what stands for the equivalent in Turkish."""
    return "".join(each for each in normalize("NFD", text) if not combining(each))


def _without_tex(text: str) -> str:
    for _ in range(3):  # commands inside the braces of others
        for pattern, put in _TEX:
            text = re.sub(pattern, put, text)
    return text.replace("$", " ").replace("\\", " ").replace("{}", "")
