"""What the dialogue sends out: plain records that a shell prints, and nothing about how."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

if TYPE_CHECKING:
    from tutor.teaching.depicted import Depicted
    from tutor.teaching.observation import Observation
    from tutor.teaching.quantities import Quantity
    from tutor.teaching.settings import Settings

MessageKind: TypeAlias = Literal["ask", "verdict", "reveal", "hint", "say", "close"]
Verdict: TypeAlias = Literal["right", "wrong", "incomplete", "unread"]
About: TypeAlias = Literal[
    "choice", "shares", "reason", "value", "charge", "voltage", "potential", "energy", "check",
    "change",
]


class Message(NamedTuple):
    """One thing said to the learner.

    ``step`` counts the steps of the walk from 1; ``about`` is what is asked or judged;
    ``drawn`` is there where a shell may add a drawing; ``weak`` marks a right answer that a wrong
    rule gives as well, here, so that it shows little; ``malrules`` name wrong rules that give
    the learner's number, for the record and never for the screen. ``save_as`` names a file in
    which the shell is to save the text, ``keep`` are settings for it to keep. ``of`` is the
    quantity that a verdict judges, and ``seen`` what the record keeps of it. ``marks`` are those
    of a marked question, and what they are out of. ``heading`` is that of the page of a lesson
    that it stands on.
    """

    kind: MessageKind
    text: str
    step: int | None = None
    about: About | None = None
    verdict: Verdict | None = None
    drawn: Depicted | None = None
    weak: bool = False
    malrules: tuple[str, ...] = ()
    save_as: str | None = None
    keep: Settings | None = None
    of: Quantity | None = None
    seen: Observation | None = None
    marks: tuple[int, int] | None = None
    heading: str = ""
