"""The learner's settings: words, letters, how numbers are printed, and how much is asked.

They change what the tutor writes and asks, never what a learner may write: V1 and U1, E1 and W1, a
point and a comma are read whatever is set.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Final, Literal, NamedTuple, TypeAlias, get_args

from grammar.refusals import Refusal

if TYPE_CHECKING:
    from grammar.writing import Style

Setting: TypeAlias = Literal[
    "difference", "pd_letter", "energy_letter", "decimal_sign", "figures", "asked", "row", "beside"
]
WhatIsAsked: TypeAlias = Literal["everything", "what is open", "results", "the end"]


class Settings(NamedTuple):
    """``difference`` is what a p.d. is called, ``figures`` how many a rounded number keeps.

    ``asked``: everything; what is open, where what is forced or was right often enough is told;
    results, where choices and what is shared are told; or the end, where the steps are asked only
    if it goes wrong. ``row`` is what capacitors one after the other are called; ``beside`` says
    whether 'in series' and 'in parallel' are said as well.
    """

    difference: Literal["p.d.", "voltage", "potential difference"] = "p.d."
    pd_letter: Literal["V", "U"] = "V"
    energy_letter: Literal["E", "W"] = "E"
    decimal_sign: Literal["point", "comma"] = "point"
    figures: int = 4
    asked: WhatIsAsked = "everything"
    row: Literal["chain", "series group"] = "chain"
    beside: Literal["nothing", "in series"] = "nothing"

    @property
    def differences(self) -> str:
        """The word for more than one p.d."""
        return {
            "p.d.": "p.d.s", "voltage": "voltages", "potential difference": "potential differences"
        }[self.difference]

    @property
    def at_the_end(self) -> str:
        """The word for a p.d. as the last of a sentence, its full stop included."""
        return self.difference if self.difference.endswith(".") else f"{self.difference}."

    @property
    def style(self) -> Style:
        """How numbers are printed."""
        from grammar.writing import Style

        return Style(self.figures, self.decimal_sign == "comma")

    def worded(self, text: str) -> str:
        """What is said, in the learner's word for a chain, and then for a parallel set as well."""
        if self.row == "chain":
            return text
        text = re.sub(r"\bparallel set(s?)\b", r"parallel group\1", text)
        text = re.sub(r"\bChain(s?)\b", r"Series group\1", text)
        return re.sub(r"\bchain(s?)\b", r"series group\1", text)

    def understood(self, line: str) -> str:
        """A learner's line; with a decimal comma set, 2,222 is no longer read in two ways."""
        if self.decimal_sign == "point":
            return line
        return re.sub(r"(?<![\d.,])([1-9]\d{0,2}),(\d{3})(?![\d.,])", r"\1.\2", line)


CHOICES: Mapping[Setting, tuple[str | int, ...]] = MappingProxyType({
    "difference": ("p.d.", "voltage", "potential difference"),
    "pd_letter": ("V", "U"),
    "energy_letter": ("E", "W"),
    "decimal_sign": ("point", "comma"),
    "figures": (3, 4, 5, 6),
    "asked": get_args(WhatIsAsked),
    "row": ("chain", "series group"),
    "beside": ("nothing", "in series"),
})
DEFAULTS: Final = Settings()
# What a learner has who has set nothing.
USUAL: Final = DEFAULTS._replace(asked="what is open")

EXAMPLES = (
    "Settings are changed like this: set figures 3; set decimal comma; set p.d. voltage; "
    "set letters U W; ask for everything; ask for results only; ask for the end only."
)
ASKED_WORDS: Mapping[WhatIsAsked, str] = MappingProxyType({
    "everything": "Everything is asked.",
    "what is open": "What is forced, or was right often enough, is told and not asked.",
    "results": "Results alone are asked; which to combine and what is shared are told.",
    "the end": "The end alone is asked; where that goes wrong, its steps are.",
})
_ONE_WORD: tuple[tuple[str, str], ...] = (
    (r"potential[\s-]+differences?", "potential_difference"),
    (r"p\.?\s?d\.?s?", "pd"),
    (r"series[\s-]+groups?", "series_group"),
    (r"in\s+series|in\s+parallel", "in_series"),
    (r"our\s+own\s+words|your\s+own\s+words", "own_words"),
    (r"significant|figures?|figs?|sig|s\.?\s?f\.?|digits?", "figures"),
)
_MEANING: Mapping[str, tuple[Setting, str]] = MappingProxyType({
    "comma": ("decimal_sign", "comma"), "commas": ("decimal_sign", "comma"),
    "point": ("decimal_sign", "point"), "points": ("decimal_sign", "point"),
    "dot": ("decimal_sign", "point"), "v": ("pd_letter", "V"), "u": ("pd_letter", "U"),
    "e": ("energy_letter", "E"), "w": ("energy_letter", "W"),
    "pd": ("difference", "p.d."), "voltage": ("difference", "voltage"),
    "voltages": ("difference", "voltage"),
    "potential_difference": ("difference", "potential difference"),
    **dict.fromkeys(("chain", "chains"), ("row", "chain")),
    "series_group": ("row", "series group"), "in_series": ("beside", "in series"),
    "own_words": ("beside", "nothing"),
    **dict.fromkeys(("everything", "all"), ("asked", "everything")),
    **dict.fromkeys(("open", "usual"), ("asked", "what is open")),
    **dict.fromkeys(("result", "results"), ("asked", "results")),
    **dict.fromkeys(("end", "ends"), ("asked", "the end")),
})
_NUMBERS: Mapping[str, int] = MappingProxyType({"three": 3, "four": 4, "five": 5, "six": 6})
_FILLER = frozenset(
    (
        "to", "the", "a", "an", "as", "use", "for", "and", "with", "word", "words", "letter",
        "letters", "decimal", "decimals", "sign", "marker", "number", "of", "be", "is", "in",
        "figures", "energy", "please", "now", "call", "it", "instead", "ask", "asked", "asks", "me",
        "only", "alone", "just", "what",
    )
)


