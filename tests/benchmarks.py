"""Speed, as ratios within one run: ``python -m tests.benchmarks`` prints each with its limit.

Exit code 1 if a ratio is over its limit. Every time is the best of several takes, and the two
sides of a ratio take turns, so that a busy spell of the machine falls on both. No part of pytest.
"""

from __future__ import annotations

import atexit
import os
import re
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from select import select
from time import monotonic, perf_counter
from typing import Any, NamedTuple

from grammar.reading import read_network
from grammar.writing import write_number
from tests import plain_closure
from tests.conversing import about
from tests.learner.recording import NOW, begun, exchange
from tests.strategies import ladder
from tutor.circuit.arranging import Findings, Order, arrange
from tutor.circuit.equal_stock import values_of_equal
from tutor.circuit.network import Capacitor, Network, Supply, build
from tutor.circuit.reduction import reduce
from tutor.circuit.solving import solve
from tutor.circuit.stock import Stock, StockGroup, StockKind
from tutor.front.keeping import Keeper, Opening
from tutor.front.plain import Page
from tutor.front.printing import solution_lines
from tutor.learner.record import open_record
from tutor.practice.making_needs import NEEDS, TaskOrder
from tutor.practice.tasks import make
from tutor.teaching.exchange import begin, hear
from tutor.teaching.settings import Settings

ROOT = Path(__file__).parents[1]
PROGRAM = "import sys; from tutor.front.commands import main; sys.exit(main())"
WITHOUT_SYMPY = "; ".join(
    [
        "import sys",
        "from tutor.front.commands import main",
        "code = main()",
        "sys.exit(code or 'sympy' in sys.modules)",
    ]
)
THREE = "4 uF -- (2 uF || 3 uF), across 12 V"
FIVE = "C1 = 4 uF -- (C2 = 2 uF || (C3 = 3 uF -- C4 = 6 uF) || C5 = 5 uF), across 12 V"
LINES = ("C3 C4", "the charge, at R", "2 uF", "C2, C34 and C5", "the p.d.", "9 uF", "hint")
SIZES = (200, 2000)
STOCK = (47, 33, 22, 15, 10, 68, 91, 56, 82, 39)
TARGET = Fraction("31.4159")
GRAPHS = 5
RUNGS, POWERS = (15, 150), (3_000, 30_000)
KEPT_WALKS, THINKING, LONGEST_MAKING = 20, 0.010, 0.2
CLASS = 30
MARKED = "(C1 = 4 uF || C2 = 8 uF) -- (C3 = 6 uF || C4 = 18 uF), across 30 V"
CLASS_SCRIPT = (
    "C12 = 4 + 8 = 12 uF\nC34 = 6 + 18 = 24 uF\nC = 12*24/36 = 8 uF\nV34 = 240/24 = 10 V\n"
    "Q1 = 4*20 = 80 uC\nQ2 = 8*20 = 160 uC\nQ3 = 6*10 = 60 uC\nQ4 = 18*10 = 180 uC"
)
TWELVE_VOLTS = Supply("voltage", Fraction(12))
TAKES = 15
LONGEST_WAIT = 20.0
TURNS_KNOWN = 4_000
TO_ONE_NEW, TO_ONE_KNOWN = "First, your book's words", "What would you like to do?"
ROWS, COLUMNS = 24, 80
ESCAPES = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|[@-Z\\-_])")


class Ratio(NamedTuple):
    """Two times in seconds, and how many times the second the first may take."""

    name: str
    ours: float
    against: float
    limit: float

    @property
    def is_over(self) -> bool:
        return self.ours > self.limit * self.against

    def __str__(self) -> str:
        verdict = "over" if self.is_over else "within"
        return (
            f"{self.name}: {1000 * self.ours:.0f} ms against {1000 * self.against:.0f} ms, "
            f"{self.ours / self.against:.2f} times, {verdict} the limit of {self.limit}"
        )


