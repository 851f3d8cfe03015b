"""What a picture may show of a problem."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, TypeAlias, get_args

View: TypeAlias = Literal["network", "charges", "heights", "steps"]
VIEWS: Final[tuple[View, ...]] = get_args(View)
SAID_OF_VIEWS: Mapping[View, str] = MappingProxyType({
    "network": "the network, or the plates, as given",
    "charges": "with the charge and the p.d. of each, and its + plate",
    "heights": "potentials as heights",
    "steps": "before and after each step of the solution",
})
