"""One name for one thing: where each name of the tree has its home, and which modules form rings.

The tests hold what is found here against a list of what is known to be wrong. The lists only
shrink: whoever mends one takes it off its list, and nobody adds to them.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from tests.house import Source

# A list that only shrinks: how many homes each of these names has yet.
SHARED_NAMES: Mapping[str, int] = {}

# The same for files: how many of one name there are yet.
SHARED_FILES: Mapping[str, int] = {}

# The same for imports in a ring, deferred ones counted.
IN_RINGS: frozenset[str] = frozenset()


def shared_names(files: Iterable[Source]) -> dict[str, int]:
    """Classes and aliases that stand in more than one file, each with the number of its homes."""
    return _several(name for file in files for name in {*_defined(file.tree)})


def shared_files(files: Iterable[Source]) -> dict[str, int]:
    """Names that more than one file bears, each with their number."""
    return _several(file.path.stem for file in files if file.path.stem != "__init__")


def in_rings(files: list[Source]) -> frozenset[str]:
    """Modules that import each other by whatever way round."""
    modules = {".".join(file.path.with_suffix("").parts): file for file in files}
    targets = {
        name: {found for i in file.imports if (found := _module_of(i.module, modules))}
        for name, file in modules.items()
    }
    reached = {name: _reached(name, targets) for name in targets}
    return frozenset(name for name, all_of_it in reached.items() if name in all_of_it)


def _several(names: Iterable[str]) -> dict[str, int]:
    return {name: count for name, count in sorted(Counter(names).items()) if count > 1}


def _defined(tree: ast.Module) -> Iterator[str]:
    """The classes and aliases of a file; what begins with a line is nobody else's business."""
    for node in tree.body:
        name = ""
        if isinstance(node, ast.ClassDef):
            name = node.name
        elif isinstance(node, ast.Assign) and len(node.targets) == 1:
            name = ast.unparse(node.targets[0])
        elif isinstance(node, ast.AnnAssign) and "TypeAlias" in ast.unparse(node.annotation):
            name = ast.unparse(node.target)
        if name.isidentifier() and name[0].isupper() and not name.isupper():
            yield name


def _module_of(imported: str, modules: Mapping[str, Source]) -> str | None:
    """The module of the tree that an import is of: itself, or what it takes a name from."""
    base = imported.rpartition(".")[0]
    return imported if imported in modules else base if base in modules else None


def _reached(start: str, targets: Mapping[str, set[str]]) -> set[str]:
    reached: set[str] = set()
    waiting = [start]
    while waiting:
        for target in targets[waiting.pop()] - reached:
            reached.add(target)
            waiting.append(target)
    return reached
