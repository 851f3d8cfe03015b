"""Equal capacitors that are not known, from what they come to together: a text to a record."""

from __future__ import annotations

import re
from typing import Final

from grammar.preparing import prepare
from grammar.records import Amount, Refusal, SoughtEqual
from grammar.worth import worth

EXAMPLE: Final = "C1 = ?; C2 = ?; C3 = ?; C1 = C2 = C3; C1 -- C2 -- C3 = 2 uF"
_NAME: Final = r"[A-Za-z][A-Za-z0-9_]*'*"
_SOUGHT: Final = re.compile(rf"(?<![A-Za-z0-9_])({_NAME})\s*=\s*\?")
_EQUAL: Final = re.compile(rf"{_NAME}(?:\s*=\s*{_NAME})+")
_TOTAL: Final = re.compile(rf"({_NAME}(?:\s*(--+|\|\|)\s*{_NAME})+)\s*=\s*(.+)")


def speaks_of_equals(text: str) -> bool:
    """Whether two or more values are missing and a clause says that all of them are equal."""
    names = set(_SOUGHT.findall(text))
    return len(names) > 1 and any(
        _EQUAL.fullmatch(clause) and set(re.findall(_NAME, clause)) == names
        for clause in _clauses(text)
    )


def read_equals(text: str) -> SoughtEqual:
    """The equal ones that are sought and what they come to in one chain or side by side.

    Errors: ``Refusal`` for anything else that is said of them.
    """
    plain = prepare(text).plain
    names = tuple(dict.fromkeys(_SOUGHT.findall(plain)))
    rest = [
        each for each in _clauses(plain) if not (_SOUGHT.fullmatch(each) or _EQUAL.fullmatch(each))
    ]
    found = _TOTAL.fullmatch(rest[0]) if len(rest) == 1 else None
    if (
        found is None
        or sorted(re.findall(_NAME, found[1])) != sorted(names)
        or (len({sign[0] for sign in re.findall(r"--+|\|\|", found[1])}) > 1)
    ):
        raise Refusal(
            "Equal missing values take one thing that is known of all of them together.",
            f"Write it like {EXAMPLE}.",
        )
    total = worth(found[3].strip(), "capacitance")
    if not isinstance(total, Amount):
        raise Refusal("Missing values need numbers with units.", f"Write it like {EXAMPLE}.")
    return SoughtEqual(names, "series" if found[2][0] == "-" else "parallel", total)


def _clauses(text: str) -> list[str]:
    return [clause.strip() for clause in text.split(";") if clause.strip()]
