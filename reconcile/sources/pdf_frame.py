"""Words on a page, and the page's coordinates as it is shown or has to be read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from reconcile.records import Box

if TYPE_CHECKING:
    import pypdfium2


@dataclass(slots=True)
class PdfWord:
    """One word; box from the page's upper left corner in points."""

    text: str
    x0: float
    top: float
    x1: float
    bottom: float

    @property
    def box(self) -> Box:
        return (round(self.x0, 2), round(self.top, 2), round(self.x1, 2), round(self.bottom, 2))

    @property
    def height(self) -> float:
        return self.bottom - self.top


class PageFrame:
    """How a page's own coordinates become points from its upper left corner.

    Parameters
    ----------
    page : PdfPage
    turn : int, optional
        Clockwise turn [degrees] of the page; as it is shown where not given.
    """

    def __init__(self, page: pypdfium2.PdfPage, turn: int | None = None) -> None:
        self.left, self.low, self.right, self.high = page.get_bbox()
        self.turn = (page.get_rotation() if turn is None else turn) % 360
        wide, tall = self.right - self.left, self.high - self.low
        self.width, self.height = (tall, wide) if self.turn in (90, 270) else (wide, tall)

    def box(self, left: float, low: float, right: float, high: float) -> Box:
        """A box with its origin moved and turned."""
        x0, x1 = left - self.left, right - self.left
        y0, y1 = low - self.low, high - self.low
        if self.turn == 0:
            return x0, self.height - y1, x1, self.height - y0
        if self.turn == 90:
            return y0, x0, y1, x1
        if self.turn == 180:
            return self.width - x1, y0, self.width - x0, y1
        return self.width - y1, self.height - x1, self.width - y0, self.height - x0

    def own(self, box: Box) -> Box:
        """The box in the page's own coordinates (left, low, right, high)."""
        a0, b0, a1, b1 = box
        if self.turn == 0:
            x0, y0, x1, y1 = a0, self.height - b1, a1, self.height - b0
        elif self.turn == 90:
            x0, y0, x1, y1 = b0, a0, b1, a1
        elif self.turn == 180:
            x0, y0, x1, y1 = self.width - a1, b0, self.width - a0, b1
        else:
            x0, y0, x1, y1 = self.height - b1, self.width - a1, self.height - b0, self.width - a0
        return x0 + self.left, y0 + self.low, x1 + self.left, y1 + self.low
