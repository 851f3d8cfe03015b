"""Lines of a list spoken of by their labels: ``1) 9 nF`` and later ``2 and 3 parallel``."""

from __future__ import annotations

import re
from typing import Final

_LABELLED: Final = re.compile(
    r"(?m)^[ \t]*[-*]?[ \t]*\(?([1-9]|[a-h])[.):]?[)=]?[ \t]+"
    r"(?=[0-9.,]+ ?-?[a-zA-Zuµμ]*F?[ \t]*[;,]?$)"
)
_NEAR: Final = r"(?:,|and|&|\+|in|is|are|series|parallel|par|ser|with|to|both|goes|go)"


# Lines that say more than a value, spoken of later as number two.
_NUMBERED: Final = re.compile(r"(?m)^[ \t]*\(?([1-9])[.):]+[ \t]+(?=[0-9.,]+ ?-?[unpµμ]F\b)")
_BY_NUMBER: Final = re.compile(r"(?i)\b(?:no\.?|number|nr\.?) ?([1-9])(?![0-9.])")


def with_labels(text: str) -> str:
    """The text with names for the labels of its values, where it speaks of these later."""
    numbers = _NUMBERED.findall(text)
    if len({*numbers}) > 1 and {*_BY_NUMBER.findall(text)} & {*numbers}:
        text = _NUMBERED.sub(lambda each: f"{_name(each[1])} = ", text)
        return _BY_NUMBER.sub(lambda said: _name(said[1]), text)
    labels = _LABELLED.findall(text)
    if len(labels) < 2 or len(set(labels)) < len(labels):
        return text
    rest = "\n".join(line for line in text.split("\n") if not _LABELLED.match(line))
    spoken_of = re.compile(
        rf"(?<![0-9.a-zA-Z])([{''.join(labels)}])(?=\s*{_NEAR}(?![a-zA-Z])|[ \t]*[.,;\n]|[ \t]*$)"
        rf"(?!\s*,?[0-9.])(?!\s?(?:[unpm]?F|V)\b)"
    )
    said = spoken_of.findall(rest)
    if len(set(said)) < 2 or not re.search(r"(?i)\b(?:series|ser|par\w*)\b", rest):
        return text
    lines = []
    for line in text.split("\n"):
        if _LABELLED.match(line):
            lines.append(_LABELLED.sub(lambda each: f"{_name(each[1])} = ", line))
        else:
            lines.append(spoken_of.sub(lambda each: _name(each[1]), line))
    return "\n".join(lines)


def _name(label: str) -> str:
    return f"C{label}" if label.isdigit() else f"C_{label}"
