"""Small faults put in on purpose:
``python -m tests.mutation_report [changes] [--in FOLDER] [--figures FILE]``.

One sign, number or condition of one module is changed, and the tests that are nearest to that
module run on a copy of the tree. They are loaded once, and each change is made in a process that
is split off (`warm_tests.py`); what is let pass there is loaded anew, to be sure.
A change that they let pass is printed with its line: a test is missing, or the change comes to the
same. Which ones are drawn depends on the seed alone, so that the same tree has the same changes;
``--in`` takes those of a folder alone, and with ``--figures`` a count goes on where it was stopped.
No part of pytest.
"""

from __future__ import annotations

import ast
import shutil
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import monotonic
from typing import Final, NamedTuple

from tests.sharded import Figures, Shard, asked, counted
from tests.warm_tests import Change, WarmTests, anew

ROOT: Final = Path(__file__).parents[1]
CHANGES: Final = 300
SEED: Final = 14
FOLDER: Final = "--in"
COPIED: Final = ("grammar", "tutor", "lessons", "tests", "pyproject.toml", "README.md")
LIBRARIES: Final = ("lark", "networkx", "pint")  # slow to load
MODULES: Final = (
    *(f"grammar/{name}.py" for name in ("quantity", "parsing", "building", "reading", "answers")),
    "tutor/circuit/*.py",
    "tutor/teaching/rules/*.py",
)
LONGEST: Final = 240.0  # seconds that the tests of one module may take, unchanged
MOST_FILES: Final = 2
# The tests of a whole room, where those that import a module are slow or look at it from afar.
OF_ROOM: Mapping[str, tuple[str, ...]] = {"tutor/teaching/rules/": (
    "tests/teaching/rules/test_wrong_numbers.py", "tests/teaching/rules",  # quick ones first
)}
FURTHEST: Final = 3  # imports between a module and its tests
PATIENCE: Final = 4  # times as long is a change that never ends, and so is found

