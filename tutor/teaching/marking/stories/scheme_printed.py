"""One line of the printed scheme of a story: relations with what was before and after told apart.

A value that is asked for again after a change has a prime, nested reciprocals stand in lines of
their own, and a plain number that the text does not name is given beside its letter.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from tutor.teaching.marking.scheme import Offer
from tutor.teaching.marking.stories.following import Link, Path
from tutor.teaching.marking.stories.paper import Paper, given_named
from tutor.teaching.marking.stories.story_scheme import in_words, name_of
from tutor.teaching.speech import listed

_BRACKETED: Final = re.compile(r"\([^()]*\)")
_HYPHEN: Final = re.compile(r"(?<=[\s(=])-(?=[\s\dA-Za-z(])")
_SHOWN: Mapping[str, str] = MappingProxyType({"eps0": "ε0", "epsr": "εr"})
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
        ending = ", which is passed on" if ask.ways and ask.right else ""
        return f"B1 {in_metres[0] if in_metres and not ask.ways else value}{ending}"
    way = _way(paper, at, name) if ask.ways else f"a right way to {name}"
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
    if (turned := _TURNED.fullmatch(text)) is not None:
        return f"1/{name} = {turned[1]}{with_values}"
    text, parts = _unnested(text)
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
