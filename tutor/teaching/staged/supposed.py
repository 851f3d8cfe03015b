"""What if, in a problem in stages: one given value changed, predictions first, then both sides.

The text with the one value changed is a problem of the same kind, worked out by the same maker;
what is compared are the values that both ask for.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.outline import elements_of
from grammar.records import Amount, Description, Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value, in_letters
from tutor.teaching.conversation import StagedSupposing, TurnOf
from tutor.teaching.in_sight import of_task
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.given_values import Changeable, change_in, with_value
from tutor.teaching.staged.makers import HEAT_LOST, TextSource
from tutor.teaching.staged.own_way import OwnSource
from tutor.teaching.staged.story import Ask, Story, Telling, twin
from tutor.teaching.whatif.change import Direction, way
from tutor.teaching.whatif.change_words import GONE, NEVER_THERE, factor_in, has
from tutor.teaching.whatif.predictions import (
    IN_WORDS,
    direction_in,
    speaks_of_change,
    ways_in_order,
)
from tutor.teaching.whatif.supposition import which_way

MOST_OFFERED = 3
_OF_WHICH = re.compile(
    r"\b[A-HJ-Z](?:_?\w*\d|_\w+)?'*(?!\w)"
    r"|(?i:\b(?:[cqvue]_?\d*'*(?!\w)|something|charges?|voltages?|p\.?d\.?|capacitance|energy))"
    r"|(?i:\b(up|down|same)\W+\1\b)"  # said one by one, of fewer than there are
)
ABOUT_ITSELF = "This question stands by itself, so there is no value in it to change."
TAKEN_OUT = (
    "If {names} {verb} taken out once charged, the charge on {its} plates goes along; every other "
    "plate keeps its charge, so every other p.d. stays. What comes after that may change; type the "
    "text with 'then take out …' where it is done, and it is gone through."
)
UNREAD = "Say which way each goes, like {like}; or 'I don't know'."
WHY_LATER = "First your own idea, even a rough one; then the reason comes."
HINT = "Which of the values that lead to it has changed, and does it go up or down with that one?"
TYPED = "Which way each goes, like {like}; 'I don't know' shows it, 'back' goes on without this."
MEANT: Mapping[str, str] = MappingProxyType(
    {
        "supply work": "the work of the supply",
        "on plates": "the work on the {of}",
        "energy lost": HEAT_LOST,
    }
)
WORDS: Mapping[Direction, str] = MappingProxyType(
    {"up": "goes up", "down": "goes down", "same": "stays the same"}
)


def begin(telling: Telling, said: str) -> TurnOf[StagedSupposing] | Message:
    """What is supposed and the question of it, or only why it cannot be supposed."""
    source = telling.source
    if not isinstance(source, OwnSource):
        return Message("say", ABOUT_ITSELF)
    if (named := _taken_out(source.description, said)) is not None:
        verb, its = ("is", "its") if len(named) == 1 else ("are", "their")
        text = TAKEN_OUT.format(names=listed(named), verb=verb, its=its)
        return Message("say", text)
    try:
        given, new = change_in(source.description, telling.terms.understood(said))
        changed = TextSource(with_value(source.description, given.path, new))
        story = changed.story(telling.terms)
    except Refusal as refusal:
        return Message("verdict", str(refusal), about="change", verdict="unread")
    pairs = tuple(_pairs(telling.story, story))
    if not pairs:
        text = "With that the problem asks for other things; type it as a problem of its own."
        return Message("say", text)
    found = frozenset(at for at in range(len(telling.story.asks)) if telling.is_known(at))
    opened = StagedSupposing(said, telling.story, story, pairs[-MOST_OFFERED:], found,
                             telling.terms)
    text = f"Suppose {given.name} {_spoken(given, new)}; all else as it is."
    text += _of_values_to_come(telling, opened.pairs)
    return TurnOf(opened, (Message("say", text), ask(opened)))


def _of_values_to_come(telling: Telling, pairs: Sequence[tuple[int, int]]) -> str:
    """What those letters mean that no question has brought up yet, and that not everyone knows."""
    asks = [telling.story.asks[at] for at, _ in pairs if at > telling.at]
    meant = [
        f"{each.name} is {MEANT[each.key].format(of=each.name.partition('_')[2])}"
        for each in asks if each.key in MEANT
    ]
    return f" Later on, {listed(meant)}." if meant else ""


def _taken_out(description: Description, said: str) -> tuple[str, ...] | None:
    """The capacitors that are supposed to be taken out of networks that are charged and changed."""
    names = tuple(
        c.name for c in elements_of(description)
        if re.search(rf"(?<!\w){re.escape(c.name)}(?![\w'])", said)
    )
    charged = bool(description.changes)
    gone = has(said, GONE) and not has(said, NEVER_THERE) and factor_in(said) is None
    return names if charged and names and gone else None


def _spoken(given: Changeable, new: Amount | Fraction) -> str:
    old = given.value.value if isinstance(given.value, Amount) else given.value
    value = new.value if isinstance(new, Amount) else new
    factor = value / old
    if factor == 2:
        return "is doubled"
    if factor == Fraction(1, 2):
        return "is halved"
    ratio = f"{factor.numerator}/{factor.denominator}" if factor.denominator > 1 else str(factor)
    return f"is {ratio} times as large"


# What is compared


def _pairs(before: Story, after: Story) -> Iterator[tuple[int, int]]:
    """Places of one question in both: of one key and name, values in one unit."""
    free = list(range(len(after.asks)))
    for at, each in enumerate(before.asks):
        if each.right is None or not each.name or each.pure:
            continue
        match = next((n for n in free if _same_question(each, after.asks[n])), None)
        if match is not None:
            free.remove(match)
            right = after.asks[match].right
            if right is not None and not (in_letters(each.right) or in_letters(right)):
                yield at, match


def _same_question(one: Ask, other: Ask) -> bool:
    return (one.key, one.name, one.dimension) == (other.key, other.name, other.dimension)


def _values(whatif: StagedSupposing, pair: tuple[int, int]) -> tuple[str, Value, Value]:
    before, after = whatif.before.asks[pair[0]], whatif.after.asks[pair[1]]
    assert before.right is not None
    assert after.right is not None
    return before.name, before.right, after.right


def _names(whatif: StagedSupposing) -> list[str]:
    return [whatif.before.asks[at].name for at, _ in _open(whatif)]


def _open(whatif: StagedSupposing) -> list[tuple[int, int]]:
    """What was not yet said rightly."""
    return [pair for pair in whatif.pairs if pair not in whatif.predicted]


def _like(whatif: StagedSupposing) -> str:
    ways = ("up", "down", "same")
    return ", ".join(f"{name} {way}" for name, way in zip(_names(whatif), ways, strict=False))


# The task


def ask(whatif: StagedSupposing) -> Message:
    """What the learner is to predict."""
    text = which_way(_names(whatif), is_rest=bool(whatif.predicted))
    return Message("ask", text, about="change")


def _once_more(whatif: StagedSupposing, *said: Message) -> TurnOf[StagedSupposing]:
    return TurnOf(whatif, (*said, ask(whatif)))


def answer(whatif: StagedSupposing, line: str) -> TurnOf[StagedSupposing]:
    """Directions judged; then both sides with the reason."""
    said = _predictions(whatif, line)
    if not said:
        text = UNREAD.format(like=_like(whatif))
        word: Verdict = "incomplete" if speaks_of_change(line) else "unread"
        return _once_more(whatif, Message("verdict", text, about="change", verdict=word))
    judged = [_judged(whatif, pair, guess) for pair, guess in said.items()]
    word = "right" if all(is_right for _, is_right in judged) else "wrong"
    text = "\n".join(line for line, _ in judged)
    told = Message("verdict", text, about="change", verdict=word)
    whatif = whatif._replace(predicted=whatif.predicted | {*said})
    if word == "right" and _open(whatif):
        return _once_more(whatif, told)
    return _done(whatif, told, _both_sides(whatif))


class _Guess(NamedTuple):
    """Which way a value is said to go, and how many times it is said to become, if at all."""

    way: Direction
    factor: Fraction | None = None


def _judged(whatif: StagedSupposing, pair: tuple[int, int], guess: _Guess) -> tuple[str, bool]:
    """What is said to a guess, and whether it is right."""
    name, before, after = _values(whatif, pair)
    true = way(before, after)
    assert true is not None, "numbers go one way"
    if guess.way != true:
        return f"{name}: not so; it {WORDS[true]}.", False
    if guess.factor is None:
        return f"{name} {WORDS[true]}: right.", True
    if before * guess.factor == after:
        return f"{name}: {guess.factor} times what it was, right.", True
    return f"{name} {WORDS[true]}, but not so: it is not {guess.factor} times what it was.", False


def _guess_in(words: str) -> _Guess | None:
    """Which way some words say that a value goes; None where they say none, or several."""
    direction, factor = direction_in(words), factor_in(in_figures(words))
    if direction is None and re.search(r"(?i)\b(?:nothing|none)\b", words):
        return _Guess("same")
    if factor is None or factor == 1 or direction == "same" or re.search(r"(?i)\bby\b", words):
        return _Guess(direction) if direction is not None else None
    if direction == "down" and factor > 1:
        factor = 1 / factor  # four times smaller
    to = "up" if factor > 1 else "down"
    return _Guess("up" if to == "up" else "down", factor if direction in (None, to) else None)


def _predictions(whatif: StagedSupposing, line: str) -> Mapping[tuple[int, int], _Guess]:
    """What a line says of each value; a direction alone speaks of the only one, or of all, and
    what is said of a value that is not asked here says nothing of these.
    """
    if ordered := ways_in_order(line, len(_open(whatif))):
        return dict(zip(_open(whatif), map(_Guess, ordered), strict=True))
    found: dict[tuple[int, int], _Guess] = {}
    names = dict(zip(_names(whatif), _open(whatif), strict=True))
    letters = [name[0] for name in names]
    names |= {  # C for C1 where that is the only one
        name[0]: pair for name, pair in [*names.items()] if letters.count(name[0]) == 1
    }
    line = _in_letters(line, names)
    spelt = sorted(map(re.escape, names), key=len)[::-1]
    signs = "|".join(rf"(?<!\w){name}(?![\w'])" for name in spelt)
    marks = [*re.finditer(rf"(?i){signs}", line)]
    if not marks and not _OF_WHICH.search(line) and (guess := _guess_in(line)) is not None:
        return dict.fromkeys(_open(whatif), guess)
    ends = [*(mark.start() for mark in marks[1:]), len(line)]
    together: list[tuple[int, int]] = []  # V and E up
    for mark, end in zip(marks, ends, strict=False):  # without a mark there is an end alone
        words = line[mark.end() : end]
        together.append(names[mark[0].upper()] if mark[0].upper() in names else names[mark[0]])
        if (guess := _guess_in(words)) is not None:
            found |= dict.fromkeys(together, guess)
        if guess is not None or not re.fullmatch(r"[\s,&/]*(?:and)?\s*", words):
            together = []
    return found


def _in_letters(line: str, names: Collection[str]) -> str:
    """A line with the voltage as V, where one value alone is called so."""
    for words, symbol in IN_WORDS.items():
        letter = next((each for each in (symbol, twin(symbol)) if each in names), None)
        if letter is not None:
            line = re.sub(rf"(?i)\b(?:the\s+)?(?:{words})(?!\w)", letter, line)
    return line


def _both_sides(whatif: StagedSupposing) -> Message:
    """Each value before and after; of one that is still to be found only which way it goes."""
    lines = []
    speech = Speech(whatif.after.powers, whatif.terms)
    for pair in whatif.pairs:
        name, before, after = _values(whatif, pair)
        direction = way(before, after)
        assert direction is not None
        asked = whatif.after.asks[pair[1]]
        why = f" {asked.because}" if asked.because and direction != "same" else ""
        if pair[0] not in whatif.found or asked.dimension is None:
            lines.append(f"{name} {WORDS[direction]}.{why}")
            continue
        was, now = (speech.amount(value, asked.dimension) for value in (before, after))
        lines.append(f"{name} {WORDS[direction]}: from {was} to {now}.{why}")
    return Message("reveal", "\n".join(dict.fromkeys(lines)), about="change")


def _done(whatif: StagedSupposing, *said: Message) -> TurnOf[StagedSupposing]:
    return TurnOf(whatif._replace(over=True), said)


# What may be asked for before predicting


def unsure(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """An honest 'I don't know': where to look, and the second time both sides."""
    return show(whatif) if whatif.hinted else hint(whatif._replace(hinted=True))


def show(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """Both sides without a prediction."""
    return _done(whatif, _both_sides(whatif))


def where(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """What is supposed."""
    return _once_more(whatif, Message("say", f"Supposed: {whatif.said}; all else as it is."))


def points(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """The changed problem in words."""
    return _once_more(whatif, Message("say", "\n".join(whatif.after.opening)))


def drawing(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """The changed network, where there is one to draw."""
    drawn = of_task(whatif)
    if drawn is None:
        return points(whatif)
    return _once_more(whatif, Message("say", "The changed network:", drawn=drawn))


def why(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """The reason comes with the answer."""
    return _once_more(whatif, Message("say", WHY_LATER))


def hint(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """Where to look."""
    return _once_more(whatif, Message("hint", HINT, about="change"))


def typed(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """What can be typed now."""
    return _once_more(whatif, Message("say", TYPED.format(like=_like(whatif))))


def energy(whatif: StagedSupposing) -> TurnOf[StagedSupposing]:
    """What is asked here stays as it is."""
    return _once_more(whatif, Message("say", "Here only which way these values go is asked."))
