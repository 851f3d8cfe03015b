"""Questions of practice: made from a seed, told to their end, every wrong answer answered."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from itertools import permutations

import pytest

from grammar.reading import read_network
from tests.conversing import about
from tests.sampled import some
from tests.teaching.staged.manners import check, check_manners, lines_of
from tutor.practice.questions.kinds import (
    KINDS,
    kind_in,
    kinds_for,
    make_question,
    story_of_question,
)
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.rules.catalogue import BY_OTHER_SIGNS, CATALOGUE
from tutor.teaching.settings import Settings
from tutor.teaching.skills import BY_CODE
from tutor.teaching.staged.choosing import LETTERS, is_lettered, named
from tutor.teaching.staged.orders_said import levels_in
from tutor.teaching.staged.story import Ask, Story

SEEDS = range(60)
OTHERWISE = Settings("voltage", "U", "W", "comma", 3)
NAMES = {m.name for m in CATALOGUE} | set(BY_OTHER_SIGNS)
by_kind = pytest.mark.parametrize("kind", KINDS)


@cache
def stories(kind: str) -> tuple[Story, ...]:
    return tuple(story_of_question(make_question(kind, seed)) for seed in SEEDS)


def right_word(ask: Ask) -> str:
    (right,) = [option for option in ask.options if option.is_right]
    return right.words[0]


def entry(ask: Ask, letter: str) -> str:
    """The text of an entry of the list in a question."""
    found = re.search(rf"^{letter}\) (.*)$", ask.text, re.MULTILINE)
    assert found is not None
    return found[1]


@by_kind
def test_told_to_the_end_with_manners(kind: str) -> None:
    for told in stories(kind)[:some(len(SEEDS))]:
        assert told.kind == kind
        check_manners(told)
        for line in lines_of(told):
            assert "p.d.." not in line
            assert "{" not in line


@by_kind
def test_one_answer_is_right_and_each_wrong_one_is_answered(kind: str) -> None:
    for told in stories(kind):
        turn = begin_story(told)
        for ask in told.asks:
            assert ask.hints
            assert ask.reveal
            assert ask.because
            for option in ask.options:
                answered = hear(turn.talk, option.words[0])
                verdict, *_ = answered.messages
                assert verdict.verdict == ("right" if option.is_right else "wrong")
                assert set(verdict.malrules) == set(option.malrules) <= NAMES
                if not option.is_right:
                    assert verdict.text == option.reply != ""
                    check(verdict)
            turn = hear(turn.talk, right_word(ask))
        assert turn.telling.over


@by_kind
def test_no_hint_holds_the_answer(kind: str) -> None:
    for told in stories(kind):
        for ask in told.asks:
            if not is_lettered(ask):
                continue
            right = entry(ask, right_word(ask))
            if re.search(r"\d", right):
                assert all(right not in hint for hint in ask.hints), ask


@by_kind
def test_lists_hold_different_entries_in_changing_order(kind: str) -> None:
    letters: Counter[str] = Counter()
    lettered = 0
    for told in stories(kind):
        for ask in told.asks:
            if is_lettered(ask):
                texts = [entry(ask, option.words[0]) for option in ask.options]
                assert len(set(texts)) == len(texts) >= 3
                letters[right_word(ask)] += 1
                lettered += 1
            else:
                letters[right_word(ask)] += 1
    assert len(letters) >= 2
    if lettered:
        assert max(letters.values()) < sum(letters.values()) * 0.8


@by_kind
def test_same_seed_same_question_in_any_settings(kind: str) -> None:
    for seed in SEEDS[:some(12, 4)]:
        question = make_question(kind, seed)
        assert question == make_question(kind, seed)
        told, retold = stories(kind)[seed], story_of_question(question, OTHERWISE)
        assert told == story_of_question(question)
        for ask, again in zip(told.asks, retold.asks, strict=True):
            assert [o.is_right for o in ask.options] == [o.is_right for o in again.options]
        words = "\n".join(lines_of(retold))
        assert "p.d." not in words
        words = words.replace("\n".join(retold.opening), "")  # the notation keeps its point
        assert not re.search(r"\bV\d|\bE = |Q = C V|Q/V|\d\.\d", words), words
        if question.network:
            read_network(question.network)
    texts = {"\n".join(lines_of(told)) for told in stories(kind)}
    assert len(texts) > len(SEEDS) * 0.7


@by_kind
def test_retold_with_manners(kind: str) -> None:
    for seed in SEEDS[:some(8, 4)]:
        check_manners(story_of_question(make_question(kind, seed), OTHERWISE), OTHERWISE)


@by_kind
def test_skills_are_those_of_the_kind(kind: str) -> None:
    met = set()
    for told in stories(kind):
        assert all(ask.skills for ask in told.asks)
        met |= {skill for ask in told.asks for skill in ask.skills}
    assert met == set(KINDS[kind].skills) <= set(BY_CODE)
    for skill in met:
        assert kind in kinds_for(skill)
    question = make_question(kind, 0)
    assert set(question.skills) == {s for ask in stories(kind)[0].asks for s in ask.skills}


def test_kinds_are_found_by_their_words() -> None:
    for name, kind in KINDS.items():
        assert kind_in(name) == name
        assert kind_in(f"a question: {name}, please") == name
        for words in kind.words:
            assert kind_in(words) == name, words
    assert kind_in("rank the potential differences") == "rank the p.d.s"
    assert kind_in("banana") is None
    assert kinds_for("S39") == ()


# Answering by a letter


@pytest.mark.parametrize(
    ("line", "levels"),
    [
        ("C1 biggest, then C3, then C2", "c1>c3>c2"), ("C2 smallest, then C3, then C1", "c1>c3>c2"),
        ("C1 and C2 the same, C3 least", "c1=c2>c3"), ("c3 > c1=c2", "c3>c1=c2"),
        ("C3 has the most, the other two are equal", "c3>c1=c2"), ("C2<C3<C1", "c1>c3>c2"),
        ("C3 holds less than C2 and C2 less than C1", "c1>c2>c3"), ("C1, C3, C2", "c1>c3>c2"),
        ("C1 and C3 are equal but C2 is higher", "c2>c1=c3"), ("C1 = C2 = C3", "c1=c2=c3"),
        ("the biggest is C1, next C3, last C2", "c1>c3>c2"),
        ("C1 > C3 < C2", None), ("not C1 > C3 > C2", None), ("C1 and C2 then C3", None),
        ("smallest first: C2, C3, C1", None), ("C1 is bigger than C2", None),
        ("C1 or C3, C2", None), ("1>3>2", "c1>c3>c2"), ("3 1 2", "c3>c1>c2"), ("1=2>3", "c1=c2>c3"),
        ("3, 2", None), ("3 > 2 > 2", None), ("3", None),
    ],
)
def test_an_order_is_told_in_signs_or_in_words(line: str, levels: str | None) -> None:
    told = None if levels is None else tuple(tuple(x.split("=")) for x in levels.split(">"))
    assert levels_in(line, ("C1", "C2", "C3")) == told


def test_letters_words_and_orders() -> None:
    told = story_of_question(make_question("rank the charges", 0))
    (ask,) = told.asks
    right = right_word(ask)
    order = entry(ask, right)
    telling = begin_story(told).telling
    backwards = " < ".join(reversed(order.split(" > ")))
    for line in (right, f"{right})", f"({right})", right.upper(), f"answer {right}", order,
                 order.lower().replace(" ", ""), backwards, order.replace(" > ", ", ")
                 if "=" not in order else order.replace("=", "equal to")):
        assert hear(about(telling), line).messages[0].verdict == "right", line
    for line in ("it is a chain", "e", "ab", "C1", "C1 > C2", "banana"):
        (verdict, again) = hear(about(telling), line).messages
        assert verdict.verdict == "unread"
        assert verdict.text.endswith(f"Type one of the letters: {', '.join(LETTERS[:3])} or d.")
        assert again.kind == "ask"
    assert hear(about(telling), "hint").messages[0].kind == "hint"


def test_an_order_is_taken_by_its_signs() -> None:
    """Every order of the three that is not among the entries is none of them."""
    names = ("C1", "C2", "C3")
    for seed in range(6):
        told = story_of_question(make_question("rank the charges", seed))
        (ask,) = told.asks
        entries = {order for option in ask.options for order in option.words[1:]}
        for first, then, last in permutations(names):
            order = f"{first} > {then} > {last}"
            said = [option.words[0] for option in named(ask, order)]
            assert bool(said) == (order in entries), (seed, order)


def test_pairs_may_be_named() -> None:
    told = story_of_question(make_question("spot a chain", 1))
    (ask,) = told.asks
    pair = entry(ask, right_word(ask))
    for line in (pair, pair.replace(" and", ""), pair.lower()):
        assert hear(begin_story(told).talk, line).messages[0].verdict == "right"


def test_nothing_to_draw_is_said() -> None:
    told = story_of_question(make_question("prefixes", 0))
    said, again = hear(begin_story(told).talk, "drawing").messages
    assert said.text.startswith("There is no drawing here")
    assert again.kind == "ask"
