"""The prefixes people would use for each quantity, from those that the text gives."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from grammar.records import Dimension
from tutor.circuit.network import LARGEST_PREFIX, SMALLEST_PREFIX

# Lengths, areas, fields and forces are counted in SI units where none is written.
SIZES_IN_SI: Final[Mapping[Dimension, int]] = MappingProxyType(
    dict.fromkeys(("length", "area", "permittivity", "field", "force"), 0)
)


def usual_prefixes(typed: Iterable[tuple[Dimension, int]]) -> Mapping[Dimension, int]:
    """The commonest power of ten typed for each quantity, the first of equally common ones.

    Where none was typed it follows from the others: a charge is a capacitance times a p.d., an
    energy a charge times a p.d.; a p.d. alone is in volts.
    """
    seen: dict[Dimension, Counter[int]] = {}
    for dimension, power in typed:
        seen.setdefault(dimension, Counter())[power] += 1
    found = {dimension: count.most_common(1)[0][0] for dimension, count in seen.items()}
    volts = found.get("voltage", 0)
    farads = found.get("capacitance")
    if farads is None:
        coulombs = found.get("charge", found.get("energy", volts) - volts)
        farads = coulombs - volts
    usual: dict[Dimension, int] = {
        "capacitance": farads,
        "voltage": volts,
        "charge": farads + volts,
        "energy": farads + 2 * volts,
    }
    return MappingProxyType({
        dimension: min(max(found.get(dimension, power), SMALLEST_PREFIX), LARGEST_PREFIX)
        for dimension, power in usual.items()
    })
