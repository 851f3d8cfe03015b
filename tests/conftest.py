"""What all tests share: no deadlines, and no settings or record of whoever runs them."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# The machine's speed is nobody's fault, and the same tree gives the same verdict twice. To look
# for new examples run with --hypothesis-profile=wandering.
settings.register_profile("platewalk", deadline=None, derandomize=True)
settings.register_profile("wandering", deadline=None)
settings.load_profile("platewalk")


def pytest_collection_finish() -> None:
    """The tests and their cases stay to the end: nothing of them is looked at for what may go."""
    gc.collect()
    gc.freeze()


@pytest.fixture(scope="session", autouse=True)
def _own_settings_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Settings and the record are read from and written to a folder of the tests' own."""
    folder = tmp_path_factory.mktemp("config")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(folder))
        patch.setenv("XDG_DATA_HOME", str(folder / "data"))
        yield folder
