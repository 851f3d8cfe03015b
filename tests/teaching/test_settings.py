"""Settings: what can be set, what is refused, and that what is printed follows them everywhere."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Refusal
from tutor.circuit.network import build
from tutor.teaching.exchange import begin, hear
from tutor.teaching.settings import (
    CHOICES,
    DEFAULTS,
    Settings,
    changed,
    in_words,
    set_by_words,
    setting_in,
)
from tutor.teaching.turn import Turn

NETWORK = "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V"
ROUTE = ["C23 = 5 uF", "p.d. at P and B", "C1 C23", "q at P", "C123 = 20/9 uF", "energy"]


def start(settings: Settings | None = None, text: str = NETWORK) -> Turn:
    return begin(build(read_network(text)), settings)


def told(turn: Turn, *lines: str) -> tuple[Turn, str]:
    texts = []
    for line in lines:
        turn = hear(turn.talk, line)
        texts += [message.text for message in turn.messages]
    return turn, "\n".join(texts)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("figures 3", DEFAULTS._replace(figures=3)),
        ("the number of figures to five", DEFAULTS._replace(figures=5)),
        ("6 significant figures", DEFAULTS._replace(figures=6)),
        ("decimal comma", DEFAULTS._replace(decimal_sign="comma")),
        ("p.d. voltage", DEFAULTS._replace(difference="voltage")),
        ("pd to potential difference", DEFAULTS._replace(difference="potential difference")),
        ("letters U W", DEFAULTS._replace(pd_letter="U", energy_letter="W")),
        ("p.d. letter U", DEFAULTS._replace(pd_letter="U")),
        ("figures 3, decimal comma and letters u w",
         Settings(decimal_sign="comma", figures=3, pd_letter="U", energy_letter="W")),
    ],
)
def test_words_set_what_they_say(words: str, expected: Settings) -> None:
    assert set_by_words(DEFAULTS, words) == expected


def test_the_last_word_for_a_difference_counts() -> None:
    called = set_by_words(DEFAULTS, "voltage")
    assert called.difference == "voltage"
    assert set_by_words(called, "voltage to p.d.").difference == "p.d."


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("figures 2", "figures cannot be 2. It may be 3, 4, 5 or 6."),
        ("figures 99999999999", "figures cannot be 999999999."),
        ("colour green", "colour cannot be set."),
        ("the to", "Nothing is said there that can be set."),
    ],
)
def test_what_cannot_be_set_is_said_once(words: str, says: str) -> None:
    with pytest.raises(Refusal, match=re.escape(says)):
        set_by_words(DEFAULTS, words)


@pytest.mark.parametrize("value", [True, 4.0, "4", None, [], 7])
def test_figures_are_a_whole_number_from_three_to_six(value: object) -> None:
    with pytest.raises(Refusal, match="figures cannot be"):
        changed(DEFAULTS, "figures", value)


@given(st.text(max_size=40))
def test_any_words_are_set_or_refused(words: str) -> None:
    try:
        settings = set_by_words(DEFAULTS, words)
    except Refusal:
        return
    for name, allowed in CHOICES.items():
        assert getattr(settings, name) in allowed


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("ask for everything", "everything"), ("ask me for results only", "results"),
        ("please ask for the end only", "the end"), ("only ask for the results", "results"),
        ("set ask as usual", "what is open"), ("Ask me everything.", "everything"),
    ],
)
def test_what_is_asked_is_set_in_plain_words(line: str, asked: str) -> None:
    words = setting_in(line, ["C1"])
    assert words is not None
    assert set_by_words(DEFAULTS, words).asked == asked


@pytest.mark.parametrize("line", ["ask C1", "the end", "what is the end of A", "everything"])
def test_other_lines_set_nothing(line: str) -> None:
    assert setting_in(line, ["C1"]) is None


def test_the_word_of_the_book_for_a_chain() -> None:
    settings = set_by_words(DEFAULTS, "series group, in series")
    assert settings.worded("A chain. Chains and parallel sets.") == (
        "A series group. Series groups and parallel groups."
    )
    assert DEFAULTS.worded("A chain.") == "A chain."
    turn = begin(build(read_network("6 uF -- 3 uF")), settings)
    turn = hear(turn.talk, "C1 C2, charge, P, 2 uF")
    assert any("C12 = 2 µF (in series)" in message.text for message in turn.messages)


def test_a_set_of_capacitors_is_no_setting() -> None:
    assert setting_in("set C1 C2", ["C1", "C2"]) is None
    assert setting_in("set figures 3", ["C1", "C2"]) == "figures 3"


def test_a_walk_takes_new_settings_and_asks_its_question_again() -> None:
    turn = start()
    question = turn.messages[-1]
    turn = hear(turn.talk, "set figures 3 and letters U W")
    (said, again) = turn.messages
    assert said.keep == Settings(figures=3, pd_letter="U", energy_letter="W")
    assert said.text == in_words(said.keep)
    assert again == question


def test_undo_keeps_the_settings() -> None:
    turn, _ = told(start(), "C2 C3", "set decimal comma", "undo")
    assert turn.walk.terms.decimal_sign == "comma"


def test_a_refused_setting_changes_nothing() -> None:
    turn, text = told(start(), "set figures 12")
    assert turn.walk.terms == DEFAULTS
    assert "It may be 3, 4, 5 or 6." in text


def test_figures_and_decimal_comma_are_used_everywhere() -> None:
    settings = Settings(decimal_sign="comma", figures=3)
    _, text = told(start(settings), *ROUTE, "Q = 26.7", "where are we", "fair copy")
    assert "2,22 µF" in text
    assert "26,7 µC" in text
    assert not re.search(r"\d\.\d", text)


def test_letters_are_used_everywhere_and_any_are_read() -> None:
    settings = Settings("voltage", "U", "W")
    lines = [*ROUTE, "Q = 26.667", "charge", "V1 = 6.6667 V", "hint", "U23 = 5.3333 V", "why",
             "E1 = 88.89 uJ", "W2 = 28.444 uJ", "where are we", "fair copy"]
    turn, text = told(start(settings), *lines)
    assert "U1 ≈ 6.667 V" in text
    assert "W1 ≈ 88.89 µJ" in text
    assert "W2 ≈ 28.44 µJ" in text
    assert "p.d." not in text
    assert not re.search(r"\b[VE][0-9]|\bE\b|[^0-9)] V\b(?! ×)", text), text
    assert not any(message.verdict == "unread" for message in turn.messages)


def test_the_work_of_the_supply_has_its_own_name_where_w_is_the_energy() -> None:
    turn, _ = told(start(Settings(energy_letter="W")), "C = 20/9 uF", "energy")
    for line, verdict in (("W = 160 uJ", "right"), ("W_supply = 320 uJ", "right")):
        turn = hear(turn.talk, line)
        assert turn.messages[0].verdict == verdict, turn.messages[0].text


def test_with_a_decimal_comma_three_decimals_are_no_doubt() -> None:
    series = "2 uF -- 3 uF || 7 uF".replace("2 uF -- 3 uF", "(2 uF -- 7 uF)")
    comma = start(Settings(decimal_sign="comma"), series)
    assert hear(comma.talk, "C = 8,556 uF").messages[0].verdict == "right"
    point = start(None, series)
    assert hear(point.talk, "C = 8,556 uF").messages[0].verdict == "right"  # as it can be meant
    assert "8.123 µF" in hear(point.talk, "C = 8,123 uF").messages[0].text  # how it was read
