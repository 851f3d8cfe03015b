"""The rules of the house, read off the source of every file in ``grammar`` and ``tutor``.

A rule takes a `Source` and yields a `Fault` for each offence; nothing here imports the program.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import NamedTuple, TypeAlias

ROOT = Path(__file__).parents[1]


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# Left to right: a room imports only rooms named before it, and itself. "tutor" stands for
# tutor/__init__.py alone; a file belongs to the longest name that fits.
ROOMS = (
    "grammar",
    "tutor",
    "tutor.circuit",
    "tutor.teaching",
    "tutor.learner",
    "tutor.practice",
    "tutor.desk",
    "tutor.front",
)
DOOR = "tutor/__main__.py"  # opens the last room
# Who may know these libraries: patterns of file paths.
KNOWN_BY: Mapping[str, str] = {
    "lark": "grammar/parsing.py",
    "markdown_it": "tutor/practice/lesson_reading.py",
    "networkx": "tutor/desk/pictures/skeleton.py",
    "pint": "grammar/quantity.py",
    "platformdirs": "tutor/front/user_place.py",
    "prompt_toolkit": "tutor/front/terminal*.py",
    "rapidfuzz": "*.py",
    "segno": "tutor/front/leading/opened.py",
    "schemdraw": "tutor/desk/pictures/symbols.py",
    "shtab": "tutor/front/options.py",
    "snowballstemmer": "tutor/teaching/reading/spoken_words.py",
    "sqlite3": "tutor/learner/*.py",
    "starlette": "tutor/front/leading/page_server.py",
    "sympy": "*.py",
    "typst": "tutor/desk/typesetting.py",
    "uvicorn": "tutor/front/leading/opened.py",
}
LOADED_LATE = (
    "markdown_it", "networkx", "pint", "rapidfuzz", "schemdraw", "segno", "shtab",
    "snowballstemmer", "starlette", "sympy", "typst", "uvicorn",
)
OWN = ("grammar", "tutor", "lessons")

# The core reads no clock, file, terminal or chance.
PURE_ROOMS = ("tutor.circuit", "tutor.teaching")
IMPURE_MODULES = _words(
    "time datetime calendar random secrets uuid os pathlib sys io glob shutil tempfile fileinput "
    "subprocess socket threading asyncio signal importlib pkgutil logging getpass locale "
    "warnings"
)
IMPURE_CALLS = frozenset({"open", "input", "print", "breakpoint", "Random"})
CACHES = frozenset({"functools.cache", "functools.lru_cache"})

# Whatever turns text into running code, and imports that would slip past the table above.
TEXT_TO_CODE = frozenset(
    {"eval", "exec", "sympify", "parse_expr", "nsimplify", "lambdify", "parse_latex"}
)
BY_TEXT = frozenset({"compile", "__import__"})

# At module level: what makes something that can change later, and what never does.
MUTABLE_MAKERS = _words(
    "list dict set bytearray deque defaultdict OrderedDict Counter ChainMap count cycle iter "
    "map filter zip enumerate reversed sorted split splitlines copy deepcopy local ContextVar "
    "WeakKeyDictionary WeakValueDictionary WeakSet Lock RLock UnitRegistry"
)
FROZEN_MAKERS = _words(
    "frozenset tuple MappingProxyType Fraction Decimal str int float range compile TypeVar "
    "ParamSpec NewType NamedTuple"
)


class Source(NamedTuple):
    """One file: its path from the root of the project, what is in it, and what it imports."""

    path: PurePosixPath
    tree: ast.Module
    nodes: tuple[ast.AST, ...]  # all of the tree, walked once for all rules
    imports: tuple[Imported, ...]

    @property
    def room(self) -> str | None:
        """The room the file stands in, None if there is no such room."""
        if str(self.path) == DOOR:
            return ROOMS[-1]
        room = _room_of(".".join(self.path.parent.parts))
        lost = room == "tutor" and str(self.path) != "tutor/__init__.py"
        return None if lost else room


class Fault(NamedTuple):
    line: int
    what: str


class Imported(NamedTuple):
    """One module that is imported; ``late`` if not while its importer is being loaded."""

    module: str
    line: int
    late: bool


Rule: TypeAlias = Callable[[Source], Iterator[Fault]]


def sources() -> list[Source]:
    """Every Python file of the program, in order of path."""
    paths = sorted(path for top in ("grammar", "tutor") for path in (ROOT / top).rglob("*.py"))
    return [source(str(p.relative_to(ROOT).as_posix()), p.read_text("utf-8")) for p in paths]


def source(path: str, text: str) -> Source:
    tree = ast.parse(text, path)
    nodes, place = tuple(ast.walk(tree)), PurePosixPath(path)
    return Source(place, tree, nodes, tuple(_imports(place, nodes)))


def offenders(rule: Rule, files: list[Source]) -> list[str]:
    """Name each offence as file:line: what is wrong."""
    return [f"{file.path}:{fault.line}: {fault.what}" for file in files for fault in rule(file)]


def rooms_import_leftwards(file: Source) -> Iterator[Fault]:
    """A file stands in a room, and imports only from rooms to the left of it."""
    if file.room is None:
        yield Fault(1, "stands in no room of the house")
        return
    allowed = ROOMS[: ROOMS.index(file.room) + 1]
    for imported in file.imports:
        target = _room_of(imported.module)
        if target is not None and target not in allowed:
            yield Fault(imported.line, f"{file.room} imports {imported.module}")


def libraries_stay_where_they_are_known(file: Source) -> Iterator[Fault]:
    """A library from outside is imported only by the files that may know it."""
    for imported in file.imports:
        top = imported.module.partition(".")[0]
        if top in KNOWN_BY:
            if not file.path.match(KNOWN_BY[top]):
                yield Fault(imported.line, f"{top} is known only to {KNOWN_BY[top]}")
        elif top not in sys.stdlib_module_names and top not in OWN:
            yield Fault(imported.line, f"{top} is not a library of the program")


def slow_libraries_load_late(file: Source) -> Iterator[Fault]:
    """The first prompt waits for none of LOADED_LATE: no import of them at module level."""
    for imported in file.imports:
        if imported.module.partition(".")[0] in LOADED_LATE and not imported.late:
            yield Fault(imported.line, f"{imported.module} is imported at module level")


def core_is_pure(file: Source) -> Iterator[Fault]:
    """Circuit and teaching meet no clock, chance, file or terminal, and keep no cache."""
    if file.room not in PURE_ROOMS:
        return
    for node in file.nodes:
        if isinstance(node, ast.ImportFrom) and node.module == "random" and not node.level:
            extra = [alias.name for alias in node.names if alias.name != "Random"]
            if extra:
                yield Fault(
                    node.lineno, f"random.{extra[0]} is chance; only the type Random may come"
                )
        elif isinstance(node, ast.Call) and ast.unparse(node.func) in IMPURE_CALLS:
            yield Fault(node.lineno, f"{ast.unparse(node.func)}() reaches outside the core")
        elif isinstance(node, ast.Attribute) and ast.unparse(node) in CACHES:
            yield Fault(node.lineno, f"{ast.unparse(node)} keeps state between calls")
    for imported in file.imports:
        top = imported.module.partition(".")[0]
        if top in IMPURE_MODULES and imported.module != "random.Random":
            yield Fault(imported.line, f"the core imports {imported.module}")
        elif imported.module in CACHES:
            yield Fault(imported.line, f"{imported.module} keeps state between calls")


def text_is_never_run(file: Source) -> Iterator[Fault]:
    """Nothing typed can reach what turns text into code, under any name."""
    for node in file.nodes:
        if isinstance(node, ast.alias):
            name = node.name.rpartition(".")[2]
        elif isinstance(node, ast.Name | ast.Attribute):
            name = _last_name(node)
        else:
            continue
        if name in TEXT_TO_CODE or (name in BY_TEXT and not isinstance(node, ast.Attribute)):
            yield Fault(node.lineno, f"{name} turns text into code")
        elif name == "import_module":
            yield Fault(node.lineno, "import_module hides an import from the table of rooms")


def modules_keep_no_state(file: Source) -> Iterator[Fault]:
    """Nothing made at module level, or in the body of a class, can change later.

    A dict is a constant if its name is in capitals and it is typed as a Mapping; a call is one
    if its name is in capitals and typed Final or as a Mapping; makers of frozen values need
    neither, and what stands in a class needs no capitals. Nothing is merely called, and no
    function rebinds a module's names.
    """
    yield from _state(file.tree.body, in_class=False)
    for node in file.nodes:
        if isinstance(node, ast.Global):
            yield Fault(node.lineno, f"global {', '.join(node.names)} is state of the module")


RULES: Mapping[str, Rule] = {
    rule.__name__: rule
    for rule in (
        rooms_import_leftwards,
        libraries_stay_where_they_are_known,
        slow_libraries_load_late,
        core_is_pure,
        text_is_never_run,
        modules_keep_no_state,
    )
}


def _room_of(module: str) -> str | None:
    fitting = [room for room in ROOMS if f"{module}.".startswith(f"{room}.")]
    return max(fitting, key=len, default=None)


def _last_name(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute):
        return node.attr
    return node.id if isinstance(node, ast.Name) else ""


def _imports(path: PurePosixPath, nodes: Iterable[ast.AST]) -> Iterator[Imported]:
    """Every module imported anywhere; ``from a import b`` counts as a.b, which may be a module."""
    late = _late_nodes(nodes)
    package = path.parent.parts
    for node in nodes:
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            start = ".".join([*base, *([node.module] if node.module else [])])
            names = [f"{start}.{alias.name}" for alias in node.names]
        else:
            continue
        yield from (Imported(name, node.lineno, node in late) for name in names)


def _late_nodes(nodes: Iterable[ast.AST]) -> set[ast.AST]:
    """Everything inside a function, or read by type checkers only; parents come before children."""
    late: set[ast.AST] = set()
    for node in nodes:
        if node in late or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            late.update(ast.iter_child_nodes(node))
        elif isinstance(node, ast.If) and _last_name(node.test) == "TYPE_CHECKING":
            late.update(node.body)
    return late


def _state(body: list[ast.stmt], in_class: bool) -> Iterator[Fault]:
    for node in body:
        if isinstance(node, ast.ClassDef):
            yield from _state(node.body, in_class=True)
        elif isinstance(node, ast.If) and _is_start_of_program(node.test):
            continue
        elif isinstance(node, ast.If | ast.Try | ast.With | ast.For | ast.While):
            for block in ("body", "orelse", "finalbody"):
                yield from _state(getattr(node, block, []), in_class)
            for handler in getattr(node, "handlers", []):
                yield from _state(handler.body, in_class)
        elif isinstance(node, ast.Expr):
            if not isinstance(node.value, ast.Constant):
                yield Fault(node.lineno, "does something while it is being imported")
        elif isinstance(node, ast.Assign | ast.AnnAssign | ast.AugAssign):
            yield from _assignment(node, in_class)


def _is_start_of_program(test: ast.expr) -> bool:
    return isinstance(test, ast.Compare) and _last_name(test.left) == "__name__"


def _assignment(
    node: ast.Assign | ast.AnnAssign | ast.AugAssign, in_class: bool
) -> Iterator[Fault]:
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    names = [name for target in targets for name in _flat(target)]
    if not all(isinstance(name, ast.Name) for name in names):
        yield Fault(node.lineno, "changes something of another while being imported")
        return
    if node.value is None:
        return
    typed = ast.unparse(node.annotation) if isinstance(node, ast.AnnAssign) else ""
    constant = all(isinstance(name, ast.Name) and name.id.isupper() for name in names)
    mapping = (constant or in_class) and any(
        word in typed for word in ("Mapping[", "MappingProxyType[")
    )
    final = in_class or (constant and typed.startswith(("Final", "typing.Final")))
    name = ", ".join(map(ast.unparse, names))
    if name == "__all__":  # a list by custom of the language, and nobody's state
        return
    yield from (
        Fault(made.lineno, f"{name} can change: {ast.unparse(made)[:40]}")
        for made in _changeable(node.value, mapping, final)
    )


def _flat(target: ast.expr) -> Iterator[ast.expr]:
    """The single targets of an assignment such as ``a, (b, c) = …``."""
    if isinstance(target, ast.Tuple | ast.List):
        for item in target.elts:
            yield from _flat(item)
    else:
        yield target


def _changeable(value: ast.expr, mapping: bool, final: bool) -> Iterator[ast.expr]:
    """The parts of a value that could be changed later, or by a call that may make such a thing."""
    if isinstance(value, ast.Lambda | ast.Subscript | ast.JoinedStr):
        return
    if isinstance(value, ast.List | ast.Set | ast.ListComp | ast.SetComp | ast.GeneratorExp):
        yield value
        return
    if isinstance(value, ast.Dict | ast.DictComp) and not mapping:
        yield value
        return
    if isinstance(value, ast.Call):
        maker = _last_name(value.func)
        if maker in FROZEN_MAKERS:
            return
        if maker in MUTABLE_MAKERS or not (final or mapping):
            yield value
            return
    for child in ast.iter_child_nodes(value):
        if isinstance(child, ast.expr):
            yield from _changeable(child, mapping, final)
        elif isinstance(child, ast.keyword):
            yield from _changeable(child.value, mapping, final)
