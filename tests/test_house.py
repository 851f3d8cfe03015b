"""The house keeps its rules, and every rule is shown to be able to fail."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from tests import names
from tests.house import RULES, Source, offenders, source, sources

CIRCUIT, TEACHING, FRONT = "tutor/circuit/x.py", "tutor/teaching/x.py", "tutor/front/x.py"

OFFENCES = {
    "rooms_import_leftwards": [
        ("grammar/x.py", "import tutor"),
        ("grammar/x.py", "from tutor.circuit.network import build"),
        (CIRCUIT, "from tutor.teaching import messages"),
        (CIRCUIT, "from tutor import teaching"),
        (CIRCUIT, "from ..front.pipe import run"),
        (CIRCUIT, "from .. import learner"),
        (CIRCUIT, "def f():\n    import tutor.practice.tasks"),
        (TEACHING, "from tutor.learner.record import Record"),
        ("tutor/practice/x.py", "from tutor.front import commands"),
        ("tutor/__init__.py", "from tutor.front.commands import main"),
        ("tutor/helpers/x.py", "x = 1"),
        ("tutor/x.py", "x = 1"),
    ],
    "libraries_stay_where_they_are_known": [
        ("grammar/reading.py", "import lark"),
        ("grammar/reading.py", "from lark.exceptions import LarkError"),
        (TEACHING, "def f():\n    import pint"),
        ("tutor/front/pipe.py", "from prompt_toolkit import prompt"),
        ("tutor/practice/terminal.py", "import prompt_toolkit"),
        (FRONT, "import sqlite3"),
        (CIRCUIT, "import networkx"),
        ("grammar/x.py", "from hypothesis import given"),
    ],
    "slow_libraries_load_late": [
        (CIRCUIT, "import sympy"),
        ("grammar/quantity.py", "from pint import UnitRegistry"),
        (FRONT, "try:\n    from sympy.core import Expr\nexcept ImportError:\n    pass"),
        (FRONT, "class A:\n    import sympy"),
        (FRONT, "if TYPE_CHECKING:\n    pass\nelse:\n    import sympy"),
    ],
    "core_is_pure": [
        (CIRCUIT, "import time"),
        (TEACHING, "from datetime import date"),
        (CIRCUIT, "import random"),
        (CIRCUIT, "from random import choice"),
        (CIRCUIT, "from random import Random, shuffle"),
        (CIRCUIT, "from random import Random\ndef f():\n    return Random(1)"),
        (CIRCUIT, "import os.path"),
        (TEACHING, "def f():\n    from pathlib import Path"),
        (TEACHING, "import sys"),
        (TEACHING, "import io"),
        (TEACHING, "from importlib.resources import files"),
        (TEACHING, "def f():\n    return open('x')"),
        (TEACHING, "def f():\n    print(1)"),
        (CIRCUIT, "from functools import cache\n@cache\ndef f(): ..."),
        (CIRCUIT, "import functools\n@functools.lru_cache(maxsize=9)\ndef f(): ..."),
    ],
    "text_is_never_run": [
        ("grammar/x.py", "def f(t):\n    return eval(t)"),
        (FRONT, "def f(t):\n    exec(t)"),
        (CIRCUIT, "def f(t):\n    import sympy\n    return sympy.sympify(t)"),
        (CIRCUIT, "def f(t):\n    from sympy.parsing.sympy_parser import parse_expr as read"),
        (CIRCUIT, "import sympy.parsing.sympy_parser.parse_expr"),
        (FRONT, "run = builtins.eval"),
        (FRONT, "def f(t):\n    return compile(t, 'x', 'eval')"),
        (FRONT, "def f(t):\n    return __import__(t)"),
        (FRONT, "def f(t):\n    return importlib.import_module(t)"),
    ],
    "modules_keep_no_state": [
        (CIRCUIT, "SEEN = []"),
        (CIRCUIT, "SEEN: Final = {}"),
        (CIRCUIT, "SEEN: dict[str, int] = {'a': 1}"),
        (CIRCUIT, "seen: Mapping[str, int] = {'a': 1}"),
        (CIRCUIT, "NAMES: Mapping[str, object] = {'a': [1]}"),
        (CIRCUIT, "NAMES = {1, 2}"),
        (CIRCUIT, "NAMES = [n for n in 'ab']"),
        (CIRCUIT, "NAMES = (1, [2])"),
        (CIRCUIT, "A = B = set()"),
        (CIRCUIT, "A, B = 1, []"),
        (CIRCUIT, "A, other.limit = 1, 2"),
        (CIRCUIT, "engine = Engine()"),
        (CIRCUIT, "ENGINE = Engine()"),
        (CIRCUIT, "RULES = (Rule('a'), Rule('b'))"),
        (CIRCUIT, "RULES: Final = (Rule(parts=[1]),)"),
        (CIRCUIT, "SEEN: Final = defaultdict(list)"),
        (CIRCUIT, "NAMES: Final = 'a b'.split()"),
        (CIRCUIT, "if True:\n    SEEN = []"),
        (CIRCUIT, "try:\n    pass\nexcept OSError:\n    SEEN = {}"),
        (CIRCUIT, "class A:\n    seen = {}"),
        (CIRCUIT, "class A:\n    seen: dict[str, int] = {}"),
        (CIRCUIT, "class A:\n    seen: Mapping[str, list[int]] = defaultdict(list)"),
        (CIRCUIT, "class A:\n    seen: ClassVar = set()"),
        (CIRCUIT, "register(1)"),
        (CIRCUIT, "decimal.getcontext().prec = 50"),
        (CIRCUIT, "NAMES = ()\nNAMES += (make(),)"),
        (CIRCUIT, "now = None\ndef f():\n    global now\n    now = 1"),
    ],
}

ALLOWED = [
    ("grammar/parsing.py", "import lark\nfrom lark import Lark\nfrom grammar.records import Wire"),
    ("grammar/quantity.py", "def f():\n    import pint"),
    ("tutor/front/terminal.py", "from prompt_toolkit import PromptSession"),
    ("tutor/front/terminal_keys.py", "import prompt_toolkit.keys\nimport os, sys, time"),
    ("tutor/learner/record.py", "import sqlite3\nfrom tutor.teaching import messages"),
    ("tutor/practice/x.py", "from tutor.learner.record import Record\nfrom tutor import circuit"),
    ("tutor/__init__.py", '"""The tutor."""'),
    ("tutor/circuit/deep/x.py", "cache = 1\nfrom tutor.circuit import network"),
    (CIRCUIT, "def f(gate, cache):\n    gate.open()\n    return cache"),
    (
        CIRCUIT,
        "from random import Random\ndef f(chance: Random) -> float:\n    return chance.random()",
    ),
    (CIRCUIT, "from .network import build\nfrom grammar.records import Wire\nimport re"),
    (CIRCUIT, "if TYPE_CHECKING:\n    from sympy import Expr\ndef f():\n    import sympy"),
    (CIRCUIT, "WORD = re.compile('a')\nHALF = Fraction(1, 2)\nT = TypeVar('T')"),
    (CIRCUIT, "NAMES = frozenset({'a'})\nORDER = tuple(sorted(NAMES))\nX = ('a', 1)"),
    (CIRCUIT, "UNITS: Final[Mapping[str, Mapping[int, str]]] = {'F': {-6: 'u'}}"),
    (CIRCUIT, "UNITS: Mapping[str, str] = {}\nUNITS2 = MappingProxyType({'a': 1})"),
    (CIRCUIT, "class A(NamedTuple):\n    known: Mapping[str, int] = {}"),
    (CIRCUIT, "PLAIN: Mapping[int, int] = str.maketrans('x', 'y')"),
    (CIRCUIT, "RULES: Final = (Rule('a', Fraction(1)), Rule(name='b'))"),
    (CIRCUIT, "Walk = Callable[[int], int]\nPart: TypeAlias = Chain | Parallel"),
    (CIRCUIT, "class A(Enum):\n    ONE = auto()\n    TWO: int = 2\n\n    def f(self): return []"),
    (FRONT, "if __name__ == '__main__':\n    raise SystemExit(main())"),
    (FRONT, "if __name__ == '__main__':\n    main()"),
    (CIRCUIT, "__all__ = ['build']\nSMALLEST, (MIDDLE, LARGEST) = -12, (0, 6)"),
]


@pytest.fixture(scope="module")
def files() -> list[Source]:
    """Every file of the program, read once."""
    return sources()


@pytest.mark.parametrize("name", RULES)
def test_the_house_keeps_the_rule(name: str, files: list[Source]) -> None:
    found = offenders(RULES[name], files)
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("name", "path", "text"),
    [(name, path, text) for name, cases in OFFENCES.items() for path, text in cases],
)
def test_the_rule_can_fail(name: str, path: str, text: str) -> None:
    assert offenders(RULES[name], [source(path, text)])


@pytest.mark.parametrize(("path", "text"), ALLOWED)
def test_good_source_passes_every_rule(path: str, text: str) -> None:
    file = source(path, text)
    assert [line for rule in RULES.values() for line in offenders(rule, [file])] == []


def test_every_rule_has_an_offence() -> None:
    assert set(OFFENCES) == set(RULES)


def test_offender_is_named_with_file_and_line() -> None:
    file = source(CIRCUIT, "x = 1\n\nfrom tutor.front import pipe\n")
    assert offenders(RULES["rooms_import_leftwards"], [file]) == [
        "tutor/circuit/x.py:3: tutor.circuit imports tutor.front.pipe"
    ]


def test_every_file_of_the_program_is_looked_at(files: list[Source]) -> None:
    looked_at = {str(file.path) for file in files}
    assert {"grammar/records.py", "tutor/__init__.py", "tutor/circuit/network.py"} <= looked_at


MENDED = "mended: take these off the list in tests/names.py, or lower them, so that it shrinks"
NEW = "one name for one thing: give what is new here a name of its own, or merge the two"


def held_against(found: Mapping[str, int], known: Mapping[str, int]) -> list[str]:
    """What is wrong and not on the list, and what is on the list and not wrong any more."""
    more = [f"{name} ({n}): {NEW}" for name, n in found.items() if n > known.get(name, 1)]
    less = [f"{name} ({n}): {MENDED}" for name, n in known.items() if n > found.get(name, 1)]
    return more + less


def test_no_class_or_alias_has_two_homes(files: list[Source]) -> None:
    wrong = held_against(names.shared_names(files), names.SHARED_NAMES)
    assert not wrong, "\n".join(wrong)


def test_no_file_name_has_two_meanings(files: list[Source]) -> None:
    wrong = held_against(names.shared_files(files), names.SHARED_FILES)
    assert not wrong, "\n".join(wrong)


def test_no_modules_import_each_other_in_a_ring(files: list[Source]) -> None:
    found = names.in_rings(files)
    assert found <= names.IN_RINGS, f"a new ring: {sorted(found - names.IN_RINGS)}"
    assert found >= names.IN_RINGS, f"{sorted(names.IN_RINGS - found)}: {MENDED}"


@pytest.mark.parametrize(
    "text",
    [
        "class Scene(NamedTuple):\n    x: int",
        "Scene: TypeAlias = int | str",
        "Scene = Callable[[int], int]",
        "class Other: ...\nScene = Other",
    ],
)
def test_second_home_of_a_name_is_seen(text: str) -> None:
    here, there = source("grammar/x.py", "class Scene: ..."), source(FRONT, text)
    found = names.shared_names([here, there])
    assert found == {"Scene": 2}
    assert held_against(found, {}) == [f"Scene (2): {NEW}"]
    assert held_against(found, {"Scene": 3}) == [f"Scene (3): {MENDED}"]
    assert held_against({}, {"Scene": 2}) == [f"Scene (2): {MENDED}"]
    assert not held_against(found, {"Scene": 2})


def test_a_name_used_or_private_has_no_second_home() -> None:
    here = source("grammar/x.py", "class Scene: ...\nclass _Row: ...\nLIMIT = 1\nT = TypeVar('T')")
    there = source(FRONT, "from grammar.x import Scene\nclass _Row: ...\nLIMIT = 1\nS: Scene = 1")
    assert names.shared_names([here, there]) == {}


def test_second_file_of_a_name_is_seen() -> None:
    files = [source(path, "") for path in (CIRCUIT, FRONT, "grammar/y.py", "tutor/__init__.py")]
    assert names.shared_files(files) == {"x": 2}


@pytest.mark.parametrize(
    "back",
    [
        "from tutor.front.x import f",
        "from tutor.front import x",
        "import tutor.front.x",
        "def f():\n    from tutor.front.x import g",
        "if TYPE_CHECKING:\n    from .x import g",
    ],
)
def test_ring_is_seen_whichever_way_it_is_closed(back: str) -> None:
    files = [
        source("tutor/front/x.py", "from tutor.front.y import f"),
        source("tutor/front/y.py", "from tutor.front import z"),
        source("tutor/front/z.py", back),
        source("tutor/front/w.py", "from tutor.front import x"),
    ]
    assert names.in_rings(files) == {"tutor.front.x", "tutor.front.y", "tutor.front.z"}
