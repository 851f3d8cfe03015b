"""A line of predictions: which quantities go up, down or stay, and values given for them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from grammar.answers import Measure, evaluate, known, read_claims
from grammar.expressions import Name
from grammar.records import Dimension, Refusal
from tutor.circuit.values import in_letters
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reading.because_words import BECAUSE_OR_AS
from tutor.teaching.whatif.change import Direction, Supposing, comparable, offered
from tutor.teaching.whatif.owners_said import with_owners

# What is denied of these says no more than that; of any other doing, that it stays.
_MOVES = (
    r"go|goes|rise|fall|up|down|grow|drop|increase|decrease|double|halve|know|think|get|gain|lose"
    r"|shrink|climb|sink|become|be|have|do|so|necessarily|stay|remain|keep|more|less|really|even"
)
_WAYS: Mapping[Direction, str] = MappingProxyType({
    "same": r"(?:does|do|will|would|should)?\s*(?:no|not|n't|never)[\s-]*(?:really\s+)?chang\w*|"
            r"doesn'?t chang\w*|don'?t chang\w*|won'?t chang\w*|same|unchanged|constant|stay\w*|"
            r"(?:is|are)\s*(?:not|n't)\s*(?:really\s+)?"
            r"(?:affected|touched|changed|moved|bothered|disturbed|altered|influenced)|"
            r"(?:does|do|will|would|can|could)\s*(?:not|n't)\s*(?:really\s+|even\s+)?"
            rf"(?!(?:{_MOVES})\b)[a-z]+|"
            r"remains?|unaffected|untouched|fixed|as (?:it was|before)|\u2192",
    "up": r"up|upwards?|rises?|rising|rose|more|bigger|larger|greater|higher|increas\w*|grows?|"
          r"gains?|climbs?|\u2191",
    "down": r"down|downwards?|falls?|falling|fell|less|smaller|lower|decreas\w*|drops?|shrinks?|"
            r"sinks?|reduces?|reduced|lessens?|\u2193",
})
_TIMES: Mapping[str, Fraction] = MappingProxyType({
    r"doubles?|doubled|twice": Fraction(2),
    r"trebles?|triples?|tripled|trebled": Fraction(3),
    r"quadruples?|quadrupled|(?:four|4) times": Fraction(4),
    r"halves|halved|half": Fraction(1, 2),
    r"quarters|quartered|(?:a |one )?quarter": Fraction(1, 4),
})
IN_WORDS: Mapping[str, Symbol] = MappingProxyType({
    r"(?:equivalent |total |whole )?capacitances?": "C",
    r"(?:total |whole )?charges?": "Q",
    r"(?:total )?(?:p\.?\s?d\.?s?|voltages?|potential differences?)": "V",
    r"(?:total |stored )*energy(?: stored)?|energies": "E",
})
_REST = r"(?:all\s+)?(?:the\s+)?(?:rest|others?|remaining)(?:\s+ones?)?|(?:everything|all)\s+else"
_ALL = r"all(?: of them| (?:two|three|four|five|[2-5]))?|everything|every one|each|they|both"
_NOT = r"not|never|n't|no|hardly"
_UNIT_AFTER = re.compile(r"\d\s*(?:[pnuµμmkM]?[FVCJ]|\w*(?:farad|volt|coulomb|joule)s?)\b")
_OF = r"(?:\s+(?:stored\s+)?(?:on|of|across|in|held by)\s+(?P<of>[A-Za-z]\w*'*))?"
_LETTERS: Mapping[Symbol, str] = MappingProxyType({"C": "C", "Q": "Q", "V": "VU", "E": "EW"})


class Predicted(NamedTuple):
    """What is said of one quantity: a direction, a ``factor`` or a value as typed."""

    quantity: Quantity
    way: Direction | None = None
    factor: Fraction | None = None
    value: Measure | None = None


class _Said(NamedTuple):
    """A word that says which way something goes, or how many times it becomes."""

    way: Direction | None = None
    factor: Fraction | None = None


_Mark: TypeAlias = Quantity | _Said


_SIGNS: Mapping[str, Direction] = MappingProxyType(
    {"+": "up", "↑": "up", "-": "down", "−": "down", "–": "down", "↓": "down", "=": "same"}
)


def ways_in_order(line: str, count: int) -> tuple[Direction, ...]:
    """Directions alone, as many as quantities were asked for: up, up, down, same; else none."""
    pieces = [each for each in re.split(r"[\s,;/]+|\band\b", line.strip(" .!")) if each]
    ways = [_SIGNS.get(each) or direction_in(each) for each in pieces]
    said = tuple(way for way in ways if way is not None)
    return said if count > 1 and len(ways) == len(said) == count else ()


def read_predictions(line: str, whatif: Supposing) -> tuple[Predicted, ...]:
    """Everything predicted in a line, each quantity once, the last word on it counting.

    Errors: ``Refusal`` where nothing is predicted, or a name or value cannot be read.
    """
    found: dict[Quantity, Predicted] = {}
    waiting: list[_Mark] = []
    way_of_value: Direction | None = None
    names = names_of(whatif)
    if ordered := ways_in_order(line, len(offered(whatif))):
        return tuple(map(Predicted, offered(whatif), ordered))
    line = _without_its_reason(line)
    line = with_owners(line)
    line = _FOR_INSTANCE.sub(" ", _OF_NO_QUANTITY.sub(" ", line))
    text = _NOT_IN_FULL.sub(r"\1 not", line.replace("’", "'"))
    for piece in _PIECES.split(text):
        if _gives_value(piece):
            for each in _settled(waiting):
                found[each.quantity] = each
            waiting = []
            each = _value(piece, names, letters_of(whatif))
            found[each.quantity] = each
            way_of_value = direction_in(_A_NUMBER.sub(" ", piece))
        else:
            marks = _marks(piece, names, whatif)
            if re.search(rf"(?i)\b(?:{_REST}|nothing\s+else)\b", piece):  # not said before
                marks = [mark for mark in marks if mark not in found and mark not in waiting]
            if marks and not found and not waiting and len(marks) == 1 and (
                isinstance(marks[0], _Said) and piece is not text
            ):
                marks = [offered(whatif)[0], *marks]  # smaller, less charge: the whole is meant
            if len(marks) == 2 and ":" not in piece and isinstance(marks[0], _Said) and (
                not isinstance(marks[1], _Said)
            ):
                marks = [marks[1], marks[0]]  # less charge
            if marks and waiting and _LIKEWISE.search(piece) and not any(
                isinstance(mark, _Said) for mark in marks
            ):
                marks += [mark for mark in waiting if isinstance(mark, _Said)][-1:]
            elif marks and way_of_value and _LIKEWISE.search(piece) and not any(
                isinstance(mark, _Said) for mark in marks
            ):
                marks = [*marks, _Said(way_of_value)]  # C goes up to 17, Q too
            is_aside = waiting and isinstance(waiting[-1], _Said) and not any(
                isinstance(mark, _Said) for mark in marks
            ) and len(re.findall(r"[a-z]{2,}", piece)) > 1
            waiting += [] if is_aside else marks  # V2 up, it gets what C1 loses
    for each in _settled(waiting):
        found[each.quantity] = each
    if not found:
        raise _unread()
    return tuple(found.values())


_PIECES = re.compile(
    r"[;\n]|,(?!\d)|(?<!\.d)\.(?=\s|$)|(?i:\b(?:and|but|while|whereas)\b)"  # no stop: p.d.
)
_FOR_INSTANCE = re.compile(r"(?i),?\s*\bfor\s+(?:instance|example)\b,?")
_A_NUMBER = re.compile(r"\d[\d.,/]*")
# C2 takes less of it: of what is not said, so that it is no guess.
_OF_NO_QUANTITY = re.compile(
    r"(?i)(?<!\bof\s)(?<!\bon\s)\bC\d+\s+(?:now\s+)?(?:has|have|gets|holds|takes|keeps|needs)\s+(?:now\s+)?(?:more|less)"
    r"(?:\s+of\s+(?:it|that|them))?(?:\s+now)?(?=\s*(?:[,;.]|$|(?:and|so|because|since)\b))"
)
_LIKEWISE = re.compile(
    r"(?i)\b(?:too|as\s+well|likewise|ditto|also|so\s+(?:does|do|is|are|will))\b"
)


def _without_its_reason(line: str) -> str:
    """The line up to the reason that is given for it, where that says which way something goes."""
    reason, colon, then = line.rpartition(":")
    if colon and predicts(then) and {*_A_LETTER.findall(reason)} <= {*_A_LETTER.findall(then)}:
        return then  # more capacitance, so more charge: C up, Q up
    head = BECAUSE_OR_AS.split(line)[0].rstrip(" ,;\t")
    if head != line and (of_one := _ONE_OF_THEM.search(head)) and guesses(head[: of_one.start()]):
        head = head[: of_one.start()]  # all rise, V1 because …: of one that has been spoken of
    return head if guesses(head) else line


_ONE_OF_THEM = re.compile(r"\s*(?:[,;.]|\band\b)\s*[CQVUEW]_?\d*'*$")


_A_LETTER = re.compile(r"(?<!\w)[CQVUEW]_?\d*'*(?!\w)")


def direction_in(words: str) -> Direction | None:
    """Which way something is said to go, in words alone; None where none or several are said."""
    said = [way for way, pattern in _WAYS.items() if re.search(rf"(?i)(?<!\w)(?:{pattern})", words)]
    return said[0] if len(said) == 1 or said[:1] == ["same"] else None


def predicts(line: str) -> bool:
    """Whether a line says of some quantity which way it goes."""
    words = "|".join((*_WAYS.values(), *_TIMES))
    named = rf"[CQVUEWcqvue]_?\d*'*|{'|'.join(IN_WORDS)}|{_ALL}"
    said = rf"(?i)(?<!\w)(?:{named})\s+(?:\w+\s+){{0,2}}?(?:{words})(?!\w)"
    return re.search(said, line) is not None


def guesses(line: str) -> bool:
    """Whether a line says which way something goes, or how many times it becomes."""
    words = "|".join((*_WAYS.values(), *_TIMES))
    says = re.search(rf"(?i)(?<!\w)(?:{words})(?!\w)|[-+=](?:\s|$)|^\W*\d", line)
    return says is not None or _gives_value(line)


def is_of_the_rest(clause: str) -> bool:
    """Whether a clause says which way all the others go, or that nothing changes: a guess, and no
    reason for one.
    """
    said = _NOT_IN_FULL.sub(r"\1 not", clause)
    is_of_none = re.match(rf"(?i)\W*(?:(?:and|but|while)\s+)*{_NOTHING}", said) is not None
    return is_of_none or (_OF_THE_REST.match(said) is not None and guesses(said))


_NOT_IN_FULL = re.compile(r"(?i)\b(does|do|wo|wouldn?|will)n['’]?t\b")
_OF_THE_REST = re.compile(rf"(?i)\W*(?:(?:and|but|while)\s+)*(?:{_REST})\b")


def speaks_of_change(line: str) -> bool:
    """Whether a line says that something changes, and leaves open what or which way."""
    words = r"(?i)\b(?:chang\w*|differ\w*|affect\w*|something|somehow|mov(?:es?|ing))\b"
    return re.search(words, line) is not None and "?" not in line


def names_of(whatif: Supposing) -> dict[str, Quantity]:
    """Every way to write what can be predicted; V and U, E and W mean the same."""
    found: dict[str, Quantity] = {}
    for quantity in comparable(whatif):
        for letter in _LETTERS[quantity.symbol]:
            if quantity.symbol == "C":
                found[quantity.name] = quantity
                continue
            found[letter + quantity.name[1:]] = quantity
            if quantity.of is not None:
                found[f"{letter}{quantity.of}"] = quantity
    if Quantity("C") in whatif.before:
        found |= {name: Quantity("C") for name in ("Ceq", "Ctotal") if name not in found}
    return found


def letters_of(whatif: Supposing) -> dict[str, Measure]:
    """The letters that stand for values before or after the change."""
    kinds: Mapping[str, Dimension] = {"V": "voltage", "U": "voltage", "Q": "charge"}
    found: dict[str, Measure] = {}
    for value in (*whatif.before.values(), *whatif.after.values()):
        for symbol in value.free_symbols if in_letters(value) else ():
            found[str(symbol)] = known(symbol, kinds.get(str(symbol)[:1], "capacitance"))
    return found


# C goes from 4 to 3: the value that it comes to.
_FROM_TO = re.compile(
    r"(?i)\s+from\s+\d[\d.,]*\s*(?:[pnuµμmkM]?[FVCJ]\b)?\s*(?:up\s+|down\s+)?to\s+(?=\d)"
)


def _gives_value(piece: str) -> bool:
    if _FROM_TO.search(piece):
        return True
    named = r"(?i)\s*[CQVUEW]_?\d*\s+(?:(?:is|becomes|will\s+be|now|to)\s+)*\d"
    if re.search(r"[=≈]\s*[-+−½.]?\s*\d", piece) or re.match(named, piece):
        return True
    if re.search(r"(?i)\b(?:up|down|rises|falls|drops)\s+to\s+\d", piece):
        return True
    return _UNIT_AFTER.search(piece) is not None


def _value(
    piece: str, names: Mapping[str, Quantity], letters: Mapping[str, Measure]
) -> Predicted:
    piece = _FROM_TO.sub(" to ", piece)
    text = re.sub(
        r"(?i)\b(?:goes|rises|falls|drops|grows|increases|decreases|changes|will|would)?\s*"
        r"(?:up|down)?\s*(?:to|be|becomes?)\b", " = ", piece,
    )
    text = re.sub(r"=(?:\s*=)+", "=", text)
    if "=" not in text:
        text = re.sub(r"(?i)^(\s*[A-Za-z]\w*)\s+(?=\d)", r"\1 = ", text)
    units = set(re.findall(r"\d\s*([CV])(?![A-Za-z0-9])", text))
    meant = bool(letters) and units <= {name[:1] for name in letters}
    (claim, *_) = read_claims(text, {*names, *letters}, meant)
    target = claim.target
    first = claim.sides[0]
    if target is None and isinstance(first, Name):
        target = first.text
    if target is None or len(claim.sides) < 2 or target not in names:
        raise Refusal("Which quantity is that for?", "Write its name too, like Q = 40 uC.")
    return Predicted(names[target], value=evaluate(claim.sides[-1], letters))


def _marks(piece: str, names: Mapping[str, Quantity], whatif: Supposing) -> list[_Mark]:
    """The names, directions and factors of a piece, in order."""
    folded = {name.lower().replace("_", ""): quantity for name, quantity in names.items()}
    text = re.sub(r"(?<=[A-Za-z0-9'])[+](?!\w)", " up ", piece)
    text = re.sub(r"(?<=[A-Za-z0-9'])\s*[-−–](?!\w)", " down ", text)
    text, but_for, others = _but_for(text)
    marks: list[_Mark] = []
    while text:
        if marks and isinstance(marks[-1], Quantity) and (nothing := _at(text, "nothing")):
            marks.append(_Said("same"))  # C1 nothing
            text = text[nothing.end() :]
            continue
        found, length = _next_marks(text, folded, whatif)
        marks += found
        text = text[length:]
    left_out = _whose(others, folded, whatif) if but_for else ()
    return [mark for mark in marks if isinstance(mark, _Said) or mark not in left_out]


def _next_marks(
    text: str, folded: Mapping[str, Quantity], whatif: Supposing
) -> tuple[tuple[_Mark, ...], int]:
    """The marks that a text begins with, if any, and how much of the text is done with."""
    if space := re.match(r"[\s,.:()!]+", text):
        return (), space.end()
    if (spoken := _spoken_quantity(text, folded, whatif)) is not None:
        return spoken
    if (said := _said(text)) is not None:
        return said
    if found := _at(text, f"{_REST}|{_ALL}"):
        of = _at(text[found.end() :], _OF_ONE)
        if of is None:
            return offered(whatif), found.end()
        return _whose(of[0], folded, whatif), found.end() + of.end()
    if nothing := _at(text, _NOTHING):
        rest = text[nothing.end() :]
        if _at(rest, rf".*?\b(?:{_WAYS['up']}|{_WAYS['down']})"):
            raise _unread()  # nothing goes down: that says no more
        return (*(_whose(rest, folded, whatif) or offered(whatif)), _Said("same")), len(text)
    if _at(text, _NOT):
        raise _unread()
    return _name(text, folded, whatif)


# Nothing changes, nothing for C1; nothing flows into it tells of charge.
_NOTHING = (
    r"nothing(?!\s+(?:\w+\s+)?(?:flow|go|come|pass|cross|enter|leave|get|add|take|touch)(?:e?s|ing)?\b)"
)
# All on C1, everything of C1: what that one holds.
_OF_ONE = r"\s+(?:values?\s+)?(?:on|of|for|at|in|with|about|to)\s+C_?\d+"
_BUT_FOR = re.compile(r"(?i)\b(?:except|apart\s+from|other\s+than|besides|save)\s+(?:for\s+)?")


def _but_for(text: str) -> tuple[str, str, str]:
    """A text up to what it leaves out, and what that is: everything goes up except C1."""
    found = _BUT_FOR.search(text)
    return (text[: found.start()], found[0], text[found.end() :]) if found else (text, "", "")


def _whose(
    text: str, folded: Mapping[str, Quantity], whatif: Supposing
) -> tuple[Quantity, ...]:
    """The quantities that a text names, with all that stand open of a capacitor that it names; of
    the whole those of the whole.
    """
    words = re.findall(r"[A-Za-z]\w*'*", text)
    named = [folded[w] for word in words if (w := word.lower().replace("_", "")) in folded]
    owners: set[str | None] = {
        each.of for each in named if each.symbol == "C" and each.of is not None
    }
    if re.search(r"(?i)\b(?:whole|total|network)\b", text):
        owners.add(None)
    open_ones = tuple(each for each in offered(whatif) if each.of in owners)
    return tuple(dict.fromkeys((*named, *open_ones)))


def _spoken_quantity(
    text: str, folded: Mapping[str, Quantity], whatif: Supposing
) -> tuple[tuple[_Mark, ...], int] | None:
    """A quantity in words: the charge on C2."""
    for words, symbol in IN_WORDS.items():
        if found := _at(text, rf"(?:the\s+)?(?:{words}){_OF}"):
            return (_in_words(symbol, found["of"], folded, whatif),), found.end()
    return None


def _said(text: str) -> tuple[tuple[_Mark, ...], int] | None:
    """A direction, or how many times."""
    for way, words in _WAYS.items():
        if found := _at(text, words):
            return (_Said(way),), found.end()
    for words, factor in _TIMES.items():
        if found := _at(text, words):
            return (_Said(factor=factor),), found.end()
    return None


def _name(
    text: str, folded: Mapping[str, Quantity], whatif: Supposing
) -> tuple[tuple[_Mark, ...], int]:
    """A name, or a word that says nothing."""
    word = re.match(r"[A-Za-z]\w*'*|.", text, re.DOTALL)
    assert word is not None
    quantity = folded.get(word[0].lower().replace("_", ""))
    if quantity is None and re.fullmatch(r"[CQVUEWcqvuew]_?\d+'*", word[0]):
        raise _no_name(word[0], folded, whatif)
    if quantity is None:
        return (), word.end()
    of = _at(text[word.end() :], _OF) if quantity.of is None else None
    if of is None or of["of"] is None:
        return (quantity,), word.end()
    return (_in_words(quantity.symbol, of["of"], folded, whatif),), word.end() + of.end()


def _at(text: str, words: str) -> re.Match[str] | None:
    return re.match(rf"(?i)(?:{words})(?![\w'])", text)


def _in_words(
    symbol: Symbol, of: str | None, folded: Mapping[str, Quantity], whatif: Supposing
) -> Quantity:
    if of is None or of.lower() in ("all", "total", "the", "whole"):
        quantity = Quantity(symbol)
    else:
        part = folded.get(of.lower())
        if part is None:
            raise _no_name(of, folded, whatif)
        quantity = Quantity(symbol, part.of)
    if quantity not in comparable(whatif):
        raise Refusal("That cannot be compared here.", _names(folded))
    return quantity


def _no_name(word: str, folded: Mapping[str, Quantity], whatif: Supposing) -> Refusal:
    number = re.sub(r"^[A-Za-z]_?", "", word)
    for sides, when in ((whatif.before, "once it is changed"), (whatif.after, "before")):
        gone = next((q.of for q in sides if q.of and q.of[1:] == number), None)
        if gone is not None:
            return Refusal(
                f"{gone} is not there {when}, so {word} cannot be compared.", _names(folded)
            )
    return Refusal(f"{word} is not a name that can be compared here.", _names(folded))


def _names(folded: Mapping[str, Quantity]) -> str:
    names = list(dict.fromkeys(quantity.name for quantity in folded.values()))
    shown = ", ".join(names[:12]) + (", …" if len(names) > 12 else "")
    return f"There {'is' if len(names) == 1 else 'are'} {shown}."


def _settled(marks: list[_Mark]) -> list[Predicted]:
    """Names with what is said of them, after them (C, Q up) or before them (up: C, Q)."""
    runs: list[list[_Mark]] = []
    for mark in marks:
        if runs and isinstance(runs[-1][-1], _Said) is isinstance(mark, _Said):
            runs[-1].append(mark)
        else:
            runs.append([mark])
    if not runs:
        return []
    if len(runs) == 1 and isinstance(runs[0][0], _Said):
        raise Refusal("Of which quantity is that said?", "Name it, like C up, Q down.")
    if len(runs) % 2:
        raise _unread()
    found = []
    for first, second in zip(runs[::2], runs[1::2], strict=True):
        named, said = (second, first) if isinstance(first[0], _Said) else (first, second)
        way, factor = _one([mark for mark in said if isinstance(mark, _Said)])
        found += [Predicted(q, way, factor) for q in named if isinstance(q, Quantity)]
    return found


def _one(said: list[_Said]) -> _Said:
    """What several words in a row say together, as "falls to half" or "stays the same"."""
    ways = {each.way for each in said if each.way is not None}
    factors = {each.factor for each in said if each.factor is not None}
    ways |= {"up" if factor > 1 else "down" for factor in factors}
    if len(ways) > 1 or len(factors) > 1:
        raise _unread()
    return _Said(None if factors else next(iter(ways)), next(iter(factors), None))


def _unread() -> Refusal:
    return Refusal(
        "No prediction could be read there.",
        "Write it like C up, Q up, V1 down; or V1 same; or Q = 40 uC; or say 'I don't know'.",
    )

