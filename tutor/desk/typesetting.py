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
    return _compiled(_PICTURE, "png", {"svg": svg})


def pdf(source: str, inputs: Mapping[str, str]) -> bytes:
    """A document in the typesetter's language, as PDF/UA-1 (ISO 14289-1), with its ``inputs``.

    The typesetter itself refuses what breaks the rules of that standard that it can check.
    """
    return _compiled(source, "pdf", inputs)


def _compiled(source: str, form: str, inputs: Mapping[str, str]) -> bytes:
    import typst

    made = typst.compile(
        source.encode(), format=form, sys_inputs=dict(inputs), ignore_system_fonts=True,
        **({"pdf_standards": "ua-1"} if form == "pdf" else {"ppi": PIXELS_PER_INCH}),
    )
    return made if isinstance(made, bytes) else bytes(made[0])
