"""The joinings in a story of charging: who is joined to whom, and who is taken off again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from grammar.lenient.charged_caps import ChargedCaps, NoSuchStory
from grammar.lenient.tokens import Chunk

_JOINS: Final = ("JOIN", "RESTORED")
_VALUES: Final = ("CAPV", "LC")
# What may stand between a joint and the supply that it leads to.
_TO_A_SUPPLY: Final = (
    "WORD", "TO", "ACROSS", "A", "SOURCE", "OF", "PD", "ON", "THE", "THEM", "IN", "SER", "PAR",
    "FROM", "IS", "WITH", "AND", "CHARGED", "BY", "BOTH", "EACH", "TERMINAL", "AT",
)  # fmt: skip
_CAPS_CHARGED: Final = ("CHARGED", "HOLD", "AT", "CHGN", "UNCHARGED", "WHICH")
_POLES: Mapping[str, str] = {"LIKEPL": "like", "CROSSED": "crossed", "UNLIKE": "crossed"}
_NEAR: Final = 4  # pieces
_WAY_NEAR: Final = 6  # pieces between a joint and the way that is named of it


class _Join(NamedTuple):
    """Who is joined, by number, and who was taken off before."""

    whom: tuple[int, ...]
    gone: tuple[int, ...] = ()
    crossed: bool = False


class ChargedJoins:
    """What has been joined so far; ``_is_on`` are those that are joined now."""

    def __init__(self, caps: ChargedCaps) -> None:
        self._caps = caps
        self._steps: list[_Join] = []
        self._is_on: tuple[int, ...] = ()
        self._poles: set[str] = set()
        self._is_joining = self._is_parted = self._is_replaced = self._goes_on = False
        self._parted: list[int] = []
        self._since = 0  # how many there were when the last were joined or parted
        self._begun = 0  # so many steps before this sentence

    def hear(self, said: Sequence[Chunk], at: int) -> int:
        """Where it goes on after a piece that tells of joining, 0 where it does not."""
        tag = said[at].tag
        if tag in _JOINS:
            self._join(said, at)
        elif tag in _POLES:
            self._poles.add(_POLES[tag])
        elif tag in ("SER", "PAR") and not self._caps.open():
            self._say_way(said, at)
        elif _parts(said, at):
            self._part(said, at)
        elif tag == "THEN" and len(self._caps.all) > self._since:
            self._go_on(said[at:])
            return 0
        elif tag in _VALUES and self._is_joining and self._goes_on:
            raise NoSuchStory  # joined to one, then to another
        elif tag in ("VOLT", "CHG") and self._is_joining:
            _refuse_a_new_supply(said, at)
            return 0
        elif tag == "PLATE" and not _tells_polarity(said):
            raise NoSuchStory
        else:
            return 0
        return at + 1

    def _go_on(self, rest: Sequence[Chunk]) -> None:
        """Something comes later: by a joint of its own, or by the one before."""
        if self._is_joining and any(each.tag in _JOINS for each in rest):
            self._close()
        else:
            self._goes_on = True

    def _say_way(self, said: Sequence[Chunk], at: int) -> None:
        near = [each.tag for each in said[max(0, at - _WAY_NEAR) : at]]
        since = near[max((i for i, tag in enumerate(near) if tag in _JOINS), default=0) :]
        if said[at].tag == "SER" or not {*_JOINS} & {*since} or "IS" in since:
            raise NoSuchStory

    def _join(self, said: Sequence[Chunk], at: int) -> None:
        if leads_to_a_supply(said, at):
            return
        if self._are_arranged():
            self._caps.are_arranged = True
            return
        if self._is_joining and len(self._caps.all) > max(self._since, 1):
            self._close()
        self._is_joining, self._goes_on = True, False
        if self._is_parted and not self._parted:
            self._parted = [i for i in self._caps.subject if i in self._is_on]
        self._is_replaced = self._is_parted and len(self._caps.all) > self._since
        if self._is_replaced and any(each.tag == "THEM" for each in said[at:]):
            raise NoSuchStory
        self._caps.rest()

    def _are_arranged(self) -> bool:
        """Whether these are joined before anything is put on them."""
        caps = self._caps.all
        return bool(caps) and not any(each.begins or each.in_row for each in caps)

    def _part(self, said: Sequence[Chunk], at: int) -> None:
        if self._is_joining:
            self._close()
        if not self._steps:
            return
        if _is_from_a_supply(said, at) or self._is_parted:
            raise NoSuchStory
        self._is_parted = True
        self._parted = [i for i in self._caps.subject if i in self._is_on]
        self._since = len(self._caps.all)
        self._caps.rest()

    def end(self) -> None:
        """A sentence is over; one that says which plates meet, joins them."""
        self._is_joining = self._is_joining or bool(self._poles and not self._steps)
        self._close()
        if not self._poles or not self._steps:
            return
        if len(self._poles) > 1 or (
            len(self._steps) - self._begun > 1 and "like" not in self._poles
        ):
            raise NoSuchStory
        last = self._steps[-1]
        self._steps[-1] = last._replace(crossed="crossed" in self._poles)
        self._poles = set()
        self._begun = len(self._steps)

    def _close(self) -> None:
        """Those that were told of so far are joined."""
        if not self._is_joining:
            return
        self._is_joining = False
        caps = self._caps.all
        new = tuple(i for i in range(len(caps)) if not self._steps or i >= self._since)
        if not self._steps and len(caps) < 2:
            return
        if self._steps and not new:
            if self._is_parted:
                raise NoSuchStory
            return
        if not all(each.begins or each.in_row for each in caps):
            raise NoSuchStory
        self._add(new)
        self._since = len(caps)

    def _add(self, new: tuple[int, ...]) -> None:
        if not self._steps:
            self._is_on = new
            self._steps.append(_Join(new))
            return
        kept, gone = self._who_stays() if self._is_parted else (self._is_on, ())
        self._steps.append(_Join((kept[0], *new), gone))
        self._is_on = (*kept, *new)
        self._is_parted = False

    def _who_stays(self) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Who is joined to the next, and who has been taken off: the one that was charged goes on,
        or whoever is named in the meantime, unless another was put in the place of that one.
        """
        named = [i for i in self._caps.subject if i in self._is_on]
        if not named and self._is_replaced and self._parted:
            named = [i for i in self._is_on if i not in self._parted]
        charged = [i for i in self._is_on if self._caps.all[i].begins != "uncharged"]
        stays = named or self._parted or charged
        if len(stays) != 1:
            raise NoSuchStory
        return tuple(stays), tuple(i for i in self._is_on if i not in stays)

    def told(self) -> list[str]:
        """The steps in the notation. Errors: ``NoSuchStory`` where none are joined, or it is not
        clear how.
        """
        caps = self._caps.told()
        if not self._steps or self._is_parted or self._poles:
            raise NoSuchStory
        in_row = any(each.in_row for each in caps)
        if in_row and (len(self._steps) > 1 or len(self._steps[0].whom) < len(caps)):
            raise NoSuchStory
        return [step for each in self._steps for step in self._in_signs(each)]

    def _in_signs(self, step: _Join) -> list[str]:
        caps = self._caps.told()
        names = [caps[i].name for i in step.whom]
        if step.crossed and len(names) > 2:
            raise NoSuchStory
        then = "then " if step is not self._steps[0] or caps[0].in_row else ""
        listed = f"{', '.join(names[:-1])} and {names[-1]}"
        off = [f"then take out {caps[i].name}" for i in step.gone]
        return [*off, f"{then}join {listed}{' crossed' if step.crossed else ''}"]


