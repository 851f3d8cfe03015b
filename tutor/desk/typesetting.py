"""The typesetter: a page as PDF, tagged as PDF/UA-1 wants it, and a picture as PNG."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

PIXELS_PER_INCH: Final = 144.0  # two pixels for each of CSS, of which there are 72 here
_PICTURE: Final = (
    "#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg))\n"
)


def png(svg: str) -> bytes:
    """A picture at two pixels for each of CSS."""
    import typst

    made = typst.compile(
        _PICTURE.encode(), format="png", ppi=PIXELS_PER_INCH, sys_inputs={"svg": svg},
        ignore_system_fonts=True,
    )
    return made if isinstance(made, bytes) else bytes(made[0])


def pdf(source: str, inputs: Mapping[str, str]) -> bytes:
    """A document in the typesetter's language, with its ``inputs``, as PDF for people who listen
    (PDF/UA-1, ISO 14289-1) and for archives (PDF/A-2a, ISO 19005-2).

    The typesetter itself refuses what breaks the rules of these standards that it can check.
    """
    import typst

    return typst.compile(
        source.encode(), format="pdf", sys_inputs=dict(inputs), ignore_system_fonts=True,
        pdf_standards=["ua-1", "a-2a"],
    )
