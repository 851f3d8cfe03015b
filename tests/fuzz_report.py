"""Strange texts through every reader and every dialogue: ``python -m tests.fuzz_report [texts]``.

Printed for each: how many there were, which raised anything but a refusal, the slowest against
the median of texts that mean something, how much memory was kept, and what could have reached a
terminal that no text may carry. Chance comes from fixed seeds. With ``--figures FILE`` the count
goes on where it was stopped. Times are of the processor, so that a busy machine does not count;
a text over the bar is taken twice more, and its best time counts.
"""

from __future__ import annotations

import resource
import time
from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from statistics import median
from typing import Final, NamedTuple

from grammar.answers import read_claims
from grammar.any_text import readings_of
from grammar.reading import read_network
from grammar.records import Refusal
from tests.sharded import Figures, Shard, asked, counted
from tests.strange_texts import said, strange
from tutor.circuit.network import build
from tutor.front.pipe import fields
from tutor.front.plain import Page
from tutor.teaching.conversation import Replied
from tutor.teaching.exchange import begin, begin_story, hear
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import Scheme
from tutor.teaching.reading.propositions import propositions_in
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import TextSource, story_of

TEXTS: Final = 20_000
OF_A_SHARD: Final = 5_000
DIALOGUES: Final = "dialogues"
LINES_OF_A_DIALOGUE: Final = 20
SETTLED: Final = 1_000  # texts after which a reader has all that it keeps
ASKED_OF_A_SLOW_ONE: Final = 100  # times the median of those that mean something
_LADDER: Final = read_network("6 uF -- (9 uF || 5 uF), across 15 V; asked: Q2, E1")
_NETWORK: Final = build(_LADDER).network
_NAMES: Final = ("C1", "C2", "C3", "C23", "C", "Q", "V", "E", "V1", "Q1", "Q2", "E1")
PROBLEMS: Final = (
    "6 uF -- (9 uF || 5 uF), across 15 V",
    "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 3 uF from P to B; C4 = 4 uF from Q to B; "
    "C5 = 5 uF from P to Q; ends A and B; across 12 V",
    "2C -- (C || C/2), across V",
    "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V",
    "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed",
    "5 uF, across 12 V; then remove supply; then fill C1 with 4",
    "C1 = plates 100 cm2 gap 1 mm filled 2.5; across 12 V",
    "C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5",
    "C1 = 3 uF -- C2 = ?; C = 2.1 uF",
    "ladder of (series 2 uF, shunt 4 uF) without end, across 12 V",
    "bank of 10 uF rated 50 V for 20 uF at 200 V",
)


class Reader(NamedTuple):
    """What takes a text, the texts that mean something to it, and its share of all texts."""

    name: str
    take: Callable[[str], object]
    good: tuple[str, ...]
    one_in: int = 1


class Found(NamedTuple):
    """What came of the texts of one reader: faults, and texts with an escape; times in seconds."""

    texts: int
    slowest: float
    usual: float
    slowest_text: str
    faults: tuple[str, ...]
    escaped: tuple[str, ...]
    kept: int  # kilobytes of memory more than after the first thousand


def readers() -> tuple[Reader, ...]:
    """The four readers; working is marked whole, which takes longest."""
    answers = said("read_answers.toml", "line")
    return (
        Reader("networks", readings_of, (
            *said("read_networks.toml", "text"), *said("networks_as_written.toml", "text")[::10],
        )),
        Reader("answers", lambda text: read_claims(text, _NAMES), answers),
        Reader("reasons", lambda text: propositions_in(text, _NETWORK), said(
            "reasons_said.toml", "enough", "half", "false", "idea", "none"
        )),
        Reader("working", lambda text: mark_working(_LADDER, text, Scheme()), answers, 20),
    )


def through_a_reader(reader: Reader, texts: int, seed: int = 1) -> Found:
    """Strange texts through one reader."""
    usual = median(_seconds(reader.take, text)[0] for text in reader.good)
    return _found(reader.take, islice(strange(reader.good, seed), texts), usual)


def through_dialogues(lines: int, seed: int = 2) -> Found:
    """Strange lines among those that mean something, in problems of every kind."""
    good = (
        *said("walks.toml", "say"), *said("read_answers.toml", "line"), "hint", "why", "show",
        "undo", "what if C1 is doubled", "C1 and C2", "charge, at P", "none", "C2 C3",
    )
    talks = [_begun(text) for text in PROBLEMS]
    state = list(talks)
    at = [0]

    def take(line: str) -> object:
        which = at[0] // LINES_OF_A_DIALOGUE % len(talks)
        if at[0] % LINES_OF_A_DIALOGUE == 0:
            state[which] = talks[which]
        at[0] += 1
        state[which] = hear(state[which].talk, line)
        return state[which]

    usual = median(_seconds(take, line)[0] for line in good)
    mixed = (text for pair in zip(strange(good, seed), _often(good), strict=False) for text in pair)
    return _found(take, islice(mixed, lines), usual)


