"""One sentence gone through from left to right, and what it claims.

A word of joining takes what stands before it and after it, or the list before it where nothing
follows; words that point back take what was told last. Where it is open how much is meant there
are several choices.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from grammar.lenient.guess_records import SERIES, WordHeard
from grammar.lenient.guess_trees import JoinClaim, bits_of

_AGREED: Final = 1.0
_LIKELY: Final = 0.9
_OPEN: Final = 0.5
_LOOSELY: Final = 0.4


class Span(NamedTuple):
    """Some capacitors as they stand in a sentence: each told by itself, or ``closed`` as one."""

    members: tuple[int, ...]
    closed: bool = False

    @property
    def mask(self) -> int:
        """All of them."""
        return union_of(self.members)


def union_of(masks: Sequence[int]) -> int:
    """All capacitors of some sets of them."""
    whole = 0
    for each in masks:
        whole |= each
    return whole


class ClaimBook:
    """What has been claimed so far, and what may be pointed back at."""

    def __init__(self) -> None:
        self.claims: list[JoinClaim] = []
        self.groups: list[int] = []  # told as groups, in their order
        self.so_far = 0
        self.unused: list[WordHeard] = []  # words of joining that nothing came of

    def claim(self, way: str, operands: Sequence[int], text: str) -> None:
        """What is certain, if anything is."""
        self.claims.append(JoinClaim(way, ((_AGREED, tuple(operands)),), text))

    def pointed_at(self, many: int, before: int, last: int = 0) -> list[int]:
        """What words that point back can mean, the likeliest first; ``last`` where they may mean
        one alone.
        """
        found = [last] if last else []
        found += [each for each in reversed(self.groups) if many in (0, each.bit_count())]
        if len(self.groups) >= many > 1:
            found.append(union_of(self.groups[-many:]))
        whole = before or self.so_far
        if many in (0, whole.bit_count()):
            found.append(whole)
        return list(dict.fromkeys(each for each in found if each))


def has_some(row: Sequence[WordHeard]) -> bool:
    """Whether capacitors are told of."""
    return any(each.kind == "some" for each in row)


class ClauseGuess:
    """One sentence, or what is told of one part, from left to right."""

    def __init__(self, telling: ClaimBook, before: int) -> None:
        self.telling = telling
        self.before = before  # what was told in the sentences before it
        self.reached = 0  # what has been told in this one
        self.left: Span | None = None
        self.pending: list[WordHeard] = []
        self.awaits = False  # a group that is told later
        self.prefix: WordHeard | None = None
        self.paused = ""  # what stood between what is on the left and the word of joining
        self.is_loose = False  # what is on the left came after a mere 'then'
        self.owed: list[WordHeard] = []  # ways named before one alone, which others are to follow
        self.last_one = 0  # who was told of last before what is on the left
        self.with_it = False  # what is on the left was told with another: a 6 with a 2
        self.runs: tuple[int, ...] = ()

    def tell(self, row: Sequence[WordHeard]) -> None:
        """Go through it."""
        at = 0
        while at < len(row):
            at = self._next(row, at)
        ways = [claim.way for claim in self.telling.claims]
        self.telling.unused += [each for each in self.owed if each.way not in ways]
        if self.prefix is not None and self.prefix.kind == "way":
            self.telling.unused.append(self.prefix)

    def _next(self, row: Sequence[WordHeard], at: int) -> int:
        each = row[at]
        if each.kind == "some":
            self.with_it = at > 0 and row[at - 1].kind == "with"
            return self._run(row, at)
        if each.kind == "way":
            self._joint(row, at)
        elif each.kind == "back":
            self._points_back(row, at)
        elif each.kind == "open":
            return self._bracket(row, at)
        elif each.kind == "fork":
            self._forks(row, at)
        elif each.kind == "noun" and self.pending and self.prefix is None:
            return self._noun(row, at)
        elif each.kind in ("comma", "which", "and") and not self.pending:
            self.paused = each.kind
        return at + 1

    def _bracket(self, row: Sequence[WordHeard], at: int) -> int:
        """What stands in brackets, put together by itself; a mere remark is passed by."""
        end = _closing(row, at)
        inner = ClauseGuess(self.telling, 0)
        inner.tell(row[at + 1 : end])
        self.telling.unused += inner.pending
        if inner.reached:
            span = Span((inner.reached,), closed=True)
            if self.prefix is not None:
                self.telling.unused.append(self.prefix)
            if self.pending:
                self._joined(span)
            self.left = span
            self.reached |= inner.reached
            self.telling.so_far |= inner.reached
            if inner.reached.bit_count() > 1:
                self.telling.groups.append(inner.reached)
        return end + 1

    def _forks(self, row: Sequence[WordHeard], at: int) -> None:
        """``leads to a point from which``, ``then splits into``: what follows is side by side."""
        each = row[at]
        if self.reached and not self.pending:
            self.pending.append(WordHeard("way", each.text, way=SERIES, form="weak"))
        self.prefix = each
        self.awaits = not has_some(row[at:])

    def _noun(self, row: Sequence[WordHeard], at: int) -> int:
        """``in series with a group``: what is in it follows, in this sentence or in the next."""
        if not has_some(row[at:]):
            self.awaits = True
            return at + 1
        inner = ClauseGuess(self.telling, 0)
        inner.tell(row[at + 1 :])
        self.telling.unused += inner.pending
        self._joined(Span((inner.reached,), closed=True))
        self.reached |= inner.reached
        self.left = Span((inner.reached,), closed=True)
        return len(row)

    def _run(self, row: Sequence[WordHeard], at: int) -> int:
        """Capacitors listed one after the other, and what is said of all of them."""
        members: list[int] = []
        known = self.reached | self.before
        end = at
        while end < len(row):
            each = row[end]
            mask = sum(1 << i for i in each.who)
            if each.kind == "some":
                is_again = mask & union_of(members) or (
                    mask & known and members and not members[-1] & known
                )
                if is_again:
                    known |= union_of(members)
                    members = []
                members.append(mask)
            elif each.kind not in ("and", "comma") or not _goes_on(row, end + 1):
                break
            end += 1
        self._begin_anew(union_of(members))
        end = self._without_last(row, end, members)
        return self._take(row, end, members)

    def _begin_anew(self, mask: int) -> None:
        """A list of all before anything is said of them is not how they stand."""
        if mask & (self.reached | self.before) and not self.telling.claims and not self.pending:
            self.reached = self.before = self.telling.so_far = 0
            self.runs = ()

    def _without_last(self, row: Sequence[WordHeard], end: int, members: list[int]) -> int:
        """``A and B in series with C, D across them``: the last of a list begins anew."""
        goes_back = self._is_told_further(row, end)
        told = self.reached and self.reached.bit_count() > 1
        if len(members) > 1 and goes_back and (told or self.pending or len(members) > 2):
            members.pop()
            while row[end - 1].kind != "some":
                end -= 1
            return end - 1
        return end

    def _take(self, row: Sequence[WordHeard], end: int, members: list[int]) -> int:
        span = Span(tuple(members))
        after = self._postfix(row, end)
        many = span.mask.bit_count() > 1
        if many and (said := after or self.prefix) is not None:
            if self.prefix is not None and self.prefix.way != said.way:
                self.telling.unused.append(self.prefix)
            self._closes(said, _one_by_one(members))
            span = Span((span.mask,), closed=True)
            self.prefix = None
        elif self.prefix is not None and self.prefix.kind == "way":
            self.owed.append(self.prefix)
            self.prefix = None
        elif after is not None and not self.pending and (self.reached or self.before):
            self.pending.append(after)  # A and B in series and C in parallel
        else:
            after = None
        end = row.index(after, end) + 1 if after is not None else end
        if self.left is not None:
            self.last_one = 0 if self.left.closed else self.left.members[-1]
        if self._is_told_further(row, end):
            self.pending = [each for each in self.pending if each.form != "weak"]
        self.is_loose = any(each.form == "weak" for each in self.pending)
        if self.pending:
            self._joined(span, self._is_told_further(row, end))
        self.runs = (*self.runs, *(span.members if not span.closed else (span.mask,)))
        self.reached |= span.mask
        self.telling.so_far |= span.mask
        self.left = span
        self.paused = ""
        return end

    def _is_told_further(self, row: Sequence[WordHeard], end: int) -> bool:
        """``then a 4 across them``: what it is joined to follows, and 'then' is mere telling."""
        after = [each.kind for each in row[end : end + 2]]
        return after == ["way", "back"] or (after[:1] == ["way"] and row[end].form == "it")

    def _postfix(self, row: Sequence[WordHeard], end: int) -> WordHeard | None:
        """The word of joining after a list that is said of the list."""
        at = _after_commas(row, end)
        if at + 1 < len(row) and row[at].kind == "back" and row[at + 1].kind == "way":
            at += 1  # all in series
        if at >= len(row) or row[at].kind != "way" or row[at].form:
            return None
        return row[at]

    def _closes(self, joint: WordHeard, operands: Sequence[int]) -> None:
        self.telling.claim(joint.way, operands, joint.text)
        self.telling.groups.append(union_of(operands))

    def _joint(self, row: Sequence[WordHeard], at: int) -> None:
        each = row[at]
        further = _after_commas(row, at + 1)
        after = row[further].kind if further < len(row) else ""
        if each.form == "it" and self._comes_after(row, at, 1):
            self._await(each, self.telling.pointed_at(each.many, self.reached or self.before))
        elif each.form == "it":
            self._over(each, self.telling.pointed_at(each.many, self._all_before()))
        elif self._leads(each, after):
            self.prefix = each
        elif after:
            self.pending.append(each)
        elif each.form != "weak":
            self.telling.unused.append(each)

    def _leads(self, joint: WordHeard, after: str) -> bool:
        """Whether a word of joining is said of what follows: ``in series are``, ``a chain of``."""
        begins = self.left is None and not self.before and not joint.form and after == "some"
        return begins or (joint.form == "of" and after in ("some", "noun", "back"))

    def _comes_after(self, row: Sequence[WordHeard], at: int, size: int) -> bool:
        """Whether what is joined to what is pointed at comes after it: ``across them is a 4``."""
        before = row[at - 1].kind if at else "comma"
        after = row[at + size].kind if at + size < len(row) else ""
        follows = after in ("some", "fork", "noun", "open")
        if after == "way" and row[at + size].form in ("of", "to"):
            follows = True
        if after == "back":
            follows = self._comes_after(row, at, size + 1)
        return before != "some" and follows

    def _await(self, joint: WordHeard, aims: Sequence[int]) -> None:
        """What is pointed at stands on the left of what comes next."""
        if not aims:
            self.telling.unused.append(joint)
            return
        self.left = Span((aims[0],), closed=True)
        self.pending = [joint._replace(form="to")]
        self.paused = ""

    def _all_before(self) -> int:
        return (self.reached | self.before) & ~(self.left.mask if self.left else 0)

    def _points_back(self, row: Sequence[WordHeard], at: int) -> None:
        each = row[at]
        if self.pending and self._comes_after(row, at - 1, 2) and row[at - 1].kind == "way":
            joint = self.pending[-1]
            self.telling.unused += [e for e in self.pending[:-1] if e.way != joint.way]
            self._await(joint, self.telling.pointed_at(each.many, self.reached or self.before))
            return
        if self.pending and self.left is not None:
            last = self.last_one if each.text.lower() in ("it", "that") else 0
            aims = self.telling.pointed_at(each.many, self._all_before(), last)
            aims = [aim for aim in aims if not aim & self.left.mask]
            self._over(self.pending[-1], aims[:1] if last and self.with_it else aims)
            self.pending = []
            return
        aims = self.telling.pointed_at(each.many, self.reached)
        after = row[at + 1] if at + 1 < len(row) else None
        if not aims:
            return
        if after is not None and after.kind == "way" and not after.form:
            choices = tuple((_AGREED, tuple(bits_of(aim))) for aim in aims)
            further = row[_after_commas(row, at + 2) :]
            if not further or further[0].kind != "some":
                self.telling.claims.append(JoinClaim(after.way, choices, after.text))
                self.telling.groups.append(aims[0])
        self.left = Span((aims[0],), closed=True)
        self.reached |= aims[0]

    def _over(self, joint: WordHeard, aims: Sequence[int]) -> None:
        """What stands on the left is joined to what is pointed at."""
        mask = self.left.mask if self.left is not None else 0
        rank = (_AGREED, _LIKELY, _OPEN, _OPEN)
        aims = [each & ~mask for each in aims if each & ~mask]
        choices = tuple((worth, (mask, aim)) for worth, aim in zip(rank, aims, strict=False))
        if not choices or not mask:
            self.telling.unused.append(joint)
            return
        self.telling.claims.append(JoinClaim(joint.way, choices, joint.text))
        self.telling.groups.append(mask | aims[0])

    def _joined(self, right: Span, is_told_further: bool = False) -> None:
        """What stands on the left is joined to what stands on the right; where it is told of that
        what it is joined to, the word may be said of the left alone.
        """
        self.prefix = None
        strong = [each for each in self.pending if each.form != "weak"]
        joint = (strong or self.pending)[-1]
        self.telling.unused += [each for each in strong[:-1] if each.way != joint.way]
        self.pending = []
        choices = tuple(
            (one * other, (*left, *operands))
            for one, left in self._lefts(joint)
            for other, operands in _rights(right)
            if not union_of(left) & right.mask
        )
        if is_told_further and self.left is not None and len(self.left.members) > 1:
            choices = (*choices, (_LIKELY, self.left.members))
        if self.paused in ("", "which") and self.left is not None and not self.left.closed:
            self._extend(self.left.mask)
        if choices:
            loosely = _LIKELY if joint.form == "weak" else _LOOSELY
            self.telling.claims.append(JoinClaim(joint.way, choices, joint.text, loosely))
        elif joint.form != "weak":
            self.telling.unused.append(joint)

    def _extend(self, mask: int) -> None:
        """What was joined to these may as well be joined to a part that begins with them."""
        if self.telling.claims and mask in self.telling.claims[-1].choices[0][1][-1:]:
            self.telling.claims[-1] = self.telling.claims[-1]._replace(loosely=_AGREED)

    def _lefts(self, joint: WordHeard) -> list[tuple[float, tuple[int, ...]]]:
        """What may be meant on the left: what stands there, or all that was told before it."""
        whole = self.reached or self.before
        if self.left is None:
            return [(_AGREED, (whole,))] if whole else []
        last, all_of_it = _AGREED, _AGREED
        if self.paused == "which" or (self.is_loose and not self.paused):
            all_of_it = _OPEN
        elif self.paused == "comma" and joint.form != "weak":
            last = _OPEN
        found: list[tuple[float, tuple[int, ...]]] = [(last, (self.left.mask,))]
        if not self.left.closed and len(self.left.members) > 1:
            found = [(last, self.left.members), (last * _LIKELY, (self.left.mask,))]
            found.append((last * _OPEN, self.left.members[-1:]))
        if whole != self.left.mask:
            found.append((all_of_it, (whole,)))
        return found


def _rights(right: Span) -> list[tuple[float, tuple[int, ...]]]:
    if right.closed or len(right.members) == 1:
        return [(_AGREED, (right.mask,))]
    return [(_AGREED, right.members), (_LIKELY, (right.mask,)), (_OPEN, right.members[:1])]


def _goes_on(row: Sequence[WordHeard], at: int) -> bool:
    return at < len(row) and row[at].kind in ("some", "and")


def _after_commas(row: Sequence[WordHeard], at: int) -> int:
    while at < len(row) and row[at].kind in ("comma", "and", "which"):
        at += 1
    return at


def _closing(row: Sequence[WordHeard], at: int) -> int:
    """Where a bracket that opens here is closed; the end where it is not."""
    depth = 0
    for i in range(at, len(row)):
        depth += (row[i].kind == "open") - (row[i].kind == "close")
        if not depth:
            return i
    return len(row)


def _one_by_one(members: Sequence[int]) -> tuple[int, ...]:
    """Several of one value, told at once, stand each by itself in a list."""
    return tuple(bit for each in members for bit in bits_of(each))
