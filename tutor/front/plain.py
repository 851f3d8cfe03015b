"""Text for the page: plain ASCII where nothing else may be printed, and lines of one width."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from grammar.shown import visible

NARROWEST, WIDEST = 40, 200
BOX = "─│┌┬┐├┼┤└┴┘╢╟═╧╤"
PLAIN_BOX = "-|+++++++++||---"

_SIGNS: Mapping[int, str] = str.maketrans(
    {
        "µ": "u", "μ": "u", "×": "x", "·": "*", "÷": "/", "−": "-", "–": "-", "—": "--",
        "½": "1/2", "¼": "1/4", "¾": "3/4", "±": "+-", "≤": "<=", "≥": ">=", "≠": "!=",
        "∙": "*", "⋅": "*", "∕": "/", "≃": "~", "≅": "~",
        "√": "sqrt ", "∞": "infinity", "→": "->", "⇒": "=>", "⟹": "=>", "⟶": "->",
        "∴": "so ", "↑": "up", "↓": "down",
        "\ufeff": "", "∥": "||", "‖": "||", "…": "...", "′": "'",
        "‘": "'", "’": "'", "“": '"', "„": '"', "”": '"', "°": " degrees",
        "Ω": "ohm", "\u2126": "ohm",
        "⇝": "->", "ε": "epsilon", "κ": "kappa", "Δ": "delta ", "Σ": "sum ", "π": "pi", "•": "*",
        "\u00a0": " ", "\u2009": " ", "\u202f": " ",
    }
)  # fmt: skip
_RAISED: Mapping[int, int] = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻", "0123456789+-")
_RUN_OF_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻]+")
# Where a line must not end: inside one number, between it and its unit, round a sign of equality.
_GLUED = re.compile(
    r"(?<=\d) (?=\d{3}(?!\d))|(?<=\d) (?=[pnµukmM]?[FVCJ](?!\w))|(?<=\d) (?=[×x] 10\^)"
    r"|(?<=\d [×x]) (?=10\^)| (?=[=≈] [−-]?\d)|(?<= [=≈]) (?=[−-]?\d)"
)


class Page(NamedTuple):
    """How printed text may look: ``width`` in columns, ASCII alone, and whether it has drawings."""

    width: int = 78
    ascii: bool = False
    drawings: bool = True

    @property
    def columns(self) -> int:
        """The width, kept from 40 to 200."""
        return max(NARROWEST, min(WIDEST, self.width))

    def plain(self, text: str) -> str:
        """The text in the characters that this page allows."""
        text = visible(text, "\n")
        return to_ascii(text) if self.ascii else text

    def wrapped(self, text: str, indent: str = "") -> list[str]:
        """Lines broken between words; a word longer than a line is cut. No amount is parted."""
        from textwrap import wrap

        glued = _GLUED.sub("\u00a0", self.plain(text))
        lines = wrap(
            glued,
            self.columns,
            initial_indent=indent,
            subsequent_indent=f"{indent}  ",
            break_on_hyphens=False,
        )
        return [line.replace("\u00a0", " ").rstrip() for line in lines]


def to_ascii(text: str) -> str:
    """The text in ASCII alone: uF, x, 1/2, C^2, ~ for ≈; ? for a sign unknown here."""
    if text.isascii():
        return text
    text = text.replace("≈", "~")
    text = re.sub("(?<=[0-9])(?=[½¼¾])", " ", text)
    text = _RUN_OF_RAISED.sub(lambda run: f"^{run[0].translate(_RAISED)}", text)
    text = text.translate(_SIGNS).translate(str.maketrans(BOX, PLAIN_BOX))
    if text.isascii():
        return text
    from unicodedata import combining, normalize

    parted = normalize("NFKD", text)
    kept = "".join(each for each in parted if not combining(each))
    return kept.encode("ascii", "replace").decode("ascii")
