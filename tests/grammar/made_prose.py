"""Networks told in prose by chance, with what they mean: nests in templates in many voices."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from random import Random
from typing import Final, NamedTuple

from tests.grammar.prose_tellers import (
    PARALLEL,
    SERIES,
    TELLERS,
    OneTold,
    SomeTold,
    Teller,
    ToldNest,
    Voice,
    ones,
)
from tests.grammar.story_tellers import STORY_TELLERS, StoryTeller

WORTHS: Final = (2, 3, 4, 5, 6, 8, 9, 10, 12, 14, 15, 16, 18, 20, 24, 30, 36, 40, 45, 60)
VOICES: Final = (
    Voice(" µF", ("capacitor",)),
    Voice(" nF", ("", "capacitor")),
    Voice(" uF", ("cap", "")),
    Voice("uf", ("",), hurried=True),
    Voice("pF", ("condenser", "capacitor")),
    Voice(" microfarad", ("capacitor", "")),
    Voice(" µF", ("",), named=True),
    Voice(" nF", ("",), named=True),
)
_BEGINS: Final = re.compile(r"^[a-z]|(?<=[^.][a-zA-Z0-9]\. )[a-z]")


Asks = tuple[str, Fraction | None] | None


class MadeText(NamedTuple):
    """A text, what it means in the notation, the template, and what it asks: the quantity, and the
    farads of the capacitor it is asked of, None where that is the whole.
    """

    text: str
    means: str
    template: str
    asks: Asks
    or_means: tuple[str, ...] = ()  # where the text leaves something open


def made_texts(seed: int) -> Iterator[MadeText]:
    """Texts without end."""
    rng = Random(seed)
    while True:
        voice, tell = rng.choice(VOICES), rng.choice(TELLERS)
        told = None
        while told is None:
            nest = _nest(rng)
            told = tell(Teller(rng, voice), nest)
        yield _whole(rng, voice, nest, told, tell.__name__)


def made_stories(seed: int) -> Iterator[MadeText]:
    """Stories without end."""
    rng = Random(seed)
    while True:
        tell = rng.choice(STORY_TELLERS)
        story = tell(StoryTeller(rng))
        first, *others = story.means
        yield MadeText(story.text, first, tell.__name__, None, tuple(others))


def _nest(rng: Random) -> SomeTold:
    worths = iter(rng.sample(WORTHS, 6))
    caps = iter(f"C{n}" for n in range(1, 7))
    size = rng.choice((2, 3, 3, 4, 4, 4, 5, 5, 6))
    shape = _shape(rng, size, rng.choice((SERIES, PARALLEL)))
    assert isinstance(shape, SomeTold)

    def filled(part: ToldNest) -> ToldNest:
        if isinstance(part, OneTold):
            return OneTold(next(caps), next(worths))
        return SomeTold(part.sign, tuple(map(filled, part.parts)))

    whole = filled(shape)
    assert isinstance(whole, SomeTold)
    return whole


def _shape(rng: Random, size: int, sign: str) -> ToldNest:
    if size == 1:
        return OneTold("", 0)
    many = rng.randint(2, min(size, 4))
    cuts = sorted(rng.sample(range(1, size), many - 1))
    sizes = [b - a for a, b in zip((0, *cuts), (*cuts, size), strict=True)]
    other = PARALLEL if sign == SERIES else SERIES
    return SomeTold(sign, tuple(_shape(rng, each, other) for each in sizes))


def _whole(rng: Random, voice: Voice, nest: SomeTold, told: str, template: str) -> MadeText:
    unit = _farads(voice)
    volts = rng.choice((None, 6, 9, 11, 25, 50, 70, 100))
    asks, asked = _question(rng, voice, nest)
    parts = [told, _supply(rng, voice, volts)]
    if voice.named:
        each = [f"{cap.name} = {cap.worth}{voice.unit}" for cap in ones(nest)]
        parts.insert(rng.choice((0, 0, 0, len(parts))), ", ".join(each))
    parts.insert(rng.choice((len(parts), len(parts), 0)), asks)
    kept = [each for each in parts if each]
    supply = f", across {volts} V" if volts else ""
    return MadeText(_set(rng, voice, kept), _signs(nest, unit) + supply, template, asked)


def _farads(voice: Voice) -> str:
    letter = re.sub(r"[^munpµ]", "", voice.unit.strip()[:1]).replace("m", "u").replace("µ", "u")
    return f"{letter or 'u'}F"


def _signs(nest: ToldNest, unit: str) -> str:
    if isinstance(nest, OneTold):
        return f"{nest.name} = {nest.worth} {unit}"
    inner = (
        f"({_signs(e, unit)})" if isinstance(e, SomeTold) else _signs(e, unit) for e in nest.parts
    )
    return f" {nest.sign} ".join(inner)


def _supply(rng: Random, voice: Voice, volts: int | None) -> str:
    if volts is None:
        return ""
    if voice.hurried:
        return rng.choice((f"{volts}v", f"{volts} volts across it all", f"{volts}v battery"))
    return rng.choice((
        f"The supply is {volts} V.", f"A {volts} V battery is connected across the whole network.",
        f"The p.d. across the whole network is {volts} V.", f"{volts} V across the ends.",
        f"They are supplied with {volts} V.", f"The source gives {volts} volts.",
    ))  # fmt: skip


def _question(rng: Random, voice: Voice, nest: SomeTold) -> tuple[str, Asks]:
    """A question, and what it asks."""
    if rng.random() < 0.3:
        return "", None
    cap = rng.choice(ones(nest))
    that = cap.name if voice.named else f"the {cap.worth}{voice.unit}"
    if rng.random() < 0.4:
        whole = ("total capacitance?",) if voice.hurried else (
            "What is the total capacitance?", "Find the equivalent capacitance.",
            "Calculate the capacitance of the whole network.",
        )  # fmt: skip
        return rng.choice(whole), ("capacitance", None)
    worth = cap.worth / Fraction(10 ** {"u": 6, "n": 9, "p": 12}[_farads(voice)[0]])
    if voice.hurried:
        return f"charge on {that}?", ("charge", worth)
    what, word = rng.choice((("charge", "charge on"), ("voltage", "p.d. across")))
    lead = rng.choice(("What is the", "Find the", "Determine the", "I want to know the"))
    end = "?" if lead.startswith("What") else "."
    return f"{lead} {word} {that}{end}", (what, worth)


def _set(rng: Random, voice: Voice, parts: list[str]) -> str:
    if voice.hurried:
        text = rng.choice((" ", ", ")).join(parts).lower()
        return _slipped(rng, text)
    sentences = [each if each[-1] in ".?" else f"{each}." for each in parts]
    return " ".join(_BEGINS.sub(lambda said: said[0].upper(), each) for each in sentences)


def _slipped(rng: Random, text: str) -> str:
    """With a slip in one long word, now and then."""
    words = list(re.finditer(r"[a-z]{6,}", text))
    if not words or rng.random() < 0.4:
        return text
    word = rng.choice(words)
    at = word.start() + rng.randint(2, len(word[0]) - 2)
    two = text[at : at + 2]
    slip = rng.choice((two[::-1], two[0], two[0] * 2 + two[1:]))
    return text[:at] + slip + text[at + 2 :]
