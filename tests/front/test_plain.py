"""ASCII for every sign the program says, and exact text of numbers of any length."""

from __future__ import annotations

import ast
from fractions import Fraction
from pathlib import Path

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from tutor.circuit.exact import digits, exact_text
from tutor.front.plain import Page, to_ascii

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("C = 20/9 µF ≈ 2.222 μF", "C = 20/9 uF ~ 2.222 uF"),
        ("½ C V² × 2½", "1/2 C V^2 x 2 1/2"),
        ("6.2 × 10⁻¹² F, −3 V", "6.2 x 10^-12 F, -3 V"),
        ("C1 ∥ C2 ‖ C3 — C4 – C5…", "C1 || C2 || C3 -- C4 - C5..."),
        ("“A” and ‘B’ → 3 Ω", "\"A\" and 'B' -> 3 ohm"),
        ("A ─╢C1╟─ P", "A -|C1|- P"),
        ("a café, 電", "a cafe, ?"),
    ],
)
def test_signs_become_words_and_marks_of_ascii(text: str, plain: str) -> None:
    assert to_ascii(text) == plain


def said_in(folder: str) -> set[str]:
    """Every sign outside ASCII in the strings of a folder's code, its docstrings too."""
    trees = [ast.parse(path.read_text("utf-8")) for path in (ROOT / folder).rglob("*.py")]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    said = [node.value for node in nodes if isinstance(node, ast.Constant)]
    return {sign for text in said if isinstance(text, str) for sign in text if not sign.isascii()}


@pytest.mark.parametrize("folder", ["tutor/circuit", "tutor/teaching"])
def test_every_sign_that_the_tutor_says_is_known(folder: str) -> None:
    signs = said_in(folder)
    assert [sign for sign in signs if to_ascii(sign) == "?"] == []


@given(st.text(st.characters(exclude_categories=["Cs"])), st.integers(0, 300))
def test_lines_keep_within_any_page(text: str, width: int) -> None:
    page = Page(width, ascii=True)
    lines = page.wrapped(text, "  ")
    assert all(line.isascii() and len(line) <= page.columns for line in lines)


@given(st.integers(), st.integers(0, 20_000))
def test_digits_of_long_numbers(number: int, places: int) -> None:
    """A power of ten is multiplied in, since its digits are known without printing them."""
    text = digits(number * 10**places)
    assert text == (f"{number}{'0' * places}" if number else "0")
    half = digits(10**places + 1) if places else "2"
    assert half == (f"1{'0' * (places - 1)}1" if places else "2")


def test_exact_text_of_values() -> None:
    assert exact_text(Fraction(1, 200_000)) == "1/200000"
    assert exact_text(Fraction(12)) == "12"
    assert exact_text(Fraction(0)) == "0"
    letter = sympy.Symbol("C", positive=True)
    assert exact_text(2 * letter / 3) == "2*C/3"
    long = exact_text(sympy.Rational(10**5000 + 1, 3) * letter)
    assert long == f"1{'0' * 4999}1*C/3"
