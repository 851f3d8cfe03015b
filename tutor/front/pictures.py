"""The drawing of a network for a page, where there is one."""

from __future__ import annotations

from tutor.front.drawing import sketch
from tutor.front.plain import Page
from tutor.teaching.depicted import Depicted

MOST_DRAWN = 12


def picture(
    drawn: Depicted, page: Page, indent: str = "", most: int | None = None
) -> list[str]:
    """A network drawn within the page and the ``most`` lines it may take, with what has no room in
    it; no lines where it is too large, or has more than twelve capacitors.
    """
    if len(drawn.network.capacitors) > MOST_DRAWN or not page.drawings:
        return []
    return sketch(drawn, page, indent, most) or []