def changed(settings: Settings, name: str, value: object) -> Settings:
    """The settings with one of them changed. Errors: ``Refusal`` for what cannot be set so."""
    allowed = {str(setting): values for setting, values in CHOICES.items()}.get(name)
    if allowed is None:
        raise Refusal(
            f"There is no setting {_short(name)}.", f"The settings are {', '.join(CHOICES)}."
        )
    if isinstance(value, bool) or value not in allowed or isinstance(value, float):
        shown = f'"{value}"' if isinstance(value, str) else "that"
        if not isinstance(value, str) and not (isinstance(value, int) and abs(value) > 10**9):
            shown = str(value).lower()
        *most, last = [f'"{each}"' if isinstance(each, str) else str(each) for each in allowed]
        raise Refusal(
            f"{name} cannot be {_short(shown)}.", f"It may be {', '.join(most)} or {last}."
        )
    return settings._replace(**{name: value})  # type: ignore[arg-type]  # checked just above


def set_by_words(settings: Settings, line: str) -> Settings:
    """The settings after words such as ``figures 3, decimal comma`` or ``letters U W``.

    Of two words for a p.d. the last one counts; where its letter is set, none does. Errors:
    ``Refusal`` where a word of the line sets nothing.
    """
    text = line.strip(" .;")
    for pattern, word in _ONE_WORD:
        text = re.sub(rf"(?i)(?<!\w)(?:{pattern})(?!\w)", f" {word} ", text)
    wanted: dict[Setting, str | int] = {}
    for word in re.findall(r"[^\s,;:=.\"']+", text.lower()):
        if word in _MEANING:
            setting, value = _MEANING[word]
            wanted[setting] = value
        elif word.isdecimal() or word in _NUMBERS:
            wanted["figures"] = _NUMBERS.get(word) or int(word[:9])
        elif word not in _FILLER:
            raise Refusal(f"{_short(word)} cannot be set.", EXAMPLES)
    if "pd_letter" in wanted:
        wanted.pop("difference", None)
    if not wanted:
        raise Refusal("Nothing is said there that can be set.", EXAMPLES)
    for setting, chosen in wanted.items():
        settings = changed(settings, setting, chosen)
    return settings


def in_words(settings: Settings) -> str:
    """Every setting with its value, and how to change it."""
    return "\n".join([
        f"Between two points there is a {settings.difference}, written {settings.pd_letter}; "
        f"stored energy is written {settings.energy_letter}.",
        f"Numbers have a decimal {settings.decimal_sign}; one that does not end is rounded to "
        f"{settings.figures} figures.",
        f"Capacitors one after the other are a {settings.row}; " + (
            "'in series' and 'in parallel' are said as well." if settings.beside == "in series"
            else "'set in series' has 'in series' and 'in parallel' said as well."
        ),
        ASKED_WORDS[settings.asked],
        EXAMPLES,
    ])


_TO_BE_ASKED = re.compile(
    r"(?i)\s*(?:please\s+)?(?:(?:only|just)\s+)?ask\s+(?:me\s+)?(?:(?:only|just)\s+)?(?:for\s+)?"
    r"(?:(?:only|just)\s+)?(?:the\s+)?(?:everything|all|results?|end|as usual|what is open)"
    r"(?:\s+(?:only|alone|please|now))*[\s.!]*"
)


_LESS_TO_BE_ASKED = re.compile(
    r"(?i)\s*(?:please\s+)?(?:(?:can|could)\s+(?:you|u|we|i)\s+)?(?:please\s+)?"
    r"(?:ask\s+(?:me\s+)?(?:a\s+bit\s+)?(?:less|fewer)|(?:have\s+|get\s+)?(?:fewer|less)\s+questions?)\b"
    r"(?:\s+(?:questions?|please|pls|now|from\s+(?:now|here)\s+on))*(?:[\s.!?]*|,.*)"
)


def setting_in(line: str, names: Collection[str]) -> str | None:
    """What follows ``set`` in a line that changes settings, and all of one that says what is to
    be asked for; None for any other line.

    ``names`` are those of capacitors: ``set C1 C2`` speaks of a set.
    """
    if _TO_BE_ASKED.fullmatch(line):
        return line
    if _LESS_TO_BE_ASKED.fullmatch(line):
        return "results"
    found = re.match(r"(?is)\s*(?:please\s+)?set\s+(.+)", line)
    if found is None:
        return None
    words = set(re.findall(r"[\w']+", found[1].lower()))
    return None if words & {name.lower() for name in names} else found[1]


def _short(text: str) -> str:
    return text if len(text) <= 30 else text[:27] + "..."
