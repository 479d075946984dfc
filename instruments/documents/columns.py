"""Pieces side by side. Each column flows on by itself when the row is cut at the foot of a page."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import pour
from instruments.documents.tags import Element

LEVELLING_STEP = 4
TALLEST_WHOLE_ROW = 130


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
        whole: bool = False,
    ):
        super().__init__()
        self.columns, self.widths, self.gap = columns, widths, gap
        self.spaceBefore, self.spaceAfter = space_before, space_after
        self.row = row
        self.cells = cells or [None] * len(columns)
        self.keepWithNext = keep_with_next
        self.whole = whole  # a short row is not cut
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
        _, tall = self.wrap(width, pour.ENDLESS)
        if self.whole and tall <= TALLEST_WHOLE_ROW:
            return tall
        return max(
            (pour.least_of(pieces, wide) for pieces, wide in zip(self.columns, self.widths, strict=True)),
            default=0,
        )

    def split(self, width, height):
        """Two rows, or nothing when some column could not even begin here."""
        if self.whole and self.wrap(width, height)[1] <= TALLEST_WHOLE_ROW:
            return []
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


class Newspaper(Flowable):
    """One run of pieces in two columns, read left then right. Level where it ends on the page.

    Where it does not, both columns are filled to the foot before the run goes on overleaf: nobody reads
    a left column over the page and comes back for the right one.
    """

    def __init__(self, pieces: list[Flowable], width: float, *, gap: float, space_before: float = 0):
        super().__init__()
        self.pieces, self.width, self.gap = pieces, width, gap
        self.spaceBefore = space_before
        self.column = (width - gap) / 2
        self._level: Columns | None = None

    def wrap(self, width, height):
        if self._level is None:
            self._level = self._side_by_side(*self._halves())
        return self.width, self._level.wrap(self.width, height)[1]

    def _halves(self) -> tuple[list[Flowable], list[Flowable]]:
        height = pour.height_of(self.pieces, self.column) / 2
        while True:
            placed, left_over = pour.fill(self.pieces, self.column, height)
            if pour.height_of(left_over, self.column) <= height:
                return [each.piece for each in placed], left_over
            height += LEVELLING_STEP

    def least_height(self, width):
        return pour.least_of(self.pieces, self.column)

    def split(self, width, height):
        left, rest = pour.fill(self.pieces, self.column, height)
        right, rest = pour.fill(rest, self.column, height)
        if not left:
            return []
        columns = self._side_by_side(*([each.piece for each in placed] for placed in (left, right)))
        columns.spaceBefore = self.spaceBefore
        return [columns, Newspaper(rest, self.width, gap=self.gap)]

    def _side_by_side(self, left: list[Flowable], right: list[Flowable]) -> Columns:
        return Columns([left, right], [self.column, self.column], gap=self.gap)

    def draw(self):
        self._level.drawOn(self.canv, 0, 0)
