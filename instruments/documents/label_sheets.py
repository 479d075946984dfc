"""Sheets of self-adhesive labels on A4, and which place of which sheet each label takes. Millimetres.

The measures are those that label sheets of many makes share; common practice, no source. A sheet's labels
stand in its middle, from which the margins follow.
"""

from dataclasses import dataclass

PAPER_WIDE_MM, PAPER_TALL_MM = 210.0, 297.0
FURTHEST_NUDGE_MM = 5


@dataclass(frozen=True)
class LabelSheet:
    across: int
    down: int
    wide_mm: float
    tall_mm: float
    between_mm: float  # columns; rows touch

    @property
    def count(self) -> int:
        return self.across * self.down

    @property
    def words(self) -> str:
        return f"{self.count} on a sheet, {self.wide_mm:g} × {self.tall_mm:g} mm"

    def corner_mm(self, place: int) -> tuple[float, float]:
        """The upper left corner of a place from that of the paper; places count from 0, row by row."""
        row, column = divmod(place, self.across)
        wide = self.across * self.wide_mm + (self.across - 1) * self.between_mm
        left = (PAPER_WIDE_MM - wide) / 2 + column * (self.wide_mm + self.between_mm)
        return left, (PAPER_TALL_MM - self.down * self.tall_mm) / 2 + row * self.tall_mm


SHEETS = {
    "21": LabelSheet(3, 7, 63.5, 38.1, 2.5),
    "14": LabelSheet(2, 7, 99.1, 38.1, 2.5),
    "8": LabelSheet(2, 4, 99.1, 67.7, 2.5),
}


def placed(count: int, *, sheet: LabelSheet, first: int) -> list[tuple[int, int]]:
    """For each of so many labels the page and the place on it; the first place of the first page is `first`.

    `first` counts from 1, as people count; raises ValueError where the sheet has no such place.
    """
    if not 1 <= first <= sheet.count:
        raise ValueError(f"A sheet of {sheet.count} has no place {first}.")
    return [divmod(first - 1 + number, sheet.count) for number in range(count)]
