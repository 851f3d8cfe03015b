"""Stories of ratings: which questions, who is first, and how it is said."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Refusal
from tests.sampled import some
from tests.strategies import nest_text, nests
from tests.teaching.staged.manners import at, check_manners, lines_of, story, typed, verdict
from tutor.teaching.exchange import hear
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.makers import story_of

F = Fraction
CHAIN = "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 100 V"
SIDE = "C1 = 3 uF rated 63 V || C2 = 7 uF rated 100 V, across 80 V"
MIXED = "C1 = 3 uF rated 100 V -- (C2 = 7 uF rated 63 V || C3 = 2 uF) -- C4 = 5 uF rated 20 V"
BRIDGE = (
    "C1 = 1 uF rated 10 V from A to P; C2 = 2 uF from A to R; C3 = 3 uF rated 5 V from P to R; "
    "C4 = 4 uF from P to B; C5 = 5 uF rated 9 V from R to B; ends A and B"
)
TEXTS = {
    CHAIN: [
        "what rated ones share", "first at its rating", "charge at the rating",
        "greatest in a chain",
    ],
    SIDE: [
        "what rated ones share", "first at its rating", "greatest side by side",
        "within the ratings",
    ],
    MIXED: ["first at its rating", "part of the supply", "greatest supply"],
    BRIDGE: ["first at its rating", "part of the supply", "greatest supply"],
    "5 uF rated 50 V": ["greatest supply"],
    "C1 = 4 uF -- C2 = 12 uF rated 5 V, across 15 V": [
        "what rated ones share", "charge at the rating", "greatest in a chain",
        "within the ratings",
    ],
    "C1 = plates 100 cm2 gap 1 mm rated 2 kV -- C2 = 100 pF rated 1 kV": [
        "what rated ones share", "first at its rating", "charge at the rating",
        "greatest in a chain",
    ],
}


@pytest.mark.parametrize("text", TEXTS)
def test_questions_and_manners(text: str) -> None:
    told = story(text)
    assert [ask.key for ask in told.asks] == TEXTS[text]
    check_manners(told)
    assert told.cautions


@pytest.mark.parametrize("text", TEXTS)
def test_words_and_letters_of_the_settings(text: str) -> None:
    terms = Settings(difference="potential difference", pd_letter="U", energy_letter="W")
    told = story(text, terms)
    for line in lines_of(told):
        assert "p.d" not in line, line
        assert "voltage" not in line, line
        assert not re.search(r"(?<!\d )\bV =", line), line
    check_manners(told, terms)


def test_greatest_supply_is_the_published_kind_of_answer() -> None:
    greatest = {ask.key: ask.right for ask in story(CHAIN).asks}["greatest in a chain"]
    assert greatest == F(1000, 7)
    assert story(SIDE).results["greatest"] == (63, "voltage")


def test_who_is_first() -> None:
    """Wrong ones are told what they would hold, never what the right one does."""
    turn = at(story(CHAIN), "first at its rating")
    wrong = verdict(hear(turn.talk, "C2"))
    assert (wrong.verdict, "700 µC" in wrong.text, "300 µC" in wrong.text) == ("wrong", True, False)
    assert verdict(hear(turn.talk, "C1")).verdict == "right"


def test_any_of_those_that_tie_is_right() -> None:
    text = "C1 = 4 uF rated 50 V -- C2 = 2 uF rated 100 V -- C3 = 1 uF rated 300 V"
    turn = at(story(text), "first at its rating")
    assert [verdict(hear(turn.talk, name)).verdict for name in ("C1", "C2", "C3")] == [
        "right", "right", "wrong",
    ]


@pytest.mark.parametrize(("volts", "answer"), [("63 V", "yes"), ("63.1 V", "no")])
def test_supply_of_the_text_is_held_against_it(volts: str, answer: str) -> None:
    told = story(SIDE.replace("80 V", volts))
    assert typed(told.asks[-1]) == answer


def test_unrated_ones_are_told() -> None:
    assert any("C3 has no rating" in line for line in story(MIXED).opening)
    assert any("C2 and C4 have no rating" in line for line in story(BRIDGE).opening)
    assert not any("no rating" in line for line in story(CHAIN).opening)


@pytest.mark.parametrize(
    "text",
    [
        "3 uF -- 7 uF, across 12 V",
        f"{CHAIN}, holding 20 uC",
        f"{CHAIN}, across 12 V, asked: Q1",
        f"{CHAIN}, across 12 V; then remove supply",
    ],
)
def test_other_texts_have_no_such_story(text: str) -> None:
    found = story_of(read_network(text), DEFAULTS)
    assert found is None or found.kind != "ratings"


def test_letters_that_leave_it_open_are_refused() -> None:
    with pytest.raises(Refusal) as refused:
        story("C rated 100 V -- 2D rated 50 V")
    assert "numbers" in str(refused.value)
    told = story("C rated 100 V -- 2C rated 60 V")
    assert told.asks[-1].right == 150


@settings(max_examples=some(40), deadline=None)
@given(nests(most=6), st.data())
def test_any_nest(nest: object, data: st.DataObject) -> None:
    text = nest_text(nest)  # type: ignore[arg-type]
    rated = []
    for piece in text.split(" "):
        volts = data.draw(st.integers(1, 40))
        unit = piece.rstrip(")")
        some = unit.endswith("F") and data.draw(st.booleans())
        rated.append(f"{unit} rated {volts} V{piece[len(unit):]}" if some else piece)
    described = read_network(" ".join(rated))
    told = story_of(described, DEFAULTS)
    assert (told is None) is (" rated " not in " ".join(rated))
    if told is None:
        return
    check_manners(told)
    greatest = F(told.results["greatest"][0])
    pairs = _pairs(told.results, described)
    assert all(volts <= rating for volts, rating in pairs)
    assert any(volts == rating for volts, rating in pairs)
    assert greatest > 0


def _pairs(results: object, described: object) -> list[tuple[Fraction, Fraction]]:
    from tutor.circuit.ratings import ratings_of

    found = []
    for name, rating in ratings_of(described).items():  # type: ignore[arg-type]
        found.append((F(results[f"V_{name}"][0]), rating))  # type: ignore[index]
    return found


def test_who_asks_for_more_than_ratings_tell_gets_two_texts() -> None:
    told = read_network("C1 = 40 uF rated 25 V -- C2 = 10 uF rated 63 V; asked: Q1, V")
    with pytest.raises(Refusal) as refused:
        story_of(told, DEFAULTS)
    assert "By the ratings the greatest p.d. is found, and nothing else." in str(refused.value)
    assert "asked: V for that" in str(refused.value)


def test_the_capacitance_asked_for_beside_comes_at_the_end() -> None:
    told = story("C1 = 40 uF rated 25 V -- C2 = 10 uF rated 63 V; asked: C, V")
    assert told.asks[-1].name == "V"
    assert told.closing[-1] == "C = 8 µF"
