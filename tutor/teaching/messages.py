"""What the dialogue sends out: plain records that a shell prints, and nothing about how."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Network

MessageKind: TypeAlias = Literal["ask", "verdict", "reveal", "hint", "say", "close"]
Verdict: TypeAlias = Literal["right", "wrong", "incomplete", "unread"]
About: TypeAlias = Literal[
    "choice", "shares", "points", "value", "charge", "voltage", "energy", "check"
]


class Message(NamedTuple):
    """One thing said to the learner.

    ``step`` counts the steps of the walk from 1; ``about`` is what is asked or judged;
    ``network`` is there where a shell may add a drawing; ``malrules`` name wrong rules that give
    the learner's number, for the record and never for the screen.
    """

    kind: MessageKind
    text: str
    step: int | None = None
    about: About | None = None
    verdict: Verdict | None = None
    network: Network | None = None
    malrules: tuple[str, ...] = ()
