"""Answers as whoever leads types them: a line each, or a tally such as '12 charge, 13 p.d.'."""

from __future__ import annotations

import re
from typing import Final

MOST_TIMES: Final = 500
_PIECES = re.compile(r"\s*[,;]\s*(?=\d+\s*(?:[x×:]\s*)?\S)")
_COUNTED = re.compile(r"(\d{1,3})\s*(?:[x×:]\s*|\s)\s*(\S.*)")
# What after a number is no answer of its own but the number's unit, or the rest of a sum or a list.
_UNIT = re.compile(r"[pnµμumkM]?[FVCJ]\b|[a-z]*(?:farads?|volts?|coulombs?|joules?)\b")
_GOES_ON = re.compile(
    r"[-+*/×÷^=)|&%]|(?:and|or|nor|not|with|to|is|are|has|have|goes|gets?|joins?|plus|minus|times|over)\b"
)


def answers_in(line: str) -> list[tuple[int, str]]:
    """The answers of a line, each with how many gave it.

    '5 4.2 uF, 3 10 uF' is eight answers, '4.2 uF' one, and 'p.d., P and B' one as well.
    """
    pieces = _PIECES.split(line.strip())
    found = [_COUNTED.fullmatch(piece) for piece in pieces]
    counted = [(int(each[1]), each[2].strip()) for each in found if each is not None]
    is_tally = (
        len(counted) == len(pieces)
        and all(0 < times <= MOST_TIMES and not _GOES_ON.match(text) for times, text in counted)
        and not all(_UNIT.match(text) for _, text in counted)
    )
    return counted if is_tally else [(1, line.strip())]
