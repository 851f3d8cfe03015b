"""The marks that a story offers: method and accuracy for a value, one for a choice in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from types import MappingProxyType
from typing import Final

from grammar.records import Asked
from tutor.circuit.surds import near
from tutor.circuit.values import Value
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.scheme import Offer
from tutor.teaching.marking.stories.following import Link, Path, leading_to, paths_of
from tutor.teaching.marking.stories.paper import Paper, given_named
from tutor.teaching.marking.stories.story_words import as_number
from tutor.teaching.speech import listed
from tutor.teaching.staged.makers import place_of
from tutor.teaching.staged.moves import WHAT_ADDS
from tutor.teaching.staged.story import PASSED_ON, Ask, Story

CHANGES: Final = "changes"  # the kind of a problem in which something is done to what stands there
# What a choice is about that leads to a value.
IN_METRES: Final = ("area", "gap in metres")
OF_WAY: Final = ("shares", "choice", "reason")
# Where the energy went: a walk talks it through, a text that wants it marked asks for it.
OF_ACCOUNT: Final = ("supply work", "on plates", "energy lost", "energy went", "energy change")


def offers(
    story: Story, asked: tuple[Asked, ...] = (), paths: tuple[tuple[Path, ...], ...] | None = None
) -> tuple[Offer[int], ...]:
    """The marks for every question that leads to what is ``asked``, in order; where nothing is
    asked, or something that no question asks for, for all but the account of the energy.
    ``paths`` are the ways of its questions, if they have been read.
    """
    last = [place_of(story, each) for each in asked]
    wanted = set(last)
    ways = paths_of(story) if paths is None and asked else paths or ()
    needed = {
        at
        for place in last
        if place is not None
        for at in leading_to(story, ways, place, frozenset())
    }
    everything = not asked or None in last
    return tuple(
        Offer(at, 0, 0, 1, at in wanted)
        if ask.right is None or ask.key == PASSED_ON or is_plain(ask)
        else Offer(at, 1, 1, 0, at in wanted)
        for at, ask in enumerate(story.asks)
        if not is_way_after(story, at)
        if (everything and ask.key not in OF_ACCOUNT)
        or (at in needed and (ask.right is not None or ask.about in OF_WAY))
    )


def is_way_after(story: Story, at: int) -> bool:
    """Whether a choice of what adds up is the relation by which the value just after it is worked
    out, whose method mark it has then.
    """
    after = story.asks[at + 1 :][:1]
    return story.asks[at].key == WHAT_ADDS and any(ask.right is not None for ask in after)


def unmarked(story: Story, asked: tuple[Asked, ...]) -> tuple[str, ...]:
    """What the scheme says of questions that a walk asks and the text does not, if there are any:
    that they have no marks.
    """
    marked = {item.quantity for item in offers(story, asked)}
    left = [at for at, ask in enumerate(story.asks) if ask.key in OF_ACCOUNT and at not in marked]
    if asked or not left:
        return ()
    return (
        "Where energy went and what work was done is asked in a walk; here it has no marks, for "
        "the text does not ask for it.",
    )


def is_plain(ask: Ask) -> bool:
    """Whether a value takes no working: a given length in metres, or what is nought at sight."""
    return ask.key in IN_METRES or any(not way.uses for way in ask.ways[:1])


def ground_of(
    paper: Paper, items: tuple[Offer[int], ...], written: AbstractSet[int]
) -> Ground[int]:
    """What the marks of a story are given on: where the text asks for nothing, what no other
    question rests on is wanted in the end, and with changes the charge and the p.d. of each and the
    energy at every stage. ``written`` are those that something was written for.
    """
    asked = {item.quantity for item in items if item.asked}
    used = {
        link.at
        for item in items
        for path in paper.paths[item.quantity][:1]
        for link in path.links.values()
    }
    wanted = asked or {item.quantity for item in items} - used
    of_each = {item.quantity for item in items if _is_of_each(paper.asks[item.quantity])}
    is_all_wanted = paper.story.kind == CHANGES and not asked
    return Ground(
        items,
        wanted,
        lambda at: leading_to(paper.story, paper.paths, at, written) | _passed_on(paper, at),
        items,
        {at for at, ask in enumerate(paper.asks) if ask.right is None},
        wanted | of_each if is_all_wanted else wanted,
    )


def _passed_on(paper: Paper, at: int) -> frozenset[int]:
    """What has the same value as a right answer and nothing to be added: V2 for the potential of
    P, where its other end is at nought.
    """
    if at in paper.wrong:
        return frozenset()
    return frozenset(
        place
        for place, ask in enumerate(paper.asks)
        if ask.key == PASSED_ON
        for path in paper.paths[place][:1]
        if any(link.at == at for link in path.links.values())
        if all(link.at == at or link.value[0] == 0 for link in path.links.values())
    )


def _is_of_each(ask: Ask) -> bool:
    """Whether a value is what a problem with changes wants: all but what is put together."""
    return ask.dimension in ("charge", "voltage", "energy") and ask.key != "joint charge"


def name_of(paper: Paper, at: int) -> str:
    """How a question's answer is called: its name, or what is asked in words."""
    ask = paper.asks[at]
    if ask.right is not None and ask.name:
        return paper.speech.letters(ask.name)
    return f"question {at + 1} ({_summary(ask)})"


