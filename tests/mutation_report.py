"""Small faults put in on purpose: ``python -m tests.mutation_report [changes] [--figures FILE]``.

One sign, number or condition of one module is changed, and the tests that import that module run
on a copy of the tree. A change that they let pass is printed with its line: a test is missing, or
the change comes to the same. Which ones are drawn depends on the seed alone, so that the same tree
has the same changes; with ``--figures`` a count goes on where it was stopped. No part of pytest.
"""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import monotonic
from typing import Final, NamedTuple

from tests.sharded import Figures, Shard, asked, counted

ROOT: Final = Path(__file__).parents[1]
CHANGES: Final = 300
SEED: Final = 14
COPIED: Final = ("grammar", "tutor", "lessons", "tests", "pyproject.toml", "README.md")
MODULES: Final = (
    *(f"grammar/{name}.py" for name in ("quantity", "parsing", "building", "reading", "answers")),
    "tutor/circuit/*.py",
    "tutor/teaching/rules/*.py",
)
LONGEST: Final = 240.0  # seconds that the tests of one module may take, unchanged
MOST_FILES: Final = 2
# What holds a whole room to its cases, beside the tests of one module.
ALWAYS: Mapping[str, str] = {"tutor/teaching/rules/": "tests/teaching/test_malrules.py"}
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


def _faults(tree: ast.Module) -> Iterator[SmallFault]:
    for node in _code(tree):
        for holder, field, new in _changes(node):
            old = getattr(holder, field)
            setattr(holder, field, new)
            yield SmallFault(getattr(node, "lineno", 0), ast.unparse(node)[:90], ast.unparse(tree))
            setattr(holder, field, old)


def _code(node: ast.AST) -> Iterator[ast.AST]:
    """Every node that is run: no types, and no names for them."""
    if isinstance(node, ast.AnnAssign) and "TypeAlias" in ast.unparse(node.annotation):
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
        case ast.Return(value=ast.expr()):
            yield node, "value", ast.Constant(None)
        case ast.Call(args=[first, second, *others]):
            yield node, "args", [second, first, *others]


@cache
def tests_of(module: str) -> tuple[str, ...]:
    """Files of tests that import the module, that of its own name and those of its room first; of
    one that none imports, those of the modules that import it.
    """
    importers = {module}
    always = tuple(file for room, file in ALWAYS.items() if module.startswith(room))
    for _ in range(FURTHEST):
        found = [path for path in _sources("tests/**/test_*.py") if _imports(path, importers)]
        if found:
            room = Path("tests", *Path(module).parts[module.startswith("tutor"): -1])
            found.sort(key=lambda path: (path != str(room / f"test_{Path(module).name}"),
                                         not Path(path).is_relative_to(room)))
            return (*always, *(path for path in found if path not in always))[:MOST_FILES]
        importers = {
            path for pattern in ("grammar/**/*.py", "tutor/**/*.py") for path in _sources(pattern)
            if _imports(path, importers)
        }
    return always


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
        self._usual: dict[str, float | None] = {}

    def taken(self, module: str, number: int) -> Figures:
        """What the tests make of one change: found, let pass, or not tested."""
        fault = faults_of(module)[number]
        usual = self._unchanged(module)
        said: Figures = {"line": fault.line, "told": fault.told}
        if usual is None:
            return {**said, "came": "no tests"}
        place = self.folder / module
        place.write_text(fault.source, encoding="utf-8")
        try:
            passed = self._passes(module, 10 + PATIENCE * usual)
        finally:
            shutil.copy(ROOT / module, place)
        return {**said, "came": "let pass" if passed else "found"}

    def _unchanged(self, module: str) -> float | None:
        """How long the tests take that pass; None where there are none that are short enough."""
        if module not in self._usual:
            began = monotonic()
            there = bool(tests_of(module)) and self._passes(module, LONGEST)
            self._usual[module] = monotonic() - began if there else None
        return self._usual[module]

    def _passes(self, module: str, seconds: float) -> bool:
        command = [
            sys.executable, "-m", "pytest", "-n0", "-x", "-q", "-p", "no:cacheprovider",
            *tests_of(module),
        ]
        env = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1"}
        try:
            done = subprocess.run(
                command, cwd=self.folder, env=env, capture_output=True, timeout=seconds, check=False
            )
        except subprocess.TimeoutExpired:
            return False
        return done.returncode == 0


def shards(changes: int) -> list[Shard]:
    """Changes drawn by chance, the same in every run, so that one that is stopped is a sample."""
    every = [(module, at) for module in modules() for at in range(len(faults_of(module)))]
    return [Shard(*each) for each in Random(SEED).sample(every, min(changes, len(every)))]


def main() -> None:
    changes, kept = asked(CHANGES)
    with TemporaryDirectory() as folder:
        bench = Bench(Path(folder))
        taken = counted(shards(changes), lambda each: bench.taken(each.what, each.seed), kept)
    for came, number in sorted(Counter(figures["came"] for _, figures in taken).items()):
        print(f"{number:6} {came}")
    for shard, figures in taken:
        if figures["came"] == "let pass":
            print(f"{shard.what}:{figures['line']}: {figures['told']}")


if __name__ == "__main__":
    main()
