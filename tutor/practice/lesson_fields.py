"""Tables of TOML in a lesson: their fields, each of its kind, and every fault with its place."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from grammar.records import Refusal
from grammar.refusals import nearest
from tutor.practice.lesson_places import LessonText, Value, Written, written
from tutor.practice.lessons import WrongChoice
from tutor.teaching.skills import BY_CODE, CODE_OF, UNITS

_COORDINATES: Final = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
# What tomllib finds, in plain words; the first that fits.
_PLAIN: tuple[tuple[str, str, str], ...] = (
    ("Cannot overwrite", "The name of this value stands twice.", "Give each name once."),
    ("Cannot declare", "A heading of this table stands twice.", "Give each heading once."),
    ("Expected '='", "A name is to be followed by = and a value.",
     'Write it as in: title = "Two in series".'),
    ("Illegal character '\\n'", "A text in quotes ends before its closing quote.",
     'Close the quotes on the same line, or put three quotes (""") at both ends.'),
    ("Unterminated", "A text in quotes has no closing quote.", "Close the quotes."),
    ("Unescaped", "A backslash in double quotes has a meaning of its own.",
     "Write \\\\ for one backslash, or put single quotes round the text."),
    ("Unclosed", "A bracket before this is not closed.", "Close it with ] or }."),
    ("Expected newline", "Something follows the value on this line.",
     "Put a text in quotes, and the next name on a line of its own."),
    ("Invalid value", "There is no value here that can be read.",
     'Put a text in quotes, as in "Two in series"; a whole number stands as it is; a list goes in '
     "[ and ]."),
    ("", "This cannot be read as a name and its value.",
     'Write each as in: title = "Two in series".'),
)  # fmt: skip
LONGEST_UNIT: Final = 60
MOST_WRONG: Final = 7  # a letter each, a to h with the right one
WRONG: Final = '{ say = "...", reply = "..." }'