def _summary(ask: Ask) -> str:
    """What kind of thing is asked, for a list."""
    return f"a {ask.dimension}" if ask.dimension else "in words" if ask.options else "a number"


def amount(paper: Paper, at: int) -> str:
    """The right value in words."""
    return in_words(paper, at, paper.right(at))


def in_words(paper: Paper, at: int, value: Value) -> str:
    """A value of this question as it is written."""
    dimension = paper.asks[at].dimension
    if dimension is None:
        return as_number(near(value))
    return paper.speech.amount(value, dimension)


# One line of the printed scheme of a story: relations with what was before and after told apart


_BRACKETED: Final = re.compile(r"\([^()]*\)")
_HYPHEN: Final = re.compile(r"(?<=[\s(=])-(?=[\s\dA-Za-z(])")
_SHOWN: Mapping[str, str] = MappingProxyType(
    {"eps0": "ε0", "epsr": "εr", "pi": "π", "lnba": "ln(b/a)"}
)
_MEANT: Mapping[str, str] = MappingProxyType(
    {
        "k": "the new gap over the old = ",
        "ratio": "the one over the other = ",
        "sum": "C1 + C2 = ",
    }
)
_ONE_OVER = r"1/[A-Z]\w*(?:\s*[+−-]\s*1/[A-Z]\w*)+"
_TURNED: Final = re.compile(rf"1/\(({_ONE_OVER})\)")
_NESTED: Final = re.compile(rf"\(?1/\(({_ONE_OVER})\)\)?")
_TERM: Final = re.compile(r"(C\d+) × (V_\w+)")
_LEVEL: Final = re.compile(rf"\(({_TERM.pattern}(?: \+ {_TERM.pattern})+)\)/\([C\d+ ]+\)")
_NUMBER: Final = re.compile(r"[A-Z]\D*?(\d+)")
_CAPACITORS: Final = re.compile(r"\bC\d+\b")
_SENTENCE_END: Final = re.compile(r"(?<=\.)\s+(?=[A-Z])")


def scheme_text(paper: Paper, item: Offer[int]) -> str:
    """The relation and the value with their marks."""
    at = item.quantity
    ask = paper.asks[at]
    if ask.right is None:
        return _HYPHEN.sub("−", f"B1 {_reason(paper, at)}")
    name = _called(paper, at)
    value = f"{name} {_value(paper, at)}"
    if item.independent:
        in_metres = re.search(rf"\b{re.escape(name)} = [^=]*$", ask.reveal.split("\n")[0])
        if ask.ways and ask.right:  # what it comes from, without marks of its own
            value = f"{_way(paper, at, name)} {_value(paper, at)}"
        return _HYPHEN.sub("−", f"B1 {in_metres[0] if in_metres and not ask.ways else value}")
    way = _way(paper, at, name) if ask.ways else f"{name} by any right way"
    return _HYPHEN.sub("−", f"M1 {way}; A1 {value}")


