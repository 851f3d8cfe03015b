"""The typesetter: PNG of a picture, and whole pages."""

from __future__ import annotations

from typing import Final

PIXELS_PER_INCH: Final = 192.0
_PAGE: Final = "#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg))\n"


def png(svg: str) -> bytes:
    """The picture at two pixels for each of CSS."""
    import typst

    made = typst.compile(
        _PAGE.encode(), format="png", ppi=PIXELS_PER_INCH * 0.75, sys_inputs={"svg": svg},
    )
    return made if isinstance(made, bytes) else bytes(made[0])
