"""What a capacitor bears, and what may be put on all of them, said in other words."""

from __future__ import annotations

import re
from typing import Final

_VOLTS: Final = r"(?P<volts>[0-9.]+ ?k?V(?:olts?)?)\b"
_BEARS: Final = re.compile(
    r"(?i)(?:(?:,? (?:which|that|and))? (?:may|can|could|must|should|will|is allowed to"
    r"|is good for)"
    r"(?: only)?(?: safely)?(?: (?:have|take|bear|see|carry|get|withstand|stand|survive|tolerate"
    r"|endure|be (?:charged|given|put on"
    r"|used at)))?"
    r"(?: to)?|,? (?:with |of |for )?(?:which )?(?:the |a |its )?(?:safe )?(?:limit|maximum|max\.?)"
    r"(?: (?:is|of|being))?(?: at)?|,?(?: up to)?)"
    rf"(?: (?:at (?:the )?most|no more than|not more than|a maximum of))? ?{_VOLTS}"
    r"(?: (?:at most|max(?:imum)?|across it|on it))*"
)
_LIMITED: Final = re.compile(
    r"(?i)safely|at (?:the )?most|(?:no|not) more than|limit|max(?:imum)?\b|is good for"
)
_ASKS_FOR_IT: Final = re.compile(
    r"(?i)\bmax\b|\bmaximum|\b(?:greatest|highest|largest|most)\b|\bhow many volts (?:dare|may"
    r"|can)\b"
)
_APPLIED: Final = (
    r"(?: (?:to|on|across|over))?(?: (?:the|them|it|both|two|these|this|all)\b(?: \w+)?)?"
)
_MOST: Final = re.compile(
    r"(?i)(?:(?:what(?: is|'s)?|find|calculate|determine) )?(?:the )?\b(?:greatest|highest|largest"
    r"|maximum) (?:voltage|p\.?d\.?|potential difference|tension) (?:that|which) (?:may|can) "
    rf"(?:safely )?be (?:applied|put){_APPLIED}|(?:^|(?<=[.\n;] )|(?<=\n))max\.? (?:total"
    rf"|overall) (?:voltage|volts)"
    r"|how (?:many volts|much voltage) (?:dare|may|can|could) (?:i|we|you|one) (?:put|have"
    r"|apply|hang)"
    rf"{_APPLIED}"
)


def with_limits_told(text: str) -> str:
    """The text with each limit as a rating, where it has two of them and asks for the greatest
    p.d. of all.
    """
    told = [each for each in _BEARS.finditer(text) if _LIMITED.search(each[0])]
    if len(told) >= 2 and _ASKS_FOR_IT.search(text) and "rated" not in text:
        text = _BEARS.sub(
            lambda each: f" rated {each['volts']}" if _LIMITED.search(each[0]) else each[0], text
        )
    return _MOST.sub("what is the maximum voltage", text, count=1)
