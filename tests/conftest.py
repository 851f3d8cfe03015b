"""What all tests share: no deadlines, and no settings or record of whoever runs them."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from tests.sampled import some

# The machine's speed is nobody's fault, and the same tree gives the same verdict twice. To look
# for new examples run with --hypothesis-profile=wandering.
gc.disable()  # until all tests are collected: nothing of them goes before the end
settings.register_profile("platewalk", deadline=None, derandomize=True, max_examples=some(100))
settings.register_profile("wandering", deadline=None, max_examples=some(100))
settings.load_profile("platewalk")


def pytest_collection_finish() -> None:
    """The tests and their cases stay to the end: nothing of them is looked at for what may go."""
    gc.collect()
    gc.freeze()
    gc.enable()


@pytest.fixture(scope="session", autouse=True)
def _own_settings_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Settings and the record are read from and written to a folder of the tests' own."""
    folder = tmp_path_factory.mktemp("config")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(folder))
        patch.setenv("XDG_DATA_HOME", str(folder / "data"))
        yield folder


@pytest.fixture(scope="session", autouse=True)
def _compiled_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Where Python keeps nothing that it compiles, processes that tests start share a folder:
    to compile the program takes each of them longer than all else that it does.
    """
    base = tmp_path_factory.getbasetemp()
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / "compiled"
    with pytest.MonkeyPatch.context() as patch:
        if sys.dont_write_bytecode:
            patch.setenv("PYTHONPYCACHEPREFIX", str(folder))
            patch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
        yield
