"""Whether a line is a network of its own, and whether more of it is to come."""

from __future__ import annotations

import pytest

from tutor.front.incoming import has_supply, looks_like_network, values_in, wants_more

GOES_ON = [
    "C1 = 4 uF from A to P",
    "C1 = 4 uF from A to P; ends B",
    "4 uF between A and B",
    "wire from A to P",
    "C1 = 4 uF;",
    "4 uF -- (2 uF ||",
    "(4 uF",
    "4 uF --  # the first of three",
    "2 uF,",
]
ENDS_HERE = [
    "4 uF -- (2 uF || 3 uF), across 12 V",
    "C1 = 4 uF from A to B; ends A and B",
    "C1 = 4 uF from A to P\n",
    "",
    "what is the p.d. between A and B",
    "4 uF  # ends with a remark (",
]


@pytest.mark.parametrize("text", GOES_ON)
def test_it_goes_on(text: str) -> None:
    assert wants_more(text)


@pytest.mark.parametrize("text", ENDS_HERE)
def test_it_ends_here(text: str) -> None:
    assert not wants_more(text)


def test_in_a_walk_an_open_bracket_is_an_answer() -> None:
    assert not wants_more("(4*5/(4+5)", walking=True)
    assert not wants_more("C1, C2,", walking=True)
    assert wants_more("C1 = 4 uF from A to P", walking=True)
    assert wants_more("C1 = 4 uF;", walking=True)


@pytest.mark.parametrize(
    "text",
    [
        "4 uF -- 3 uF",
        "4uF || 3 nF",
        "5 uF, across 12 V",
        "2 uF and 3 uF in parallel",
        "C1 = 4 uF from A to P; ends A and P",
    ],
)
def test_networks_look_like_networks(text: str) -> None:
    assert looks_like_network(text)


@pytest.mark.parametrize(
    "text",
    ["C2 || C3", "C23 = C2 + C3 = 5 uF", "8.4 V", "5 uF", "C1 and C2 in series", "4 V across C1"],
)
def test_answers_do_not(text: str) -> None:
    assert not looks_like_network(text)


def test_values_are_told_apart_from_other_units() -> None:
    assert values_in("4 uF -- 4.7µF -- 3 V -- 24 uC -- 10 nF") == ("4uf", "4.7uf", "10nf")
    assert has_supply("5 uF, holding 24 uC")
    assert not has_supply("the p.d. across C1")