def _often(good: tuple[str, ...]) -> Iterator[str]:
    while True:
        yield from good


def _begun(text: str) -> Replied:
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    if story is None:
        return begin(build(description))
    return begin_story(story, DEFAULTS, source=TextSource(description))


def _found(take: Callable[[str], object], texts: Iterable[str], usual: float) -> Found:
    faults: list[str] = []
    escaped: list[str] = []
    slowest, slowest_text, started, number = 0.0, "", 0, 0
    for number, text in enumerate(texts, start=1):
        took, came = _seconds(take, text)
        if took > ASKED_OF_A_SLOW_ONE * usual:
            took = min(took, *(_seconds(take, text)[0] for _ in range(2)))
        if took > slowest:
            slowest, slowest_text = took, text
        if isinstance(came, Exception) and not isinstance(came, Refusal):
            faults.append(f"{type(came).__name__} {came}: {text!r}"[:300])
        if _escapes(came):
            escaped.append(repr(text)[:200])
        if number == SETTLED:
            started = _kilobytes()
    grown = _kilobytes() - started if started else 0
    return Found(number, slowest, usual, slowest_text, tuple(faults), tuple(escaped), grown)


def _seconds(take: Callable[[str], object], text: str) -> tuple[float, object]:
    begun = time.process_time()
    came: object
    try:
        came = take(text)
    except Exception as error:
        came = error
    return time.process_time() - begun, came


def _escapes(came: object) -> bool:
    """Whether a control sign would be printed of what came."""
    page = Page()
    if isinstance(came, Refusal):
        printed = [page.plain(str(came))]
    elif isinstance(came, Replied):
        printed = [page.plain(str(fields(message)["text"])) for message in came.messages]
    else:
        return False
    return any(not (sign.isprintable() or sign == "\n") for text in printed for sign in text)


def _kilobytes() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def shards(texts: int) -> list[Shard]:
    """All parts of the count, in turn, so that a count that is stopped has some of everything."""
    parts = [
        Shard(name, seed)
        for name, number in _numbers(texts).items()
        for seed in range(-(-number // OF_A_SHARD))
    ]
    whole = {name: sum(part.what == name for part in parts) for name in _numbers(texts)}
    return sorted(parts, key=lambda part: (part.seed + 1) / whole[part.what])


def _numbers(texts: int) -> dict[str, int]:
    each = {reader.name: texts // reader.one_in for reader in readers()}
    return {DIALOGUES: texts // 10, **each}


def take_of(texts: int) -> Callable[[Shard], Figures]:
    """What takes one part of the count of so many texts."""
    by_name = {reader.name: reader for reader in readers()}
    numbers = _numbers(texts)

    def take(shard: Shard) -> Figures:
        number = min(OF_A_SHARD, numbers[shard.what] - shard.seed * OF_A_SHARD)
        if shard.what == DIALOGUES:
            return through_dialogues(number, shard.seed)._asdict()
        return through_a_reader(by_name[shard.what], number, shard.seed)._asdict()

    return take


def together(found: list[Found]) -> Found:
    """The figures of all parts of one count."""
    slowest = max(found, key=lambda one: one.slowest / one.usual)
    return slowest._replace(
        texts=sum(one.texts for one in found),
        faults=tuple(fault for one in found for fault in one.faults),
        escaped=tuple(text for one in found for text in one.escaped),
        kept=max(one.kept for one in found),
    )


def line(name: str, found: Found) -> str:
    """One line of figures, and a line each for what should not have come."""
    ratio = found.slowest / found.usual
    over = ascii(found.slowest_text[:120])
    verdict = "within" if ratio <= ASKED_OF_A_SLOW_ONE else f"over: {over}"
    head = (
        f"{name:10} {found.texts:9} texts, {len(found.faults)} faults, {len(found.escaped)} with "
        f"an escape, slowest {ratio:.0f} x the median of good ones ({verdict}), "
        f"at most {found.kept // 1024} MB more at the end of {OF_A_SHARD}"
    )
    return "\n".join([head, *(f"    {each}" for each in (*found.faults[:9], *found.escaped[:9]))])


def main() -> None:
    texts, kept = asked(TEXTS)
    taken = counted(shards(texts), take_of(texts), kept)
    for name in _numbers(texts):
        mine = [Found(**figures) for shard, figures in taken if shard.what == name]
        print(line(name, together(mine)), flush=True)


if __name__ == "__main__":
    main()
