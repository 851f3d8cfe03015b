"""The folders that the system keeps for a program's files of one user."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, Literal

PROGRAM: Final = "platewalk"
# XDG Base Directory Specification 0.8: the variable, if it holds an absolute path, or else this.
_ON_LINUX: Mapping[str, tuple[str, str]] = MappingProxyType({
    "data": ("XDG_DATA_HOME", "~/.local/share"), "config": ("XDG_CONFIG_HOME", "~/.config"),
})


def user_folder(kind: Literal["data", "config"]) -> Path:
    """Where this user's data or settings of the program are kept; it need not be there yet."""
    if sys.platform.startswith("linux"):  # the first prompt does not wait for the library
        variable, usual = _ON_LINUX[kind]
        named = os.environ.get(variable, "")
        return Path(named if os.path.isabs(named) else os.path.expanduser(usual)) / PROGRAM
    import platformdirs

    found = {"data": platformdirs.user_data_path, "config": platformdirs.user_config_path}
    return found[kind](PROGRAM, appauthor=False)
