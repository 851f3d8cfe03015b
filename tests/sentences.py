"""Every sentence of a printed solution with a number or a reason, held to the network it is of.

The network is read back from the printed list of what joins what, and must come to what the
nodal method finds for the network that was given. Then each step is replayed on the list of what
is left, and what is said of a step is looked up there; every sum is done again.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Final

from tests.nodal import Edge, solve
from tests.printed_sums import MEASURES, Names, Range, differ, false_equalities, known, read_from
from tests.strategies import Drawn

WIDE: Final = 100_000
NAME: Final = r"[A-Z][A-Za-z0-9_]*'*"
NAMES: Final = rf"{NAME}(?:(?:, | and ){NAME})*"
ROUNDED_CONSTANT: Final = r"8\.854 × 10\^-12"
LISTED: Final = re.compile(rf"^({NAME}), (.+), from (\S+) to (\S+)$")


def paragraphs(lines: Sequence[str]) -> Iterator[str]:
    """The lines of a page with what was folded put together again."""
    held = ""
    for line in lines:
        if held and line.startswith("    ") and not line.startswith("     "):
            held += " " + line.strip()
            continue
        if held:
            yield held
        held = line.strip()
    if held:
        yield held


def split(names: str) -> list[str]:
    return re.findall(NAME, names.replace(" and ", ", "))


class Replay:
    """What is left of a network while its printed solution goes on."""

    def __init__(self, given: Drawn, volts: Fraction) -> None:
        self.given, self.volts = given, volts
        self.expected = solve(given.edges, given.wires, given.ends, voltage=volts)
        self.listed: list[Edge] = []
        self.left: list[Edge] = []
        self.swept: set[str] = set()
        self.step, self.made = "", ""
        self.ends = given.ends
        self.names: Names = {
            "C": known(self.expected.capacitance, "F"), "V": known(volts, "V"),
            "Q": known(self.expected.charge, "C"), "E": known(self.expected.energy, "J"),
        }
        for edge in given.edges:
            held, tail = self.expected.capacitors[edge.name], edge.name[1:]
            self.names |= {
                edge.name: known(edge.capacitance, "F"),
                f"V{tail}": known(abs(held.voltage), "V"),
                f"Q{tail}": known(abs(held.charge), "C"),
            }
        for point, level in self.expected.potentials.items():
            self.names[f"V_{point}"] = known(level, "V")

    def meeting(self, point: str) -> set[str]:
        return {e.name for e in self.left if point in (e.start, e.end)} - self.swept

    def of(self, names: Sequence[str]) -> list[Edge]:
        return [e for e in self.left if e.name in names]

    def faults(self, line: str) -> Iterator[str]:
        """What is false in one paragraph; then what it says is left is what is left."""
        if line.startswith("Step "):
            self.step, self.made = line.partition(": ")[2], ""
            if line.endswith("charge balance"):
                self._levels_of_what_is_left()
        elif line.startswith("Working back"):
            self.left = []
        elif found := re.match(rf"({NAME}) [=≈] \S+ \S*F(?: ≈ \S+ \S*F)?$", line):
            self.made = found[1]
        yield from false_equalities(line, self.names, rebind=False)
        for reason in (
            self._together, self._chained, self._idle, self._level, self._compared, self._row,
        ):
            if (found := reason(line)) is not None:
                yield f"{found}: {line}"
        if found := LISTED.match(line):
            self.listed.append(self._edge(found))
            self.left = self.listed
        if line.startswith("Left now: "):
            self.swept.clear()
            pieces = line.removeprefix("Left now: ").rstrip(".").split("; ")
            told = [re.match(rf"({NAME}), (.+), (\S+) to (\S+)$", piece) for piece in pieces]
            if all(told):
                self.left = [self._edge(each) for each in told if each]
                if differ(self._range(), self.names["C"], "≈"):
                    yield f"what is left is another capacitance: {line}"

        elif re.match(r"\d+ capacitors are left", line):
            self.left = self._worked()

    def _worked(self) -> list[Edge]:
        """What a step leaves that prints no list; nothing where that would have to be guessed."""
        found = re.match(rf"({NAMES}) (in parallel|in series|left out)", self.step)
        standing = {e.name for e in self.left}
        if not found or self.swept & standing - set(split(found[1])):
            return []
        parts = self.of(split(found[1]))
        rest = [e for e in self.left if e not in parts]
        if found[2] == "left out":
            return [e for e in rest if e.name not in self.swept]
        touched = [p for e in parts for p in (e.start, e.end)]
        ends = sorted(set(touched)) if found[2] == "in parallel" else [
            p for p in touched if touched.count(p) == 1
        ]
        value = self.names.get(self.made)
        if len(ends) != 2 or value is None:
            return []
        return [*rest, Edge(self.made, value.printed, *ends)]

    def _levels_of_what_is_left(self) -> None:
        """A chain told as one moves what lies in it, so potentials are those of what is left; of
        what is not known to be left they are not known.
        """
        if not self.left:
            for point in self.expected.potentials:
                self.names.pop(f"V_{point}", None)
        else:
            slack = Fraction(1, 500) if self._range().high > self._range().low else Fraction(0)
            for point, at in solve(self.left, (), self.ends, voltage=self.volts).potentials.items():
                near = (at * (1 - slack), at * (1 + slack))
                self.names[f"V_{point}"] = Range(*near, at, MEASURES["V"], False)

    def _edge(self, found: re.Match[str]) -> Edge:
        value = read_from(found[2], {})
        assert value is not None, found[0]
        return Edge(found[1], value.printed, found[3], found[4])

    def _range(self) -> Range:
        """The whole of what is left, as near as its print allows."""
        got = solve(self.left, (), self.ends).capacitance
        slack = got / 500 if any(e.capacitance.denominator > 1 for e in self.left) else Fraction(0)
        return Range(got - slack, got + slack, got, MEASURES["F"], False)

    def _together(self, line: str) -> str | None:
        """Whether those that 'join the same two points' do."""
        found = re.search(
            rf"({NAMES}) (?:both|all) join the same two points, (\S+) and (\S+?),", line
        )
        if not found:
            return None
        parts = self.of(split(found[1]))
        if not parts:
            return None  # working back: the step was looked at on the way there
        if any({e.start, e.end} != {found[2], found[3]} for e in parts):
            return "they do not join the same two points"
        return None

    def _chained(self, line: str) -> str | None:
        """Whether only those named meet at each point named, which is no end."""
        one = re.search(rf"At ({NAME}) only ({NAMES}) meet(, apart from ({NAMES}),)?", line)
        more = re.search(
            rf"At each of ({NAMES}) only two of them meet(, apart from ({NAMES}),)?", line
        )
        found = one or more
        if found is None:
            return None
        points = split(found[1])
        if set(points) & set(self.ends):
            return "an end of the network is not cut off"
        parts = set(split(found[2])) if one else None
        if not self.left or (parts is not None and not self.of(sorted(parts))):
            return None
        hanging = set(split(found[found.re.groups] or ""))
        for point in points:
            here = self.meeting(point) - hanging
            if not here:
                continue
            if len(here) != 2 or (parts is not None and here != parts):
                return f"at {point} {sorted(here)} meet"
        return None

    def _idle(self, line: str) -> str | None:
        """Whether those to which no charge comes hold none."""
        bare = re.search(
            rf"({NAMES}) (?:touch(?:es)?|lies?) (?:the rest at|nothing that|where)", line
        )
        hung = re.search(rf"apart from ({NAMES}), to which no charge comes", line)
        short = re.search(rf"Both plates of ({NAME}) are on the one point", line)
        for found in filter(None, (bare, hung, short)):
            charged = [
                name for name in split(found[1])
                if name in self.expected.capacitors and self.expected.capacitors[name].charge
            ]
            if charged:
                return f"{charged} hold charge"
            self.swept |= set(split(found[1]))
        return None

    def _level(self, line: str) -> str | None:
        found = re.search(rf"(?:so|at) ({NAMES}) cannot differ", line) or re.search(
            rf"is divided alike at ({NAMES})", line
        )
        if found:
            levels = {self.expected.potentials.get(p) for p in split(found[1])}
            if len(levels) != 1:
                return "they are not at one potential"
        return None

    def _compared(self, line: str) -> str | None:
        """'is less than', 'is more than', 'must lie between'."""
        found = re.search(rf": (.+) is (less|more) than the (.+) of ({NAMES})\.$", line)
        if found:
            one, other = read_from(found[1], {}), read_from(found[3], {})
            assert one is not None, line
            assert other is not None, line
            low, high = (one, other) if found[2] == "less" else (other, one)
            if low.printed >= high.printed:
                return f"{found[1]} is not {found[2]} than {found[3]}"
            for name in split(found[4]):
                if name in self.names and differ(self.names[name], other, "≈"):
                    return f"{name} is not {found[3]}"
        between = re.search(r"lie between (\S+ \S*F)[, ].*? and (\S+ \S*F),", line)
        if between:
            one, other = read_from(between[1], {}), read_from(between[2], {})
            assert one is not None, line
            assert other is not None, line
            true = self.expected.capacitance
            if not one.low <= true <= other.high or one.printed >= other.printed:
                return "the whole does not lie there"
        return None

    def _row(self, line: str) -> str | None:
        """A row of the table, or a potential."""
        cells = re.split(r"  +", line)
        if len(cells) >= 4 and cells[0] in self.expected.capacitors and cells[1].endswith("V"):
            held = self.expected.capacitors[cells[0]]
            for cell, true in zip(
                cells[1:], (held.voltage, held.charge, held.energy), strict=False
            ):
                value = read_from(cell, {})
                assert value is not None, line
                if not value.low <= abs(true) <= value.high:
                    return f"{cell} is not what {cells[0]} holds"
            if len(cells) > 4 and held.charge:
                edge = next(e for e in self.listed if e.name == cells[0])
                level = self.expected.potentials
                high = max((edge.start, edge.end), key=lambda p: level.get(p, Fraction(0)))
                if cells[4] != high:
                    return f"the + plate is at {high}"
        level_line = re.match(rf"({NAME}): ([−-]?[\d./]+ \S*V)(?: ≈ .*)?$", line)
        if level_line and level_line[1] in self.expected.potentials:
            value = read_from(level_line[2], {})
            assert value is not None, line
            if not value.low <= self.expected.potentials[level_line[1]] <= value.high:
                return f"{level_line[1]} is at another potential"
        return None


def false_sentences(lines: Sequence[str], given: Drawn, volts: Fraction) -> list[str]:
    """What a printed solution of a network across a p.d. says that is not so."""
    replay = Replay(given, volts)
    return [fault for line in paragraphs(lines) for fault in replay.faults(line)]


def false_in_stages(lines: Sequence[str]) -> list[str]:
    """Sums of a printed problem in stages that do not come out.

    From question to question a name may stand for another value, so each is read by itself.
    """
    names: Names = {}
    found: list[str] = []
    for line in paragraphs(lines):
        if re.match(r"\d+\. ", line):
            names.clear()
        found += false_equalities(line, names, rebind=True)
        if re.search(rf"(?:=|≈) [^=≈]*{ROUNDED_CONSTANT}[^=≈]* = ", line):
            found.append(f"ε0 is rounded, so only ≈ is true: {line}")
    return found
