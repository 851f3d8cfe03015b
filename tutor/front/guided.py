"""A drawing in a book, typed in point by point: what ends here, and where does it lead.

Pure: a line in, messages and the next state out. The result is a list of joins in the notation
for networks, so that everything the grammar refuses is refused here in the same words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from grammar.reading import read_network
from grammar.records import Refusal
from grammar.refusals import show
from tutor.circuit.network import INNER_POINT_LETTERS, build
from tutor.front.pieces import (
    POINT,
    Piece,
    check_points,
    named_value,
    piece_at,
    supply_clause,
)
from tutor.teaching.hearing import plain, request_in, yes_or_no
from tutor.teaching.messages import Message
from tutor.teaching.speech import Terms, listed
from tutor.teaching.turn import of_walk, speech_of
from tutor.teaching.walk import begin_walk
from tutor.teaching.wording import Wording

NONE_WORDS = (
    "no", "n", "none", "nothing", "no more", "nothing more", "nothing else", "that is all",
)  # fmt: skip
LONGEST_QUOTED = 40
BACK_WORDS = ("back", "undo", "go back")
HELP = """\
Say for one point after another what ends there; give points without a letter one of your own.
A capacitor is typed with its value and, if you like, its other end: C1 4 uF, or C1 4 uF to P.
'none' says that nothing more ends at a point; 'back' takes the last answer back.
All is read to you before the walk begins, and any line can then be typed anew."""


class Guided(NamedTuple):
    """What has been read off the drawing so far.

    ``seen`` are the points that have been asked about; ``supply`` is None until asked, and
    empty for none; ``wrong`` the name of a capacitor to be typed again; ``before`` the states
    to go back to, newest last.
    """

    terms: Terms
    ends: tuple[str, ...] = ()
    pieces: tuple[Piece, ...] = ()
    seen: tuple[str, ...] = ()
    supply: str | None = None
    wrong: str = ""
    before: tuple[Guided, ...] = ()

    @property
    def points(self) -> tuple[str, ...]:
        """Every point named so far, the second end last."""
        inner = [p for piece in self.pieces for p in (piece.start, piece.end) if p]
        named = dict.fromkeys([*self.ends[:1], *inner])
        return (*(p for p in named if p not in self.ends[1:]), *self.ends[1:])

    @property
    def text(self) -> str:
        """The drawing as a list of joins."""
        lines = [piece.text for piece in self.pieces]
        lines.append(f"ends {' and '.join(self.ends)}")
        return "; ".join([*lines, *([self.supply] if self.supply else [])])


class Reply(NamedTuple):
    """The next state and what is said; ``text`` once the learner has said yes to it."""

    guided: Guided
    messages: tuple[Message, ...]
    text: str | None = None


def begin_guided(terms: Terms) -> Reply:
    """The first question."""
    start = Guided(terms)
    lead = "Let us read the drawing off point by point. 'back' takes the last answer back."
    return Reply(start, (Message("say", lead), ask(start)))


def respond(guided: Guided, text: str) -> Reply:
    """Answer what the learner types: of several lines each as if typed by itself, up to one that
    is not taken.
    """
    lines = [line for line in text.splitlines() if line.strip()] or [""]
    reply = Reply(guided, ())
    for number, line in enumerate(lines, start=1):
        before, reply = reply.guided, _respond(reply.guided, line)
        if reply.text is not None or number == len(lines):
            break
        if reply.guided is before:
            rest = Message("say", f"The lines after '{_in_short(line)}' were not taken.")
            return reply._replace(messages=(*reply.messages[:-1], rest, reply.messages[-1]))
    return reply


def _in_short(line: str) -> str:
    return line.strip() if len(line.strip()) <= LONGEST_QUOTED else f"{line.strip()[:37]}..."


def _respond(guided: Guided, line: str) -> Reply:
    words = plain(line)
    if words in BACK_WORDS:
        if not guided.before:
            return _again(guided, "There is nothing to take back yet.")
        *earlier, last = guided.before
        return _on(last._replace(before=tuple(earlier)), "Taken back.")
    if request_in(line) in ("unsure", "hint"):
        return _again(guided, _where_to_look(guided))
    try:
        return _answer(guided, line, words)
    except Refusal as refusal:
        return _again(guided, str(refusal))


def _where_to_look(guided: Guided) -> str:
    """What to do to find the answer to the question in hand."""
    if not guided.ends:
        return "Write A where + of the supply is joined and B at its other end; then type A B."
    if (loose := _loose(guided)) is not None:
        return (
            f"Follow the line from the other side of {loose.words} to where it meets something. "
            "If that place has no letter yet, type new."
        )
    if (point := _next_point(guided)) is not None:
        return (
            f"Go along all the line that touches {point}: whatever it runs into ends there. Leave "
            "out what is typed already."
        )
    if guided.supply is None:
        return "Look for a value in volts beside the supply; if none is given, type none."
    return "Lay a finger on each of the list above in the drawing; if all fit, type yes."


def _answer(guided: Guided, line: str, words: str) -> Reply:
    if not guided.ends:
        return _named_ends(guided, line)
    if (loose := _loose(guided)) is not None:
        return _other_end(guided, loose, line, words)
    if (point := _next_point(guided)) is not None:
        return _at_point(guided, point, line, words)
    if guided.supply is None:
        return _supply(guided, line, words)
    return _judged(guided, line, words)


def ask(guided: Guided) -> Message:
    """The question in hand."""
    return Message("ask", _question(guided))


def _question(guided: Guided) -> str:
    if not guided.ends:
        return (
            "What do you call the two ends, the one joined to + first? Like A B. "
            "If the drawing has no letters, pencil some in."
        )
    if (loose := _loose(guided)) is not None:
        named = listed([p for p in guided.points if p != loose.start], "or")
        return f"Where does the other end of {loose.words} go: to {named}, or to a new point?"
    if (point := _next_point(guided)) is not None:
        return _question_at(guided, point)
    if guided.supply is None:
        ends = listed(guided.ends)
        return f"What is joined to {ends}? Like 12 V; or 24 uC for a charge given; or none."
    if guided.wrong:
        return f"Type {guided.wrong} again, value and both points, like {guided.wrong} 4 uF A P."
    return "Is that your drawing? Type yes, or the capacitor that is wrong, or remove and its name."


def _question_at(guided: Guided, point: str) -> str:
    there = [p.words for p in guided.pieces if point in (p.start, p.end)]
    if not guided.pieces:
        return (
            f"Put a finger on {point}. Which capacitors end there, with their values? "
            "Like C1 4 uF, C2 2 uF; a wire is called wire."
        )
    if there:
        return f"At {point} there {_is(there)} {listed(there)}. What else ends there, or none?"
    return f"What ends at {point}, or none?"


def _is(names: list[str]) -> str:
    return "is" if len(names) == 1 else "are"


def _loose(guided: Guided) -> Piece | None:
    return next((piece for piece in guided.pieces if not piece.end), None)


def _next_point(guided: Guided) -> str | None:
    return next((point for point in guided.points if point not in guided.seen), None)


def _named_ends(guided: Guided, line: str) -> Reply:
    named = re.findall(POINT, re.sub(r"(?i)\b(?:and|ends)\b", " ", line))
    if re.fullmatch(r"\s*\d[\d.,]*\s*(?:[pnuµμm]F|k?V|[pnuµμm]C)\s*", line):
        return _again(guided, "That is a value; its turn comes later. Here two names are needed.")
    if len(named) != 2 or named[0] == named[1]:
        return _again(guided, "Two different names are needed.")
    check_points(*named)
    return _on(_step(guided, ends=(named[0], named[1])))


def _at_point(guided: Guided, point: str, line: str, words: str) -> Reply:
    seen = (*guided.seen, point)
    if words in NONE_WORDS or not words:
        return _on(_step(guided, seen=seen))
    pieces = list(guided.pieces)
    for item in re.split(r";|,(?!\d)|\band\b", line):
        if item.strip():
            pieces.append(piece_at(item, point, pieces))
    return _on(_step(guided, pieces=tuple(pieces), seen=seen))


def _other_end(guided: Guided, loose: Piece, line: str, words: str) -> Reply:
    new = words in ("new", "a new point", "new point", "to a new point")
    named = re.findall(POINT, re.sub(r"(?i)\b(?:to|at|point|a new|new)\b", " ", line))
    if new:
        named = [next(_fresh(guided))]
    if len(named) != 1:
        return _again(guided, "One point is needed: its name, or the word new.")
    check_points(loose.start, named[0])
    pieces = tuple(p._replace(end=named[0]) if p is loose else p for p in guided.pieces)
    said = f"The new point is called {named[0]}; pencil that in." if new else ""
    return _on(_step(guided, pieces=pieces), said)


def _fresh(guided: Guided) -> Iterator[str]:
    yield from (letter for letter in INNER_POINT_LETTERS if letter not in guided.points)
    yield from (f"P{n}" for n in range(2, 10**6) if f"P{n}" not in guided.points)


def _supply(guided: Guided, line: str, words: str) -> Reply:
    if words in NONE_WORDS or not words:
        return _on(_step(guided, supply=""))
    return _on(_step(guided, supply=supply_clause(line)))


def _judged(guided: Guided, line: str, words: str) -> Reply:
    """What the learner says to the drawing as it was read back."""
    if yes_or_no(line) and not guided.wrong:
        try:
            build(read_network(guided.text))
        except Refusal as refusal:
            return _again(guided, str(refusal))
        return Reply(guided, (), guided.text)
    if words in NONE_WORDS:
        return _again(guided, "Which line is wrong, or which is missing? Type it as it should be.")
    gone = re.fullmatch(r"(?i)\s*(?:remove|delete|take out)\s+(.+?)\s*", line)
    if gone:
        return _without(guided, gone[1])
    by_name = {piece.name.lower(): piece for piece in guided.pieces if piece.value}
    if named := by_name.get(line.strip().lower()):
        return Reply(marked := guided._replace(wrong=named.name), (ask(marked),))
    if not re.match(r"\s*[A-Za-z]", line):
        return _on(_step(guided, supply=supply_clause(line)))
    return _on(_corrected(guided, line))


def _without(guided: Guided, what: str) -> Reply:
    wire = re.fullmatch(
        rf"(?i)(?:the\s+)?wire\s+(?:from\s+)?({POINT})\s+(?:to\s+)?({POINT})", what
    )
    kept = tuple(
        piece
        for piece in guided.pieces
        if (not wire or piece.value or {piece.start, piece.end} != {wire[1], wire[2]})
        and (wire or piece.name.lower() != what.lower())
    )
    if len(kept) == len(guided.pieces):
        return _again(guided, f"There is no {what} in the list.")
    return _on(_step(guided, pieces=kept))


def _corrected(guided: Guided, line: str) -> Guided:
    """A line typed anew: C2 4 uF keeps its points, C2 4 uF A P gives all, wire P R adds one.

    Errors: ``Refusal`` for a line that is none of these.
    """
    text = line.strip().rstrip(".")
    old = {piece.name.lower(): piece for piece in guided.pieces if piece.value}
    held: Piece | None = None
    try:
        name, value = named_value(text)
    except Refusal:
        piece = _typed_anew(text)
        held = old.get(piece.name.lower()) if piece.value else None
    else:
        held = old.get(name.lower())
        if held is None:
            missing = f"{name} has no points yet."
            raise Refusal(missing, f"Type them too, like {name} {value} A P.") from None
        piece = held._replace(value=value)
    if held is None:
        pieces = (*guided.pieces, piece)
    else:
        pieces = tuple(piece if each is held else each for each in guided.pieces)
    seen = tuple(dict.fromkeys([*guided.seen, piece.start, piece.end]))
    return _step(guided, pieces=pieces)._replace(seen=seen, wrong="")


def _typed_anew(text: str) -> Piece:
    """C2 4 uF A P, or wire P R. Errors: ``Refusal`` for a line that is neither."""
    full = re.fullmatch(rf"(.+?)\s+(?:from\s+)?({POINT})\s+(?:to\s+|and\s+)?({POINT})", text)
    if full is None:
        raise Refusal("I cannot read that line.", "Type it like C2 4 uF A P, or wire P R.")
    check_points(full[2], full[3])
    if full[1].lower() == "wire":
        return Piece("", "", full[2], full[3])
    name, value = named_value(full[1])
    if not name:
        raise Refusal("The name is missing.", f"Type it too, like C9 {value} {full[2]} {full[3]}.")
    return Piece(name, value, full[2], full[3])


def _step(guided: Guided, **changes: object) -> Guided:
    """The next state, which can be taken back."""
    kept = (*guided.before, guided._replace(before=()))
    return guided._replace(before=kept, **changes)  # type: ignore[arg-type]


def _again(guided: Guided, said: str) -> Reply:
    return Reply(guided, (Message("say", said), ask(guided)))


def _on(guided: Guided, said: str = "") -> Reply:
    """The next question, after the drawing has been read back where all is in."""
    messages = [Message("say", said)] if said else []
    all_in = guided.ends and _loose(guided) is None and _next_point(guided) is None
    if all_in and guided.supply is not None and not guided.wrong:
        messages.append(_read_back(guided))
    return Reply(guided, (*messages, ask(guided)))


def _read_back(guided: Guided) -> Message:
    try:
        problem = build(read_network(guided.text))
    except Refusal as refusal:
        return Message("say", show(refusal))
    walk = begin_walk(problem, guided.terms)
    return Message("say", Wording(speech_of(walk)).opening(walk), drawn=of_walk(walk))
