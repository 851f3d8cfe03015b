"""The question that comes first everywhere: the p.d. or the charge."""

from __future__ import annotations

from typing import Literal

from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Option

PD_WORDS = (
    "p.d.", "p.d", "pd", "pds", "voltage", "voltages", "potential difference", "volts", "v", "u",
)
CHARGE_WORDS = ("the charge", "charge", "charges", "coulombs", "q")


def share_options(
    right: Literal["voltage", "charge"],
    reply: str,
    terms: Settings,
    malrules: tuple[str, ...] = (),
) -> tuple[Option, ...]:
    """The two answers in words; ``reply`` is said to the wrong one, which shows ``malrules``."""
    words = {"voltage": (f"the {terms.difference}", *PD_WORDS), "charge": CHARGE_WORDS}
    return tuple(
        Option(said, True) if kind == right else Option(said, False, reply, malrules)
        for kind, said in words.items()
    )
