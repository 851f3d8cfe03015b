"""The typesetter: a page as PDF, tagged as PDF/UA-1 wants it, and a picture as PNG."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from grammar.records import Refusal

PIXELS_PER_INCH: Final = 144.0  # two pixels for each of CSS, of which there are 72 here
_LACKING: Final = re.compile(r'the text [`"]+(.*?)["`]+ could not be displayed')
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

    The typesetter itself refuses what breaks the rules of these standards that it can check. Its
    own fonts come first, so that a sheet looks the same everywhere; for letters that they have
    not, those of the machine are asked. Errors: ``Refusal`` for letters that no font has.
    """
    import typst

    try:
        return _pdf(source, inputs, own_fonts=True)
    except typst.TypstError as fault:
        if _LACKING.search(str(fault)) is None:
            raise
    try:
        return _pdf(source, inputs, own_fonts=False)
    except typst.TypstError as fault:
        lacking = _LACKING.search(str(fault))
        if lacking is None:
            raise
        raise Refusal(
            f"No font here has the letters {lacking[1]}.",
            "Print it as .html, which a browser shows, or write the words in other letters.",
        ) from None


def _pdf(source: str, inputs: Mapping[str, str], own_fonts: bool) -> bytes:
    import typst

    return typst.compile(
        source.encode(), format="pdf", sys_inputs=dict(inputs), ignore_system_fonts=own_fonts,
        pdf_standards=["ua-1", "a-2a"],
    )