def _reason(paper: Paper, at: int) -> str:
    """A choice in words, short: what follows, and of which capacitors."""
    ask = paper.asks[at]
    if ask.key == "first at its rating":
        return f"{ask.reveal.partition(':')[0]} at its rating first"
    text = _SENTENCE_END.split(ask.reveal.split("\n")[0])[0]
    text = text if text.endswith("p.d.") else text.rstrip(".")
    before, sign, after = text.rpartition(", so ")
    if sign and before:
        names = list(dict.fromkeys(_CAPACITORS.findall(before)))
        text = re.sub(r"^(?:they|all)\b", listed(names), after) if names else after
    text = re.sub(r"^[Tt]he (?=C\d)", "", text)
    text = re.sub(r"^its capacitance is\b", "what is left has the capacitance", text)
    if ask.key == "energy change":
        text = re.sub(r"^It\b", "The stored energy", text)
    return text[:1].upper() + text[1:]


def _called(paper: Paper, at: int) -> str:
    """The name of a value, with a prime where it is not the first of this name."""
    ask = paper.asks[at]
    name = name_of(paper, at)
    told = re.findall(rf"\b{re.escape(name)}('+)", f"{ask.text} {ask.reveal}")
    if told:
        return f"{name}{max(told, key=len)}"
    again = ask.dimension == "capacitance" and any(
        link.value[0] != ask.right for link in given_named(paper, ask.name)
    )
    return f"{name}'" if again else name


def _way(paper: Paper, at: int, name: str) -> str:
    path = paper.paths[at][0]
    text = _named(paper, path)
    if path.way.then == "square root":
        text = f"√{text}" if _BRACKETED.fullmatch(text) else f"√({text})"
    with_values = _with_values(paper, path)
    if (balance := _LEVEL.fullmatch(text)) is not None:
        terms = (f"{c} × ({name} − {v})" for c, v in _TERM.findall(balance[1]))
        return f"at {name.removeprefix('V_')}: {' + '.join(terms)} = 0"
    if (turned := _TURNED.fullmatch(text)) is not None:
        return f"1/{name} = {turned[1]}{with_values}"
    text, parts = _unnested(text[1:-1] if _BRACKETED.fullmatch(text) else text)
    ending = ", rounded up" if path.way.then == "rounded up" else ""
    return f"{name} = {text}{ending}{parts}{with_values}"


def _named(paper: Paper, path: Path) -> str:
    """A relation in the names of the scheme."""
    text = path.way.relation
    for key in sorted(path.links, key=len, reverse=True):
        link = path.links[key]
        shown = _SHOWN.get(key) or (
            _called(paper, link.at) if link.at is not None else paper.speech.letters(link.name)
        )
        text = re.sub(rf"(?<![\w']){re.escape(key)}(?![\w'])", shown, text)
    text = re.sub(r"\s*\*\s*", " × ", text)
    return re.sub(r"\s*/\s*", "/", text)


def _with_values(paper: Paper, path: Path) -> str:
    """The worth of plain numbers and sums that have a word or a small letter for a name."""
    found = [
        f"{key} = {_MEANT.get(key, '')}{_worth(paper, link)}"
        for key, link in path.links.items()
        if link.at is None and key[:1].islower() and key not in _SHOWN
    ]
    return f", with {listed(found)}" if found else ""


def _worth(paper: Paper, link: Link) -> str:
    value, dimension = link.value
    return paper.speech.amount(value, dimension) if dimension else str(value)


def _unnested(text: str) -> tuple[str, str]:
    """A relation with the names of groups in the place of reciprocals in it, and what they are."""
    parts: list[str] = []
    while (nested := _NESTED.search(text)) is not None:
        name = f"C{''.join(_NUMBER.findall(nested[1]))}"
        parts.append(f"1/{name} = {nested[1]}")
        text = text[: nested.start()] + name + text[nested.end() :]
    return text, f", where {listed(list(dict.fromkeys(parts)))}" if parts else ""


def _value(paper: Paper, at: int) -> str:
    value, dimension = paper.right(at), paper.asks[at].dimension
    if dimension is None or dimension not in paper.story.powers:
        return f"= {in_words(paper, at, value)}"
    return paper.speech.result(value, dimension)
