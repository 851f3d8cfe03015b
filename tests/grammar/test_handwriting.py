"""A script brought into plain lines: what is crossed out, boxed, numbered, stacked or in TeX."""

from __future__ import annotations

import pytest

from grammar.handwriting import lines_as_written


@pytest.mark.parametrize(
    ("written", "plain"),
    [
        ("1    1    1\n-- = -- + --\nC    8    12", ["", "1/C = 1/8 + 1/12", ""]),
        ("     8 x 12\nC = -------- = 4.8 uF\n     8 + 12",
         ["", "C = (8 x 12)/(8 + 12) = 4.8 uF", ""]),
        ("1/C = 5/24\n------------\nC = 4.8 uF", ["1/C = 5/24", "", "C = 4.8 uF"]),
        (r"$C = \frac{24}{5} = 4.8\,\mu F$", ["C = (24/5) = 4.8 µF"]),
        (r"\frac{1}{C} = \frac18 + \frac1{12}", ["(1/C) = (1/8) + (1/12)"]),
        (r"C = \dfrac{8 \cdot 12}{8 + 12}", ["C = ((8 × 12)/(8 + 12))"]),
        (r"Q = 4.8 \times 10^{-6}", ["Q = 4.8 × 10^(-6)"]),
        ("<s>C = 20 uF</s> C = 4 uF", ["C = 4 uF"]),
        ("[crossed out: C = 20 uF]", [""]),
        ("~~C = 20~~ no", ["no"]),
        ("Q1 = 8*5 = 42, sorry 40 uC; V2 = 3 V", ["Q1 = 8*5 = 40 uC; V2 = 3 V"]),
        ("C = 18 uF (no!! series) so 72/18 = 4 uF", ["series so C = 72/18 = 4 uF"]),
        ("C12 = 9 uF, C = 5 uF - hang on, C = 3.6 uF", ["C12 = 9 uF, C = 3.6 uF"]),
        ("C = 4 uF. Sorry, untidy: Q = 40 uC", ["C = 4 uF. Sorry, untidy: Q = 40 uC"]),
        ("V2 = 6 V, no charge on C5", ["V2 = 6 V, no charge on C5"]),
        ("Q3 = 12 uC, not 20 which would be wrong", ["Q3 = 12 uC, not 20 which would be wrong"]),
        ("V1 = 7 V\nno, that's wrong: V1 = 9 V", ["", "no, that's wrong: V1 = 9 V"]),
        ("V1 = 7 V\nno, V2 = 9 V", ["V1 = 7 V", "no, V2 = 9 V"]),
        ("**C = 4.8 uF**", ["C = 4.8 uF"]),
        ("[ C = 4.8 uF ]", ["C = 4.8 uF"]),
        ("_________", [""]),
        ("Q2) Q = 48 uC", ["Q = 48 uC"]),
        ("Step 3 - V1 = 6 V", ["V1 = 6 V"]),
        ("V1 : V2 = 6 : 3", ["V1/V2 = 6/3"]),
        ("C = 4.8 * 10^-6 F", ["C = 4.8e-6 F"]),
        ("C = 4.8x10-6 F", ["C = 4.8e-6 F"]),
        ("Q = 4.8µ × 10", ["Q = 4.8e-6 × 10"]),
        ("-9 V", ["-9 V"]),
        ("2(10 - x) = 3", ["2(10 - x) = 3"]),
    ],
)
def test_every_hand_is_brought_into_plain_lines(written: str, plain: list[str]) -> None:
    assert [line.plain for line in lines_as_written(written)] == plain


def test_a_line_of_a_stacked_fraction_names_the_line_it_counts_on() -> None:
    above, bars, below = lines_as_written("  8 x 12\nC = ------\n    8 + 12  ")
    assert (above.part_of, bars.part_of, below.part_of) == (2, None, 2)
