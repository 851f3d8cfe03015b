"""Tables of words that travel with the program: TOML files beside the code that speaks them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType


@cache  # a pure loader of package data: the same file always gives the same table
def table(package: str, name: str) -> Mapping[str, Mapping[str, str]]:
    """The rows of ``name``.toml of a package, in their order; every field of a row is a text.

    It is read where something of it is said, never before: no first prompt waits for it.
    """
    import tomllib
    from importlib.resources import files

    rows = tomllib.loads((files(package) / f"{name}.toml").read_text(encoding="utf-8"))
    return MappingProxyType({key: MappingProxyType(row) for key, row in rows.items()})
