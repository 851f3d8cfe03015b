"""One sentence gone through from left to right, and what it claims.

A word of joining takes what stands before it and after it, or the list before it where nothing
follows; words that point back take what was told last. Where it is open how much is meant there
are several choices.
"""

from __future__ import annotations

from collections.abc import Sequence

from grammar.lenient.guess_book import (
    AGREED,
    LIKELY,
    LOOSELY,
    OPEN,
    ClaimBook,
    Span,
    after_commas,
    begins_with_one,
    closing,
    goes_on,
    has_some,
    one_by_one,
    points_at_all,
    rights,
    union_of,
    way_follows,
)
from grammar.lenient.guess_records import SERIES, WordHeard
from grammar.lenient.guess_trees import JoinClaim, bits_of


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
        self.framed: WordHeard | None = None  # a series connection of one and a group
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
            return self._joint(row, at)
        if each.kind == "back":
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
        end = closing(row, at)
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

    def _noun(self, row: Sequence[WordHeard], at: int, prefix: WordHeard | None = None) -> int:
        """``in series with a group``: what is in it follows, in this sentence or in the next."""
        if not has_some(row[at:]):
            self.awaits = True
            return at + 1
        end = next((i for i in range(at + 1, len(row)) if points_at_all(row, i)), len(row))
        inner = ClauseGuess(self.telling, 0)
        inner.prefix = prefix
        inner.tell(row[at + 1 : end])
        self.telling.unused += inner.pending
        self._joined(Span((inner.reached,), closed=True))
        self.reached |= inner.reached
        self.left = Span((inner.reached,), closed=True)
        return end

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
            elif each.kind not in ("and", "comma") or not goes_on(row, end + 1):
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
        is_split = told or self.pending or self.prefix is not None or len(members) > 2
        if len(members) > 1 and goes_back and is_split:
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
                self._closes_the_last(said, members)
            else:
                self._closes(said, one_by_one(members))
            span = Span((span.mask,), closed=True)
            self.prefix = None
        elif self.prefix is not None and self.prefix.kind == "way":
            self.framed = self.prefix
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
        if self.pending and self.left is None and self._waits(span, row, end):
            self.left = span
            self.telling.so_far |= span.mask
            self.reached |= span.mask
            return end
        if self.framed is not None and self.left is not None and not self.pending:
            self.pending = [self.framed]
        if self.pending:
            self._joined(span, self._is_told_further(row, end))
        self.runs = (*self.runs, *(span.members if not span.closed else (span.mask,)))
        self.reached |= span.mask
        self.telling.so_far |= span.mask
        self.left = span
        self.paused = ""
        return end

    def _closes_the_last(self, joint: WordHeard, members: Sequence[int]) -> None:
        """``a chain of a 6 and two 4 side by side``: a word said of the last of the list alone."""
        lasts = [members[at:] for at in range(1, len(members))]
        ends = [one_by_one(each) for each in lasts if union_of(each).bit_count() > 1]
        if not ends or self.prefix is None:
            self.telling.unused.append(joint)
            return
        wholes = [(*members[: len(members) - len(each)], union_of(each)) for each in lasts]
        wholes = wholes[: len(ends)]
        claims = ((joint, ends), (self.prefix, wholes))
        for said, told in claims:
            choices = tuple((AGREED, each) for each in told)
            self.telling.claims.append(JoinClaim(said.way, choices, said.text))
        self.telling.groups.append(union_of(members))

    def _waits(self, span: Span, row: Sequence[WordHeard], end: int) -> bool:
        """``in parallel with the 3 is a 6``: what is joined to these comes after them."""
        is_known = not span.mask & ~self.before or not self.before
        return is_known and has_some(row[end:])

    def _is_told_further(self, row: Sequence[WordHeard], end: int) -> bool:
        """``then a 4 across them``: what it is joined to follows, and 'then' is mere telling."""
        after = [each.kind for each in row[end : end + 2]]
        return after == ["way", "back"] or (after[:1] == ["way"] and row[end].form == "it")

    def _postfix(self, row: Sequence[WordHeard], end: int) -> WordHeard | None:
        """The word of joining after a list that is said of the list."""
        at = after_commas(row, end)
        if at + 1 < len(row) and row[at].kind == "back" and row[at + 1].kind == "way":
            at += 1  # all in series
        if at >= len(row) or row[at].kind != "way" or row[at].form:
            return None
        return row[at]

    def _closes(self, joint: WordHeard, operands: Sequence[int]) -> None:
        self.telling.claim(joint.way, operands, joint.text)
        self.telling.groups.append(union_of(operands))

    def _joint(self, row: Sequence[WordHeard], at: int) -> int:
        each = row[at]
        further = after_commas(row, at + 1)
        after = row[further].kind if further < len(row) else ""
        if each.form == "it" and self._comes_after(row, at, 1):
            self._await(each, self.telling.pointed_at(each, self.reached or self.before))
        elif each.form == "it":
            self._over(each, self.telling.pointed_at(each, self._all_before()))
        elif each.form == "of" and self.pending and begins_with_one(row, at + 1):
            return self._noun(row, at, each)
        elif self._leads(each, after):
            self.prefix = each
        elif not each.form and self._has_said(each):
            pass
        elif after:
            self.pending.append(each)
        elif each.form != "weak":
            self.telling.unused.append(each)
        return at + 1

    def _has_said(self, joint: WordHeard) -> bool:
        """``a 4, then a 3 end to end``: the same once more."""
        last = self.telling.claims[-1:]
        mask = self.left.mask if self.left is not None else 0
        return any(e.way == joint.way and mask in e.choices[0][1] for e in last)

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
            self._await(joint, self.telling.pointed_at(each, self.reached or self.before))
            return
        is_new = all(joint.form == "weak" for joint in self.pending) and way_follows(row, at)
        if self.pending and self.left is not None and not is_new:
            last = self.last_one if each.text.lower() in ("it", "that") else 0
            aims = self.telling.pointed_at(each, self._all_before(), last)
            aims = [aim for aim in aims if not aim & self.left.mask]
            self._over(self.pending[-1], aims[:1] if last and self.with_it else aims)
            self.pending = []
            return
        if all(joint.form == "weak" for joint in self.pending):
            self.pending = []
        aims = self.telling.pointed_at(each, self.reached)
        after = row[at + 1] if at + 1 < len(row) else None
        if not aims:
            return
        if after is not None and after.kind == "way" and not after.form:
            choices = tuple((AGREED, tuple(bits_of(aim))) for aim in aims)
            further = row[after_commas(row, at + 2) :]
            if not further or further[0].kind != "some":
                self.telling.claims.append(JoinClaim(after.way, choices, after.text))
                self.telling.groups.append(aims[0])
        self.left = Span((aims[0],), closed=True)
        self.reached |= aims[0]

    def _over(self, joint: WordHeard, aims: Sequence[int]) -> None:
        """What stands on the left is joined to what is pointed at."""
        mask = self.left.mask if self.left is not None else 0
        rank = (AGREED, LIKELY, OPEN, OPEN)
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
        if strong and len(strong) < len(self.pending) and not self.paused:
            self.paused = "comma"  # A beside B, then in series with C
        self.telling.unused += [each for each in strong[:-1] if each.way != joint.way]
        self.pending = []
        choices = tuple(
            (one * other, (*left, *operands))
            for one, left in self._lefts(joint)
            for other, operands in rights(right)
            if not union_of(left) & right.mask
        )
        if is_told_further and self.left is not None and len(self.left.members) > 1:
            choices = (*choices, (LIKELY, self.left.members))
        if self.paused in ("", "which") and self.left is not None and not self.left.closed:
            self._extend(self.left.mask)
        if choices:
            loosely = LIKELY if joint.form == "weak" else LOOSELY
            self.telling.claims.append(JoinClaim(joint.way, choices, joint.text, loosely))
            self.telling.groups.append(union_of(choices[0][1]))
        elif joint.form != "weak":
            self.telling.unused.append(joint)

    def _extend(self, mask: int) -> None:
        """What was joined to these may as well be joined to a part that begins with them."""
        if self.telling.claims and mask in self.telling.claims[-1].choices[0][1][-1:]:
            self.telling.claims[-1] = self.telling.claims[-1]._replace(loosely=AGREED)

    def _lefts(self, joint: WordHeard) -> list[tuple[float, tuple[int, ...]]]:
        """What may be meant on the left: what stands there, or all that was told before it."""
        whole = self.reached or self.before
        if self.left is None:
            return [(AGREED, (whole,))] if whole else []
        last, all_of_it = AGREED, AGREED
        if self.paused == "which" or (self.is_loose and not self.paused):
            all_of_it = OPEN
        elif self.paused == "comma" and joint.form != "weak":
            last = OPEN
        found: list[tuple[float, tuple[int, ...]]] = [(last, (self.left.mask,))]
        if not self.left.closed and len(self.left.members) > 1:
            found = [(last, self.left.members), (last * LIKELY, (self.left.mask,))]
            found.append((last * OPEN, self.left.members[-1:]))
        if whole != self.left.mask:
            found.append((all_of_it, (whole,)))
        return found
