"""A line cut into clauses: where one statement ends and the next begins.

A clause keeps what it is there for: something said, a reason ('because …'), a result ('so …').
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple, TypeAlias

from tutor.teaching.reading.spoken_words import Spoken

ClauseRole: TypeAlias = Literal["said", "reason", "result"]
VERBS = ("join", "cut", "move", "leave", "used", "split", "be", "conserve", "add", "keep", "send",
         "near", "equal", "same", "opposite", "neutral", "series", "parallel")
_ENDS = frozenset(",;.:!?()")


class Clause(NamedTuple):
    """Words that make one statement. ``denied``: it was said not to be the reason."""

    words: tuple[Spoken, ...]
    role: ClauseRole = "said"
    denied: bool = False

    def has(self, *concepts: str) -> bool:
        """Whether some word stands for one of these."""
        return any(word.is_a(*concepts) for word in self.words)

    def says(self, *texts: str) -> bool:
        """Whether one of these words is there as it stands."""
        return any(word.text in texts for word in self.words)

    def count(self, concept: str) -> int:
        """How many words stand for it."""
        return sum(word.is_a(concept) for word in self.words)

    def at(self, *concepts: str) -> int:
        """Where the first word for one of these stands, −1 where there is none."""
        return next((n for n, word in enumerate(self.words) if word.is_a(*concepts)), -1)

    @property
    def points(self) -> tuple[str, ...]:
        """Points it names."""
        return tuple(dict.fromkeys(w.point for w in self.words if w.point is not None))

    @property
    def capacitors(self) -> tuple[str, ...]:
        """Capacitors it names."""
        return tuple(dict.fromkeys(w.capacitor for w in self.words if w.capacitor is not None))

    @property
    def is_negative(self) -> bool:
        """Whether it is denied, two denials making none."""
        return (self.count("neg") + self.denied) % 2 == 1

    @property
    def text(self) -> str:
        """Its words."""
        return " ".join(word.text for word in self.words)


def clauses_in(words: Sequence[Spoken]) -> tuple[Clause, ...]:
    """The clauses of a line."""
    found: list[Clause] = []
    role: ClauseRole = "said"
    denied = False
    held: list[Spoken] = []

    def close() -> None:
        if held:
            found.append(Clause(tuple(held), role, denied))
            held.clear()

    for n, word in enumerate(words):
        if word.text == "notbecause":
            close()
            role, denied = "reason", True
        elif _is_because(words, n):
            close()
            role, denied = "reason", False
        elif word.text in ("so", "therefore", "hence", "thus", "consequently"):
            close()
            role, denied = "result", False
        elif role == "reason" and not found and _concludes(held, words[n:]):
            close()
            role = "result"
            held.append(word)
        elif word.text in _ENDS or word.text in ("but", "while", "whereas", "though", "although"):
            close()
            denied = denied and word.text == ","
            if word.text in (".", ";", "but"):
                role = "said" if role != "reason" else role
        elif word.text in ("and", "which", "that", "where", "when", "if") and _parts(words, n):
            close()
        else:
            held.append(word)
    close()
    return _with_fragments(found)


def _concludes(reason: list[Spoken], rest: Sequence[Spoken]) -> bool:
    """Whether a reason that stands first ends here, where it is said what they share: since both
    join P and B they have the same voltage.
    """
    start = rest[1:2] if rest[0].text == "the" else rest[:1]
    is_of_them = rest[0].text in ("they", "these", "those") or any(
        word.is_a("charge", "pd") for word in start
    )
    told = Clause(tuple(_until_mark(rest)))
    return is_of_them and told.has("charge", "pd") and told.has("same", "equal", "one") and (
        _states(reason) and not Clause(tuple(reason)).has("charge", "pd")
    )


def _is_because(words: Sequence[Spoken], n: int) -> bool:
    """'as' and 'for' bring a reason only where more of a sentence follows."""
    text = words[n].text
    if text in ("because", "since"):
        return True
    if text not in ("as", "for"):
        return False
    if n and words[n - 1].is_a("same"):
        return False
    rest = words[n + 1 :]
    return text == "as" and any(w.is_a(*VERBS) for w in rest) and not (
        rest and rest[0].text in ("they", "such") and len(rest) < 2
    )


def _parts(words: Sequence[Spoken], n: int) -> bool:
    """Whether a joining word stands between two statements, each with a verb of its own."""
    if words[n].text != "and":
        return n > 0 and not any(word.is_a("neg") for word in _until_mark(reversed(words[:n])))
    if 0 < n < len(words) - 1 and _alike(words[n - 1], words[n + 1]):
        return False
    before, after = _until_mark(reversed(words[:n])), _until_mark(words[n + 1 :])
    return _states(before) and _states(after)


def _alike(before: Spoken, after: Spoken) -> bool:
    """C1 and C2, P and B: names of one kind are one thing, whatever stands around them."""
    return bool(
        (before.capacitor and after.capacitor)
        or (before.point and after.point and before.point != after.point)
    )


def _until_mark(words: Iterable[Spoken]) -> list[Spoken]:
    found: list[Spoken] = []
    for word in words:
        if word.text in _ENDS or word.text in ("because", "since", "so", "and"):
            break
        found.append(word)
    return found


def _states(words: list[Spoken]) -> bool:
    return any(word.is_a(*VERBS) for word in words) and len(words) > 1


def _with_fragments(found: list[Clause]) -> tuple[Clause, ...]:
    """A clause without a verb of its own belongs to the one before it."""
    whole: list[Clause] = []
    for clause in found:
        alike = whole and whole[-1].role == clause.role and whole[-1].denied == clause.denied
        is_whole = clause.has(*VERBS, "quantity", "charge", "pd") or clause.says("nothingelse") or (
            clause.has("only") and clause.has("plate", "end")
        ) or _is_of_any_point(clause)
        goes_on = clause.words[0].text in ("is", "are", "were") and clause.role != "result"
        if whole and clause.points and _is_the_shared_alone(whole[-1]):
            whole.append(clause)  # p.d., P and B on both
        elif alike and (goes_on or not is_whole):
            whole[-1] = whole[-1]._replace(words=(*whole[-1].words, *clause.words))
        else:
            whole.append(clause)
    return tuple(whole)


def _is_of_any_point(clause: Clause) -> bool:
    """Whether a clause without a verb says what a point has, whichever it is: one potential each.
    """
    return clause.has("potential") and clause.says("per", "each", "every", "any", "a") and (
        clause.has("point", "metal") and not clause.points
    )


def _is_the_shared_alone(clause: Clause) -> bool:
    """Whether a clause is what is shared, and nothing of it."""
    return all(word.is_a("quantity", "pd", "charge") or word.text == "the" for word in clause.words)
