"""The folders of a user, held to the XDG Base Directory Specification and to platformdirs."""

from __future__ import annotations

import sys
from pathlib import Path

import platformdirs
import pytest

from tutor.front.user_place import user_folder

NAMED = "/srv/own/data"


@pytest.mark.parametrize("named", [None, "", NAMED])
def test_the_folders_are_those_of_the_library(
    monkeypatch: pytest.MonkeyPatch, named: str | None
) -> None:
    for variable in ("XDG_DATA_HOME", "XDG_CONFIG_HOME"):
        if named is None:
            monkeypatch.delenv(variable, raising=False)
        else:
            monkeypatch.setenv(variable, named)
    assert user_folder("data") == platformdirs.user_data_path("platewalk", appauthor=False)
    assert user_folder("config") == platformdirs.user_config_path("platewalk", appauthor=False)
    if named and sys.platform.startswith("linux"):
        assert user_folder("data") == Path(NAMED) / "platewalk"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the specification's systems")
def test_a_path_that_is_not_absolute_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    """The specification, 0.8: such a path is invalid and to be ignored."""
    monkeypatch.setenv("XDG_DATA_HOME", "here/and/there")
    monkeypatch.setenv("HOME", "/home/ada")
    assert user_folder("data") == Path("/home/ada/.local/share/platewalk")


@pytest.mark.parametrize("system", ["win32", "darwin"])
def test_elsewhere_the_library_is_asked(monkeypatch: pytest.MonkeyPatch, system: str) -> None:
    monkeypatch.setattr("sys.platform", system)
    monkeypatch.setattr(platformdirs, "user_data_path", lambda name, **_: Path("x") / name)
    assert user_folder("data") == Path("x/platewalk")
