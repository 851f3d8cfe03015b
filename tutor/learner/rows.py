"""The rows of the record as plain records, and how an observation becomes a row and back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from types import NoneType
from typing import TYPE_CHECKING, Any, Final, NamedTuple, TypeAlias
from unicodedata import normalize

from grammar.refusals import Refusal
from tutor.teaching.observation import Observation

if TYPE_CHECKING:
    from tutor.teaching.messages import Message

LONGEST_NAME: Final = 60
SOMEONE: Final = "me"  # who a learner is that gave no name
CellType: TypeAlias = type | tuple[type, ...]
OBSERVED: Final[tuple[CellType, ...]] = (
    str, str, str, str, str, int, int, int, str, int, str, str,
)  # fmt: skip
LISTS = ("skills", "malrules", "blamed", "chances")


class Learner(NamedTuple):
    """One learner, by a name or a code. ``made`` and ``last_used`` are seconds since 1970."""

    id: int
    name: str
    made: float
    exam: date | None
    last_used: float


class Sitting(NamedTuple):
    """One sitting of a learner: from opening the chat to leaving it.

    ``id`` is drawn by chance, so that sittings of two machines never share one; ``learner`` is
    the learner's number. ``opening`` is JSON text: what the chat was opened with. ``since`` is
    the last observation of this learner that was in the record when the sitting began (0: none),
    so that what was known then can be worked out again. ``continues`` is the sitting that this
    one goes on with, ``version`` the program's; it is empty until the first turn is kept.
    """

    id: str
    learner: int
    began: float
    opening: str
    since: int
    continues: str | None = None
    version: str = ""


class Exchange(NamedTuple):
    """One line typed and all that is said to it, as a shell gives it to the record.

    ``problem`` names the problem that the line belongs to and no other of its sitting, such as by
    its number. ``open``: after it something is in the middle; ``about`` says in short words what.
    """

    line: str
    messages: Sequence[Message]
    problem: str
    open: bool = False
    about: str = ""


class KeptMessage(NamedTuple):
    """One message as it was kept, numbered from 1 within its turn; see `Message`."""

    number: int
    kind: str
    about: str | None
    verdict: str | None
    step: int | None
    text: str
    malrules: tuple[str, ...]
    seen: Observation | None
    marks: tuple[int, int] | None = None


class KeptTurn(NamedTuple):
    """One turn as it was kept, numbered from 1 within its sitting; ``at`` is its time."""

    number: int
    at: float
    line: str
    problem: str
    open: bool
    about: str
    said: tuple[KeptMessage, ...]


def listed(codes: Sequence[str]) -> str:
    """A list of codes as the text that stands in a row."""
    return json.dumps(codes, ensure_ascii=False, separators=(",", ":"))


def codes_in(text: str) -> tuple[str, ...]:
    """The codes of a list in a row. Errors: ``ValueError`` for what is no such list."""
    found = json.loads(text)
    if not isinstance(found, list) or not all(isinstance(code, str) for code in found):
        raise ValueError("this is no list of codes")
    return tuple(found)


def storable(text: str) -> str:
    """The text without what no file in UTF-8 can hold: halves of pairs, from a broken input."""
    return text.encode("utf-8", "replace").decode("utf-8")


def row_of(observation: Observation) -> tuple[object, ...]:
    """An observation as the values of its columns, in the order of its fields."""
    return tuple(map(_cell, observation))


def observation_in(row: Sequence[Any], met: dict[str, tuple[str, ...]]) -> Observation:
    """The observation in a row. ``met`` holds lists already read: most come again and again.

    Errors: ``ValueError`` for a row that was not written by `row_of`.
    """
    values = dict(zip(Observation._fields, _of_kinds(row, OBSERVED), strict=True))
    for name in LISTS:
        text = values[name]
        if text not in met:
            met[text] = codes_in(text)
        values[name] = met[text]
    for name in ("helped", "weak", "sure"):
        values[name] = bool(values[name])
    return Observation(**values)


def learner_in(row: tuple[Any, ...]) -> Learner:
    """The learner in a row. Errors: ``ValueError`` for a row that cannot be one, as below."""
    learner = Learner._make(_of_kinds(row, (int, str, float, (str, NoneType), float)))
    return learner._replace(exam=learner.exam and date.fromisoformat(str(learner.exam)))


def sitting_in(row: tuple[Any, ...]) -> Sitting:
    """The sitting in a row. Errors: ``ValueError``."""
    return Sitting._make(
        _of_kinds(row, (str, int, float, str, int, (str, NoneType), str))
    )


def turn_in(row: tuple[Any, ...], said: tuple[KeptMessage, ...]) -> KeptTurn:
    """The turn in a row, with what was said. Errors: ``ValueError``."""
    number, at, line, problem, is_open, about = _of_kinds(row, (int, float, str, str, int, str))
    return KeptTurn(number, at, line, problem, bool(is_open), about, said)


def said_in(row: tuple[Any, ...], met: dict[str, tuple[str, ...]]) -> KeptMessage:
    """The message in a row, with what was seen in it; see `observation_in`."""
    number_or_none = (int, NoneType)
    kinds = (int, str, (str, NoneType), (str, NoneType), number_or_none, str, str,
             number_or_none, number_or_none)
    number, kind, about, verdict, step, text, malrules, got, of = _of_kinds(row[:9], kinds)
    seen, *values = row[9:]
    observation = None if seen is None else observation_in(values, met)
    marks = None if got is None or of is None else (got, of)
    return KeptMessage(
        number, kind, about, verdict, step, text, codes_in(malrules), observation, marks
    )


def shown_name(name: str) -> str:
    """The name as it is kept and shown. Errors: ``Refusal`` for what can be no name."""
    shown = " ".join(normalize("NFC", name).split())
    if not shown:
        raise Refusal("The name is missing.", "Type a name, initials or a code.")
    if len(shown) > LONGEST_NAME:
        raise Refusal(
            f"The name has {len(shown)} letters.", f"Use a name of up to {LONGEST_NAME}."
        )
    if not shown.isprintable():
        raise Refusal("The name holds a sign that cannot be shown.", "Use letters and digits.")
    return shown


def folded(name: str) -> str:
    """The name without what does not matter: case, forms of one letter, spaces in a row."""
    return " ".join(normalize("NFKC", normalize("NFKC", storable(name)).casefold()).split())


def _of_kinds(row: Sequence[Any], kinds: Sequence[CellType]) -> Sequence[Any]:
    """The row, if each cell is of its kind, which SQLite does not see to."""
    if not all(map(isinstance, row, kinds)):
        raise ValueError("a cell holds what does not belong there")
    return row


def _cell(value: object) -> object:
    if isinstance(value, tuple):
        return listed(value)
    return storable(value) if isinstance(value, str) else value