class Table:
    """The fields of one table on the lines ``first`` to ``last`` of a file.

    What is asked of it and is not there, or is of another kind, is a fault; so is in the end what
    was never asked of it. A field with a fault reads as empty, so that reading can go on.
    """

    def __init__(self, source: LessonText, first: int, last: int, opened: int) -> None:
        self.source = source
        self.faults: list[Refusal] = []
        self.opened = opened
        self.values: Mapping[str, Any] = {}
        self.spots: Mapping[str, Written] = {}
        self._known: list[str] = []
        text = source.text[source.start_of(first) : source.start_of(last + 1)]
        try:
            self.values = tomllib.loads(text)
        except (ValueError, RecursionError) as error:  # numbers and brackets beyond all measure too
            self.faults.append(_unread(source, first, last, str(error)))
            return
        self.spots = written(source, first, last)

    @property
    def is_read(self) -> bool:
        """Whether it is TOML at all."""
        return not self.faults or bool(self.values)

    def text(self, key: str, needed: bool = True) -> str:
        """A text that is not empty; without it, if it is not ``needed``, an empty one."""
        example = '"..."'
        value = self._value(key, example, needed)
        if value is None:
            return ""
        if not isinstance(value, str):
            self._wrong_kind(key, "a text in quotes", example)
            return ""
        if not value.strip():
            self.fault(key, f"{key} is empty.", "Write something between the quotes.")
        return value

    def whole(self, key: str, least: int, most: int, otherwise: int | None = None) -> int:
        """A whole number in a range; ``otherwise`` where there is none."""
        value = self._value(key, str(least), otherwise is None)
        if value is None:
            return otherwise or 0
        if not isinstance(value, int) or isinstance(value, bool):
            self._wrong_kind(key, "a whole number", str(least))
        elif not least <= value <= most:
            self.fault(key, f"{key} is out of range.", f"Give a whole number, {least} to {most}.")
        else:
            return value
        return otherwise or 0

    def unit(self, key: str) -> int | str:
        """The number of a unit of the program, or the name of a teacher's own one."""
        value = self.values.get(key)
        if isinstance(value, int | None):
            return self.whole(key, min(UNITS), max(UNITS))
        if not isinstance(value, str):
            self._known.append(key)
            self._wrong_kind(key, "the number of a unit, or a name of your own in quotes", "3")
            return 0
        name = " ".join(self.text(key).split())
        if len(name) > LONGEST_UNIT:
            self.fault(key, f"{key} has more than {LONGEST_UNIT} letters.", "Give it a short name.")
        return name

    def skills(self, key: str, needed: bool = True) -> tuple[str, ...]:
        """Codes of the skills that a list names; one that stands twice is a fault."""
        example = '["two in series"]'
        value = self._value(key, example, needed)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
            self._wrong_kind(key, "a list of names of skills", example)
            return ()
        if not value:
            self.fault(key, f"{key} names no skill.", f"Name one, as in {example}.")
        codes: list[str] = []
        for index, name in enumerate(value):
            code = CODE_OF.get(" ".join(name.split()).lower())
            if code is None:
                self.fault_in(key, index, f"There is no skill '{name}'.", _near_skill(name))
            elif code in codes:
                self.fault_in(key, index, f"The skill '{name}' stands twice.", "Name it once.")
            else:
                codes.append(code)
        return tuple(codes)

    def wrong_choices(self, key: str) -> tuple[tuple[WrongChoice, int], ...]:
        """The wrong choices of a list, each with the index of its first plain value."""
        value = self._value(key, f"[{WRONG}]", True)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(each, dict) for each in value):
            self._wrong_kind(key, "a list of wrong choices", f"[{WRONG}]")
            return ()
        if not value:
            self.fault(key, "There is no wrong choice.", f"Add one, as in [{WRONG}].")
        if len(value) > MOST_WRONG:
            self.fault(key, f"There are {len(value)} wrong choices.", f"Keep {MOST_WRONG} of them.")
        found: list[tuple[WrongChoice, int]] = []
        at = 0
        for entry in value:
            if set(entry) == {"say", "reply"} and all(_is_text(each) for each in entry.values()):
                found.append((WrongChoice(entry["say"], entry["reply"]), at))
            else:
                missing = "A wrong choice needs the texts say and reply, and no more."
                self.fault_in(key, at, missing, f"Write it as {WRONG}.")
            at += sum(1 for _ in _leaves(entry))
        return tuple(found)

    def refuse_the_rest(self, about: str) -> None:
        """A fault for each field that nothing has asked for."""
        for key in self.values:
            if key not in self._known:
                near = nearest(key, self._known)
                cure = f"Did you mean {near}?" if near else "Leave it out."
                self.fault(key, f"{key} is no part of {about}.", cure)

    def know(self, *keys: str) -> None:
        """Count these as asked for."""
        self._known += keys

    def fault(self, key: str, found: str, cure: str) -> None:
        """A fault at a key or, where it is missing, at the line that opens the table."""
        spot = self.spots.get(key)
        place = self.source.at(spot.key) if spot else self.source.at_line(self.opened)
        self.faults.append(Refusal(found, cure, place))

    def fault_in(self, key: str, index: int, found: str, cure: str) -> None:
        """A fault at the plain value of this index under a key."""
        place = self.source.at(self.value_at(key, index).start)
        self.faults.append(Refusal(found, cure, place))

    def value_at(self, key: str, index: int = 0) -> Value:
        """Where a plain value under a key is written; the key itself where there is no such one."""
        spot = self.spots[key]
        return spot.values[index] if index < len(spot.values) else Value(spot.key, spot.key)

    def _value(self, key: str, example: str, needed: bool) -> Any:
        self._known.append(key)
        if key not in self.values and needed:
            self.fault(key, f"{key} is missing.", f"Add it as in: {key} = {example}")
        return self.values.get(key)

    def _wrong_kind(self, key: str, kind: str, example: str) -> None:
        self.fault(key, f"{key} is to be {kind}.", f"Write it as in: {key} = {example}")


def _unread(source: LessonText, first: int, last: int, message: str) -> Refusal:
    where = _COORDINATES.search(message)
    if where is not None and where[1]:
        offset = source.start_of(first + int(where[1]) - 1) + int(where[2]) - 1
    else:
        text = source.text[source.start_of(first) : source.start_of(last + 1)]
        offset = source.start_of(first) + len(text.rstrip())
    _, found, cure = next(each for each in _PLAIN if message.startswith(each[0]))
    return source.fault(offset, found, cure)


def _near_skill(name: str) -> str:
    skill = BY_CODE.get(name.upper())
    if skill is None:
        near = nearest(name, CODE_OF)
        skill = BY_CODE[CODE_OF[near]] if near else None
    if skill is None:
        return "Name one as the lessons of Platewalk do, as in 'two in series'."
    return f"Did you mean '{skill.name}'?"


def _is_text(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _leaves(value: object) -> Iterable[object]:
    """The plain values in a value, in order."""
    if isinstance(value, Mapping):
        value = list(value.values())
    if isinstance(value, Sequence) and not isinstance(value, str):
        for each in value:
            yield from _leaves(each)
    else:
        yield value
