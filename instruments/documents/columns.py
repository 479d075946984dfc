"""Pieces side by side. Each column flows on by itself when the row is cut at the foot of a page."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import pour
from instruments.documents.tags import Element

BALANCING_STEP = 4


class Columns(Flowable):
    """One row of columns. Widths and gap in points; a list of pieces for each column.

    As a row of a table pass `row=Element("TR", ...)`; `cells` names each column's own element (TD, LI ...).
    """

    def __init__(
        self,
        columns: list[list[Flowable]],
        widths: list[float],
        *,
        gap: float = 12,
        space_before: float = 0,
        space_after: float = 0,
        row: Element | None = None,
        cells: list[Element | None] | None = None,
        keep_with_next: bool = False,
    ):
        super().__init__()
        self.columns, self.widths, self.gap = columns, widths, gap
        self.spaceBefore, self.spaceAfter = space_before, space_after
        self.row = row
        self.cells = cells or [None] * len(columns)
        self.keepWithNext = keep_with_next
        self._stacks: list[list[pour.Placed]] | None = None

    def wrap(self, width, height):
        if self._stacks is None:
            self._stacks = [
                pour.fill(pieces, column_width, pour.ENDLESS)[0]
                for pieces, column_width in zip(self.columns, self.widths, strict=True)
            ]
            ends = [stack[-1].top + stack[-1].height for stack in self._stacks if stack]
            self._tall = max(ends, default=0)
        return sum(self.widths) + self.gap * (len(self.widths) - 1), self._tall

    def least_height(self, width):
        self.wrap(width, pour.ENDLESS)
        return max(
            (pour.least_of(pieces, wide) for pieces, wide in zip(self.columns, self.widths, strict=True)),
            default=0,
        )

    def split(self, width, height):
        """Two rows, or nothing when some column could not even begin here."""
        filled = [
            pour.fill(pieces, column_width, height)
            for pieces, column_width in zip(self.columns, self.widths, strict=True)
        ]
        if any(pieces and not placed for pieces, (placed, _) in zip(self.columns, filled, strict=True)):
            return []
        return [
            self._part([[each.piece for each in placed] for placed, _ in filled], self.spaceBefore, 0),
            self._part([left for _, left in filled], 0, self.spaceAfter),
        ]

    def _part(self, columns, space_before, space_after) -> "Columns":
        return Columns(
            columns,
            self.widths,
            gap=self.gap,
            space_before=space_before,
            space_after=space_after,
            row=self.row,
            cells=self.cells,
        )

    def draw(self):
        x = 0
        with self.canv.inside(self.row):
            for stack, width, cell in zip(self._stacks, self.widths, self.cells, strict=True):
                with self.canv.inside(cell):
                    pour.draw(stack, self.canv, x, self._tall)
                x += width + self.gap


def balanced(pieces: list[Flowable], *, width: float, gap: float, space_before: float = 0) -> list[Flowable]:
    """Two columns of equal width, read left then right, that end as nearly level as the pieces allow."""
    column = (width - gap) / 2
    height = pour.height_of(pieces, column) / 2
    if not height:
        return []
    while True:
        placed, left = pour.fill(pieces, column, height)
        if placed and pour.height_of(left, column) <= height:
            break
        height += BALANCING_STEP
    columns = [[each.piece for each in placed], left]
    return [Columns(columns, [column, column], gap=gap, space_before=space_before)]