def first_prompt() -> Ratio:
    """A chat in a terminal of its own, up to the prompt, against the imports it cannot do without.

    The way through a pseudo-terminal is one of POSIX; elsewhere this fails.
    """
    ours, against = best_in_turn(seconds_to_prompt, lambda: importing("prompt_toolkit, lark"))
    return Ratio("first prompt", ours, against, 1.0)


def first_prompt_known() -> Ratio:
    """The same for someone of whom more than 10,000 rows are kept."""
    folder = Path(tempfile.mkdtemp(prefix="platewalk-known-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    path = folder / "platewalk" / "record.sqlite"
    path.parent.mkdir()
    with open_record(path, NOW) as record:
        _, sitting = begun(record)
        record.keep_all(sitting, [(exchange(at), NOW + at) for at in range(1, TURNS_KNOWN + 1)])
    ours, against = best_in_turn(
        lambda: seconds_to_prompt(TO_ONE_KNOWN, XDG_DATA_HOME=str(folder)),
        lambda: importing("prompt_toolkit, lark"),
        takes=5,
    )
    return Ratio("first prompt for someone known", ours, against, 1.0)


def explaining() -> Ratio:
    """A whole command, from start to end, against the import of what reads text and units."""
    run([*python(WITHOUT_SYMPY), "explain", THREE])  # fails if sympy has been loaded
    ours, against = best_in_turn(
        lambda: timed(lambda: run([*python(PROGRAM), "explain", THREE])),
        lambda: importing("lark, pint"),
    )
    return Ratio("explain", ours, against, 1.4)


def reducing() -> Ratio:
    """Ten times the capacitors: what a reading or a reduction that is not in proportion costs."""
    small, large = (nest(size) for size in SIZES)
    ours, against = best_in_turn(
        lambda: timed(lambda: work_through(large)), lambda: timed(lambda: work_through(small))
    )
    return Ratio(f"nest of {SIZES[1]} against {SIZES[0]}", ours, against, 11.0)


def explaining_at_length() -> Ratio:
    """Ten times the rungs, told in lines for print: what is left out must not be worked for."""
    settings, page = Settings(), Page()
    small, large = (build(read_network(ladder(number))) for number in RUNGS)
    ours, against = best_in_turn(
        lambda: timed(lambda: list(solution_lines(large, settings, page))),
        lambda: timed(lambda: list(solution_lines(small, settings, page))),
    )
    return Ratio(f"{RUNGS[1]} rungs told against {RUNGS[0]}", ours, against, 11.0)


def writing_digits() -> Ratio:
    """Ten times the digits: a number is written short without being written out."""
    small, large = (Fraction(5**power, 7 ** (power // 2)) for power in POWERS)
    ours, against = best_in_turn(
        lambda: timed(lambda: write_number(large)), lambda: timed(lambda: write_number(small))
    )
    return Ratio(f"a number of {POWERS[1]} figures against {POWERS[0]}", ours, against, 60.0)


def listing_equal() -> Ratio:
    """All values of 14 equal capacitors against a plain closure over Fractions for 10."""
    ours, against = best_in_turn(
        lambda: timed(lambda: values_of_equal(14)),
        lambda: timed(lambda: plain_closure.of_equal(10)),
    )
    return Ratio("values of 14 equal capacitors", ours, against, 2.0)


def finding_the_nearest() -> Ratio:
    """The nearest value from 8, proven, against a plain closure in whole numbers for 7."""
    if not nearest_from(8).nearest_is_proven:
        raise RuntimeError("the nearest of eight has not been proven")
    ours, against = best_in_turn(
        lambda: timed(lambda: nearest_from(8)),
        lambda: timed(lambda: plain_closure.of_different(STOCK[:7])),
        takes=3,
    )
    return Ratio("the nearest from 8 capacitors", ours, against, 4.0)


def solving_graphs() -> Ratio:
    """Graphs of 60 capacitors and 30 points by chance, all charges found exactly, against
    sympy's own solution of the same node equations, set up beforehand.
    """
    graphs = [graph_by_chance(seed) for seed in range(GRAPHS)]
    equations = [node_equations(graph) for graph in graphs]
    ours, against = best_in_turn(
        lambda: timed(lambda: [solve(graph, TWELVE_VOLTS) for graph in graphs]),
        lambda: timed(lambda: [matrix.solve_den(right) for matrix, right in equations]),
    )
    return Ratio(f"{GRAPHS} graphs of 60 capacitors", ours, against, 0.8)


def graph_by_chance(seed: int) -> Network:
    """A tree over 30 points, so that all are joined, and 31 more capacitors."""
    chance = Random(seed)
    points = ["A", "B", *(f"P{number}" for number in range(28))]
    order = chance.sample(points, len(points))
    links = {
        frozenset((chance.choice(order[:place]), point)): None
        for place, point in enumerate(order) if place
    }
    while len(links) < 60:
        links[frozenset(chance.sample(points, 2))] = None
    return Network(
        tuple(
            Capacitor(f"C{number}", Fraction(chance.randint(1, 99), 10**6), *sorted(link))
            for number, link in enumerate(links, start=1)
        ),
        ("A", "B"),
    )


def node_equations(graph: Network) -> tuple[Any, Any]:
    """The charge balance at every point but the ends, as sympy's matrices: A at 12 V, B at 0."""
    from sympy import QQ
    from sympy.polys.matrices import DomainMatrix

    inner = {point: place for place, point in enumerate(graph.points()[1:-1])}
    rows = [[QQ(0)] * len(inner) for _ in inner]
    right = [[QQ(0)] for _ in inner]
    for c in graph.capacitors:
        value = QQ(c.value.numerator, c.value.denominator)
        for here, there in ((c.start, c.end), (c.end, c.start)):
            if here not in inner:
                continue
            rows[inner[here]][inner[here]] += value
            if there in inner:
                rows[inner[here]][inner[there]] -= value
            elif there == "A":
                right[inner[here]][0] += 12 * value
    size = len(inner)
    return DomainMatrix(rows, (size, size), QQ), DomainMatrix(right, (size, 1), QQ)


def keeping_a_turn() -> Ratio:
    """The slowest but one of a hundred turns, line in to row on the disk, less 10 ms for thinking,
    against one synced insert of a row into a file on the same disk; they take turns.
    """
    with tempfile.TemporaryDirectory() as folder:
        turns_kept, inserts = zip(*kept_turns(Path(folder)), strict=True)
    slowest = sorted(turns_kept)[int(0.99 * len(turns_kept))]
    insert = sum(inserts) / len(inserts)
    return Ratio("a kept turn, less 10 ms", max(slowest - THINKING, 0.0), insert, 4)


def kept_turns(folder: Path) -> Iterator[tuple[float, float]]:
    """How long each line of walks through five capacitors takes to be answered and kept, and a
    plain insert that is on the disk before anything follows; the first walk warms up.
    """
    with (
        open_record(folder / "record.sqlite", 0.0) as record,
        closing(sqlite3.connect(folder / "plain.sqlite", isolation_level=None)) as plain,
    ):
        plain.execute("PRAGMA journal_mode = WAL")
        plain.execute("PRAGMA synchronous = FULL")
        plain.execute("CREATE TABLE turns (number INTEGER PRIMARY KEY, line TEXT)")
        host = Keeper(record, record.learner("me", 0.0), lambda: 0.0)
        for number in range(KEPT_WALKS + 1):
            chat = host.open(Opening(text=FIVE)).chat
            for line in LINES:
                start = perf_counter()
                chat = host.hear(chat, line).chat
                kept = perf_counter()
                plain.execute("INSERT INTO turns (line) VALUES ('C2 C3')")
                if number:
                    yield kept - start, perf_counter() - kept


def making_tasks() -> Ratio:
    """One task with its guarantees, on average over skills and seeds, against 0.2 s."""
    orders = [TaskOrder(skill=skill, seed=seed) for skill in NEEDS for seed in range(3)]
    total = timed(lambda: [make(order) for order in orders])
    return Ratio("a task made to order", total / len(orders), LONGEST_MAKING, 1)


def marking_a_class() -> Ratio:
    """Thirty scripts of ten lines, pages and table written, against one script alone."""
    folder = Path(tempfile.mkdtemp())
    atexit.register(shutil.rmtree, folder, True)
    scripts = folder / "scripts"
    scripts.mkdir()
    for number in range(CLASS):
        total = 240 + 10 * (number % 4)
        script = f"{CLASS_SCRIPT}\nQ = 8*30 = {total} uC\nV12 = {total}/12 = {total // 12} V"
        (scripts / f"pupil {number}.txt").write_text(script, encoding="utf-8")
    alone = [*python(PROGRAM), "mark", MARKED, "--working", str(scripts / "pupil 0.txt")]
    together = [*python(PROGRAM), "mark", MARKED, "--class", str(scripts), "--to", str(folder)]
    ours, against = best_in_turn(
        lambda: timed(lambda: quietly(together)), lambda: timed(lambda: quietly(alone)), takes=5
    )
    return Ratio(f"{CLASS} scripts marked", ours, against, 12.0)


def taking_predictions() -> Ratio:
    """The time within which 99 of 100 predictions of a class are answered, 200 coming a second,
    against that of a handler of the same server that does nothing.
    """
    from tests.desk.loaded import slowest_answers

    ours, empty = slowest_answers()
    return Ratio("99 of 100 predictions of a class, 200 a second / empty handler", ours, empty, 20)


def printing_sheets() -> Ratio:
    """Thirty variants of eight problems with pictures, and their keys, against setting the same
    source alone; each in a process of its own, since the typesetter remembers what it has set.
    """
    script = (
        "import time; began = time.perf_counter(); "
        "from tests.printing_sheets import source_of, typeset; "
        "sources = source_of(); "
        "then = time.perf_counter(); typeset(sources); now = time.perf_counter(); "
        "print(now - began, now - then)"
    )
    takes = []
    for _ in range(3):
        done = subprocess.run(
            python(script), cwd=ROOT, env=surroundings(), capture_output=True, check=True,
        )
        takes.append(tuple(map(float, done.stdout.split())))
    ours, against = min(takes, key=lambda take: take[0] / take[1])
    return Ratio("30 variants of 8 problems with keys", ours, against, 3.0)


def quietly(command: list[str]) -> None:
    """Run it with what it tells of its progress thrown away."""
    subprocess.run(
        command, cwd=ROOT, env=surroundings(), stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL, check=True,
    )


def nearest_from_ten() -> str:
    """Proven, or up to how many parts it is; there is no limit to it here."""
    start = perf_counter()
    found = nearest_from(10)
    proven = "proven" if found.nearest_is_proven else f"proven up to {found.searched} parts alone"
    return f"the nearest from 10 capacitors: {1000 * (perf_counter() - start):.0f} ms, {proven}"


def nearest_from(number: int) -> Findings:
    """The search for the nearest to a target that no arrangement makes."""
    groups = tuple(StockGroup((StockKind(Fraction(value)),), 1) for value in STOCK[:number])
    return arrange(Order(Stock(groups, number), TARGET, TARGET, TARGET))


def longest_turn() -> str:
    """The slowest turn of a walk through five capacitors; there is no limit to it here."""
    slowest = min(max(turns()) for _ in range(TAKES))
    return f"slowest of {len(LINES)} turns with five capacitors: {1000 * slowest:.1f} ms"


def turns() -> list[float]:
    """How long each line of a walk takes to be answered."""
    walk = begin(build(read_network(FIVE))).walk
    taken = []
    for line in LINES:
        start = perf_counter()
        walk = hear(about(walk), line).walk
        taken.append(perf_counter() - start)
    if len(walk.steps) != 2:
        raise RuntimeError("the lines no longer lead through the walk, so their times say nothing")
    return taken


def nest(size: int) -> str:
    """Write a chain that holds a parallel set that holds a chain, and so on to the last one."""
    text = f"C{size} = 2 uF"
    for number in range(size - 1, 0, -1):
        joined = "--" if number % 2 else "||"
        inner = f"({text})" if number < size - 1 else text
        text = f"C{number} = {number % 7 + 1} uF {joined} {inner}"
    return text


def work_through(text: str) -> None:
    reduction = reduce(build(read_network(text)).network)
    assert reduction.equivalent is not None


def best_in_turn(
    ours: Callable[[], float], against: Callable[[], float], takes: int = TAKES
) -> tuple[float, float]:
    """The best time of each; one take of each beforehand is not counted."""
    pairs = [(ours(), against()) for _ in range(takes + 1)][1:]
    return min(mine for mine, _ in pairs), min(theirs for _, theirs in pairs)


def timed(work: Callable[[], object]) -> float:
    start = perf_counter()
    work()
    return perf_counter() - start


def python(program: str) -> list[str]:
    return [sys.executable, "-c", program]


def importing(modules: str) -> float:
    return timed(lambda: run(python(f"import {modules}")))


def run(command: list[str]) -> None:
    subprocess.run(command, cwd=ROOT, env=surroundings(), stdout=subprocess.DEVNULL, check=True)


@cache
def surroundings() -> dict[str, str]:
    """An environment in which code is kept compiled, as an installed program has it."""
    folder = tempfile.mkdtemp(prefix="platewalk-benchmarks-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    places = {"PYTHONPYCACHEPREFIX": folder, "XDG_DATA_HOME": folder, "XDG_CONFIG_HOME": folder}
    return {**kept, **places, "TERM": "xterm"}


def seconds_to_prompt(question: str = TO_ONE_NEW, **env: str) -> float:
    """From the start of the program to a prompt below its first question."""
    import pty
    import termios

    ours, theirs = pty.openpty()
    termios.tcsetwinsize(theirs, (ROWS, COLUMNS))
    start = perf_counter()
    chat = subprocess.Popen(
        python(PROGRAM),
        cwd=ROOT,
        env={**surroundings(), **env},
        stdin=theirs,
        stdout=theirs,
        start_new_session=True,
    )
    os.close(theirs)
    try:
        wait_for_prompt(ours, question)
        return perf_counter() - start
    finally:
        chat.kill()
        chat.wait()
        os.close(ours)


def wait_for_prompt(terminal: int, asked: str) -> None:
    """Read until the question and a prompt after it are there.

    Errors: ``TimeoutError`` with what did come.
    """
    shown = b""
    until = monotonic() + LONGEST_WAIT
    while select([terminal], [], [], max(until - monotonic(), 0))[0]:
        try:
            shown += os.read(terminal, 65536)
        except OSError:  # the program has ended and taken its terminal with it
            break
        _, question, below = ESCAPES.sub(b"", shown).partition(asked.encode())
        if question and b">" in below:
            return
    raise TimeoutError(f"no prompt came, only {shown!r}")


def main() -> int:
    """Measure and print everything; 1 if a ratio is over its limit."""
    over = False
    measures = (
        first_prompt, first_prompt_known, explaining, reducing, listing_equal,
        finding_the_nearest, solving_graphs, keeping_a_turn, making_tasks, marking_a_class,
        printing_sheets, taking_predictions, explaining_at_length, writing_digits,
    )
    for measure in measures:
        ratio = measure()
        print(ratio, flush=True)
        over = over or ratio.is_over
    print(nearest_from_ten())
    print(longest_turn())
    return int(over)


if __name__ == "__main__":
    sys.exit(main())