COMPARED: Mapping[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
REACHED: Mapping[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult, ast.Mod: ast.FloorDiv, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd,
}  # fmt: skip
# Where arguments that change places come to the same, or to nothing that could be loaded.
UNMOVED: Final = ("max", "min", "times", "Malrule")


class SmallFault(NamedTuple):
    """One change of a module: its line, what stands there changed, and the whole source with it."""

    line: int
    told: str
    source: str


def modules() -> tuple[str, ...]:
    """The files that are changed."""
    found = (str(path.relative_to(ROOT)) for each in MODULES for path in sorted(ROOT.glob(each)))
    return tuple(name for name in found if not name.endswith("__init__.py"))


@cache
def faults_of(module: str) -> tuple[SmallFault, ...]:
    """Every change of one module, in the order of its lines."""
    tree = ast.parse((ROOT / module).read_text("utf-8"))
    return tuple(_faults(tree))


@cache
def as_is(module: str) -> str:
    """Its source, set as that of a change is."""
    return ast.unparse(ast.parse((ROOT / module).read_text("utf-8")))


def _faults(tree: ast.Module) -> Iterator[SmallFault]:
    for node in _code(tree):
        for holder, field, new in _changes(node):
            old = getattr(holder, field)
            setattr(holder, field, new)
            yield SmallFault(getattr(node, "lineno", 0), ast.unparse(node)[:90], ast.unparse(tree))
            setattr(holder, field, old)


def _code(node: ast.AST) -> Iterator[ast.AST]:
    """Every node that is run: no types, no names for them, and no `strict`, which only checks."""
    if isinstance(node, ast.AnnAssign) and "TypeAlias" in ast.unparse(node.annotation):
        return
    if isinstance(node, ast.keyword) and node.arg == "strict":
        return
    yield node
    for field, value in ast.iter_fields(node):
        if field in ("annotation", "returns"):
            continue
        for each in value if isinstance(value, list) else [value]:
            if isinstance(each, ast.AST):
                yield from _code(each)


def _changes(node: ast.AST) -> Iterator[tuple[ast.AST, str, object]]:
    """What can be changed of one node: what takes something else, in which field, and what."""
    match node:
        case ast.Compare(ops=[op, *others]) if type(op) in COMPARED:
            yield node, "ops", [COMPARED[type(op)](), *others]
        case ast.BinOp(op=op) if type(op) in REACHED:
            yield node, "op", REACHED[type(op)]()
        case ast.BoolOp(op=op):
            yield node, "op", ast.Or() if isinstance(op, ast.And) else ast.And()
        case ast.UnaryOp(op=ast.USub()):
            yield node, "op", ast.UAdd()
        case ast.Constant(value=bool(value)):
            yield node, "value", not value
        case ast.Constant(value=int(value)):
            yield node, "value", value + 1
        case ast.If(test=test) | ast.IfExp(test=test) | ast.comprehension(ifs=[test]):
            denied = ast.UnaryOp(ast.Not(), test)
            yield (node, "ifs", [denied]) if isinstance(node, ast.comprehension) else (
                node, "test", denied
            )
        case ast.Return(value=ast.expr() as value) if (
            ast.unparse(value) not in ("None", "False")
        ):
            yield node, "value", ast.Constant(None)
        case ast.Call(func=func, args=[first, second, *others]) if (
            ast.unparse(func) not in UNMOVED and ast.unparse(first) != ast.unparse(second)
        ):
            yield node, "args", [second, first, *others]


@cache
def tests_of(module: str) -> tuple[str, ...]:
    """The tests of its room; else files of tests that import the module, that of its own name and
    those near it first; of one that none imports, those of the modules that import it.
    """
    for room, files in OF_ROOM.items():
        if module.startswith(room):
            return files
    importers = {module}
    for _ in range(FURTHEST):
        found = [path for path in _sources("tests/**/test_*.py") if _imports(path, importers)]
        if found:
            room = Path("tests", *Path(module).parts[module.startswith("tutor"): -1])
            found.sort(key=lambda path: (path != str(room / f"test_{Path(module).name}"),
                                         not Path(path).is_relative_to(room)))
            return tuple(found[:MOST_FILES])
        importers = {
            path for pattern in ("grammar/**/*.py", "tutor/**/*.py") for path in _sources(pattern)
            if _imports(path, importers)
        }
    return ()


@cache
def _sources(pattern: str) -> Mapping[str, str]:
    return {str(path.relative_to(ROOT)): path.read_text("utf-8")
            for path in sorted(ROOT.glob(pattern))}  # fmt: skip


def _imports(path: str, modules: set[str]) -> bool:
    text = (ROOT / path).read_text("utf-8")
    return any(
        f"from {module.removesuffix('.py').replace('/', '.')} import" in text for module in modules
    )


class Bench:
    """A copy of the tree in which one module at a time is changed and tested."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for each in COPIED:
            copied = shutil.copytree if (ROOT / each).is_dir() else shutil.copy
            copied(ROOT / each, folder / each)
        for library in LIBRARIES:
            import_module(library)
        self._warm: tuple[tuple[str, ...], Warm | None] = (), None

    def taken(self, module: str, number: int) -> Figures:
        """What the tests make of one change: found, let pass, or not tested."""
        fault = faults_of(module)[number]
        warm = self._warmed(tests_of(module))
        said: Figures = {"line": fault.line, "told": fault.told}
        if warm is None:
            return {**said, "came": "no tests"}
        passed = self._passes(warm, Change(module, as_is(module), fault.source, warm.patience))
        return {**said, "came": "let pass" if passed else "found"}

    def _warmed(self, files: tuple[str, ...]) -> Warm | None:
        """These tests, loaded; None where there are none that pass and are short enough."""
        if self._warm[0] != files:
            if self._warm[1] is not None:
                self._warm[1].tests.end()
            began, tests = monotonic(), WarmTests(self.folder, files)
            there = bool(files) and tests.passed(LONGEST)
            if not there:
                tests.end()
            usual = monotonic() - began
            self._warm = files, Warm(tests, files, 10 + PATIENCE * usual) if there else None
        return self._warm[1]

    def _passes(self, warm: Warm, change: Change) -> bool:
        """In loaded tests first; what these let pass, or cannot take up, is loaded anew, since
        something may have been worked out from it as it was loaded.
        """
        if warm.tests.with_change(change) == "failed":
            return False
        place = self.folder / change.module
        place.write_text(change.new, encoding="utf-8")
        try:
            return anew(self.folder, warm.files, change.seconds)
        finally:
            shutil.copy2(ROOT / change.module, place)


class Warm(NamedTuple):
    """Tests that are loaded, their files, and the seconds that they may take with a change."""

    tests: WarmTests
    files: tuple[str, ...]
    patience: float


def shards(changes: int, folder: str) -> list[Shard]:
    """Changes drawn by chance, the same in every run; those with the same tests one after the
    other, so that these are loaded once.
    """
    every = [
        (module, at) for module in modules() if module.startswith(folder)
        for at in range(len(faults_of(module)))
    ]
    drawn = [Shard(*each) for each in Random(SEED).sample(every, min(changes, len(every)))]
    return sorted(drawn, key=lambda shard: tests_of(shard.what))


def main() -> None:
    changes, kept, folder = asked_in_folder()
    with TemporaryDirectory() as copy:
        bench = Bench(Path(copy))
        taken = counted(
            shards(changes, folder), lambda each: bench.taken(each.what, each.seed), kept
        )
    for came, number in sorted(Counter(figures["came"] for _, figures in taken).items()):
        print(f"{number:6} {came}")
    for shard, figures in taken:
        if figures["came"] == "let pass":
            print(f"{shard.what}:{figures['line']}: {figures['told']}")


def asked_in_folder() -> tuple[int, Path | None, str]:
    """How many, the file of figures, and the folder whose modules are changed; all if none."""
    folder = ""
    if FOLDER in sys.argv:
        at = sys.argv.index(FOLDER)
        folder = sys.argv[at + 1]
        del sys.argv[at : at + 2]
    return (*asked(CHANGES), folder)


if __name__ == "__main__":
    main()
