"""Tests that are loaded once and run again and again, each time in a process split off, on a module
some of whose code has been changed: what takes seconds to load is loaded once.
"""

from __future__ import annotations

import gc
import inspect
import os
import resource
import signal
import sys
from collections.abc import Iterator
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from time import monotonic, sleep
from types import CodeType, FunctionType
from typing import Final, Literal, NamedTuple, TypeAlias

import pytest

Came: TypeAlias = Literal["passed", "failed", "not placed"]

OF_THE_TREE: Final = ("grammar", "tutor", "tests")
MOST_MEMORY: Final = 3 * 2**30  # bytes; what takes more never ends
FAILED, NOT_PLACED = 1, 2
PAUSE: Final = 0.005


class Change(NamedTuple):
    """A file of the tree, its source and what is to stand there, and how long its tests may take
    with that, in seconds.
    """

    module: str
    old: str
    new: str
    seconds: float


class WarmTests:
    """The tests of some files in one folder, loaded and run once in a process of their own."""

    def __init__(self, folder: Path, files: tuple[str, ...]) -> None:
        self._ours, theirs = get_context("fork").Pipe()
        self._process = get_context("fork").Process(
            target=_serve, args=(folder, files, theirs), daemon=True
        )
        self._process.start()
        theirs.close()

    def passed(self, seconds: float) -> bool:
        """Whether they pass as they are; asked once, and first."""
        try:
            return self._ours.poll(seconds) and self._ours.recv() == "passed"
        except EOFError:
            return False

    def with_change(self, change: Change) -> Came:
        """What comes of them with the code of one module changed; not placed where more than
        functions would have to be changed.
        """
        self._ours.send(change)
        came: Came = self._ours.recv()
        return came

    def end(self) -> None:
        """Let the process go."""
        self._process.kill()
        self._process.join()


def anew(folder: Path, files: tuple[str, ...], seconds: float) -> bool:
    """Whether these tests pass, all of the tree being loaded anew."""
    warm = WarmTests(folder, files)
    passed = warm.passed(seconds)
    warm.end()
    return passed


def _serve(folder: Path, files: tuple[str, ...], asked: Connection) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    with Path(os.devnull).open("w", encoding="utf-8") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
    here = Path.cwd()
    os.chdir(folder)
    sys.path = [str(folder), *(path for path in sys.path if Path(path) != here)]
    sys.dont_write_bytecode = True
    os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
    os.environ["TRIED"] = "whole"
    for name in [name for name in sys.modules if name.partition(".")[0] in OF_THE_TREE]:
        del sys.modules[name]
    pytest.main(["-n0", "-x", "-q", "-p", "no:cacheprovider", *files], plugins=[_Again(asked)])


class _Again:
    """Takes the place of the loop that runs the tests."""

    def __init__(self, asked: Connection) -> None:
        self.asked = asked

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        self.asked.send("passed" if _run(session) else "failed")
        while True:
            change: Change = self.asked.recv()
            self.asked.send(_split_off(session, change))


def _run(session: pytest.Session, first: str = "") -> bool:
    """Up to the first that fails; those of the file ``first`` before all others."""
    items = sorted(session.items, key=lambda item: item.path.name != first)
    for item, following in zip(items, [*items[1:], None], strict=True):
        item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        if session.testsfailed:
            return False
    return bool(session.items) and not session.shouldfail


def _split_off(session: pytest.Session, change: Change) -> Came:
    child = os.fork()
    if not child:
        os._exit(_changed(session, change))
    until = monotonic() + change.seconds
    while True:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            exits: dict[int, Came] = {0: "passed", NOT_PLACED: "not placed"}
            return exits.get(os.waitstatus_to_exitcode(status), "failed")
        if monotonic() > until:
            os.kill(child, signal.SIGKILL)
        sleep(PAUSE)


def _changed(session: pytest.Session, change: Change) -> int:
    try:
        if not placed(change):
            return NOT_PLACED
        _forget(change.module.partition("/")[0])
        return 0 if _run(session, f"test_{Path(change.module).name}") else FAILED
    except BaseException:  # whatever it is, nothing of it may come back into the loop above
        return FAILED


def placed(change: Change) -> bool:
    """Give all functions of a loaded module the code that they have in a changed source. False
    where that is not enough, since something that is run once, as it is loaded, is another.
    """
    path = str(Path(change.module).resolve())
    old = [*_codes(compile(Path(change.module).read_text("utf-8"), path, "exec"))]
    new = [*_codes(compile(change.new, path, "exec"))]
    before = [*_codes(compile(change.old, path, "exec"))]
    if not len(old) == len(new) == len(before):
        return False
    if any(_own(one) != _own(two) for one, two in zip(before, new, strict=True) if _is_body(one)):
        return False
    codes = dict(zip(old, new, strict=True))
    for each in gc.get_objects():
        if isinstance(each, FunctionType) and each.__code__ in codes:
            each.__code__ = codes[each.__code__]
    return True


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield from _codes(each)


def _is_body(code: CodeType) -> bool:
    """Whether it is run as a module is loaded, and not called."""
    return not code.co_flags & inspect.CO_OPTIMIZED


def _own(code: CodeType) -> tuple[object, ...]:
    plain = tuple((type(c), c) for c in code.co_consts if not isinstance(c, CodeType))
    return code.co_code, plain, code.co_names


def _forget(room: str) -> None:
    """What is kept of earlier results, but for the rooms to the left, which know nothing of it."""
    for name, module in list(sys.modules.items()):
        if name.partition(".")[0] in (*OF_THE_TREE[OF_THE_TREE.index(room):], "tests"):
            for each in list(vars(module).values()):
                if isinstance(each, FunctionType) or not hasattr(each, "cache_clear"):
                    continue
                each.cache_clear()
