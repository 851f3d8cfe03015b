"""Requests within courtesies, and beside what is no part of them: could you undo that, please."""

from __future__ import annotations

import re
from typing import Literal

from tutor.teaching.act_signs import BREAKS_IN, FILLER
from tutor.teaching.hearing import Request, request_in
from tutor.teaching.kinds_of_act import spelt_out


def polite_request(line: str) -> Request | Literal["unsure"] | None:
    """A request within courtesies, or with something that is no part of it behind a stop."""
    text = BREAKS_IN.sub("", spelt_out(line))
    if re.search(r"\b(?:just|only) the values\b", text):
        return None  # an answer to what it is that adds
    text = re.sub(rf"^{FILLER}(?=\S+ \S)", "", text)
    piece = re.split(r"[,.!?;]| - ", text)[0]
    final = re.split(r"[,.!?;]| - ", text.strip(" .!"))[-1].strip()
    if final != piece and request_in(re.sub(rf"^{FILLER}", "", final)) == "show" and (
        len(final.split()) > 2 and not re.search(r"\d|=", text)
    ):
        return "show"
    piece = re.sub(
        rf"^{FILLER}(?:(?:can|could|may|would|will|shall) (?:you|u|i|we) )?(?:please |pls |just )?"
        r"(?:(?:see|have|get|give me|show me|let me see|i want|i need|i would like) )?"
        r"(?:(?:a|the|another|some|one more) )?(?:little |small |tiny )?", "", piece)
    piece = re.sub(r"\s*\b(?:but|and|only)? ?not (?:the|an) answer\b", "", piece)
    piece = re.sub(
        r"\s*\b(?:pls|plz|please|first|again|for me|of it|of this|of that|thx|thanks|then|now"
        r"|a bit)\b", "", piece).strip()
    rest = text[len(re.split(r"[,.!?;]| - ", text)[0]) :]
    if len(piece.split()) > 1 and (back := _goes_back(piece, rest)) is not None:
        return back  # whatever is to come in its place
    if re.search(r"\d\s*(?:[pnuµm]?[fvcj]\b|$)|=", rest):
        return None
    if re.search(r"\w", rest) and len(piece.split()) < 2 and piece not in ("undo", "hint", "clue"):
        return None
    if re.fullmatch(r"(?:solve|do|work out|calculate) .{2,30}", piece) and "for me" in text:
        return "show"
    known = request_in(piece) if piece else None
    if known is not None or re.search(r"\d|=", text):
        return known
    from tutor.teaching.own_requests import wish_in  # late: most lines wish for nothing

    return wish_in(text)


def _goes_back(piece: str, rest: str) -> Request | None:
    """The wish to undo or to start again that a piece of a line makes, whatever the ``rest`` is."""
    if (known := request_in(piece)) in ("undo", "restart"):
        return known
    if not re.search(r"\w", rest) or re.search(r"\d|=", piece):
        return None
    from tutor.teaching.own_requests import wish_in  # late: most lines wish for nothing

    wished = wish_in(piece)
    return wished if wished in ("undo", "restart") else None