def leads_to_a_supply(said: Sequence[Chunk], at: int) -> bool:
    """``connected to a 9 V battery``: what is joined so is charged."""
    after = at + 1
    while after < len(said) and said[after].tag in _TO_A_SUPPLY:
        after += 1
    return after < len(said) and said[after].tag == "VOLT"


def _parts(said: Sequence[Chunk], at: int) -> bool:
    tag, word = said[at].tag, said[at].text.lower()
    if tag == "GAPN":
        if not word.startswith(("separated", "apart")):
            raise NoSuchStory
        return True
    if tag == "TAKE":
        return any(each.tag == "OFF" for each in said[at : at + _NEAR])
    return tag == "DISCON" or word in ("parted", "part", "separate")


def _is_from_a_supply(said: Sequence[Chunk], at: int) -> bool:
    near = said[max(0, at - 3) : at + _NEAR + 1]
    return any(each.tag == "SOURCE" for each in near)


def _refuse_a_new_supply(said: Sequence[Chunk], at: int) -> None:
    """Errors: ``NoSuchStory`` for a p.d. after a joint that no capacitor is said to hold."""
    before = at - 1
    while before >= 0 and said[before].tag not in (*_VALUES, *_JOINS):
        if said[before].tag in _CAPS_CHARGED:
            return
        before -= 1
    raise NoSuchStory


def _tells_polarity(said: Sequence[Chunk]) -> bool:
    return any(each.tag in (*_POLES, "LIKE") for each in said)
