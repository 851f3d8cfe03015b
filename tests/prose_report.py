"""Networks and stories told in prose by chance, read:
``python -m tests.prose_report [texts] [seed] [-v] [stories]``.

What is read as another network than was told, or asks of another capacitor, is a fault; with ``-v``
what is refused, or asked about, is shown as well. With ``stories`` no nests are told, but charging
and joining, slabs, ratings, rails, points and missing values alone.
"""

from __future__ import annotations

import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import chain, islice
from typing import Final

from grammar.any_text import readings_of
from grammar.records import Amount, Description, Element, Part, Refusal
from tests.grammar.made_prose import MadeText, made_stories, made_texts
from tests.grammar.test_networks_as_written import essence

TEXTS: Final = 2_000
FAULTS: Final = ("read as another", "asks of another")


def how_read(made: MadeText) -> tuple[str, str]:
    """What becomes of a text, and what was read."""
    try:
        found = readings_of(made.text)
    except Refusal as refusal:
        return "refused", str(refusal)
    ways = "; or ".join(way.text for way in found.ways)
    meant = [essence(each) for each in (made.means, *made.or_means)]
    read = [essence(way.text) for way in found.ways]
    if found.is_unsure:
        return f"guessed {'right' if any(e in meant for e in read) else 'otherwise'}", ways
    if not any(each in meant for each in read):
        return "read as another", ways
    if not all(each in meant for each in read):
        return "asked", ways
    return _as_to_its_wish(made, found.ways[0].description), ways


def _as_to_its_wish(made: MadeText, read: Description) -> str:
    if made.asks is None:
        return "read right"
    held = dict(_worths(read))
    asked = {(each.quantity, held.get(each.of or "")) for each in read.asked}
    if made.asks in asked:
        return "read right"
    return "asks of another" if asked else "read right, its wish lost"


def _worths(read: Description) -> Iterator[tuple[str, Fraction]]:
    parts: Sequence[Part] = [each.capacitor for each in read.joins] or [
        each for each in (read.nest,) if each is not None
    ]
    leaves = [leaf for part in parts for leaf in _leaves(part)]
    for number, leaf in enumerate(leaves, start=1):
        assert isinstance(leaf.worth, Amount)
        yield leaf.name or f"C{number}", leaf.worth.value


def _leaves(part: Part) -> Iterator[Element]:
    if isinstance(part, Element):
        yield part
        return
    for member in part.members:
        yield from _leaves(member)


def main() -> int:
    numbers = [int(each) for each in sys.argv[1:] if each.isdigit()]
    texts, seed = (*numbers, *(TEXTS, 1)[len(numbers) :])
    found: dict[str, Counter[str]] = defaultdict(Counter)
    nests = [] if "stories" in sys.argv else [made_texts(seed)]
    each_way = zip(*nests, made_stories(seed), strict=True)
    for made in islice(chain.from_iterable(each_way), texts):
        kind, read = how_read(made)
        found[made.template][kind] += 1
        if kind in FAULTS or ("-v" in sys.argv and kind != "read right"):
            print(f"{kind} [{made.template}]: {made.text!r}\n    means {made.means}\n    {read}")
    for template, kinds in sorted(found.items()):
        print(f"{template:20}", ", ".join(f"{kind} {n}" for kind, n in kinds.most_common()))
    whole = sum(found.values(), Counter[str]())
    print(", ".join(f"{kind} {n}" for kind, n in whole.most_common()))
    return sum(whole[each] for each in FAULTS)


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
