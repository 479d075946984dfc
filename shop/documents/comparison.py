"""Two to four instruments beside one another on paper: what it says, as plain data."""

from dataclasses import dataclass, field
from datetime import date

from instruments.documents.content import Party
from instruments.drawings.shapes import Drawing


@dataclass(frozen=True)
class Said:
    lines: tuple[str, ...]
    basis: str = ""
    drawing: Drawing | None = field(default=None, metadata={"hashed": False})  # follows from the words


@dataclass(frozen=True)
class Line:
    title: str
    cells: tuple[Said, ...]


@dataclass(frozen=True)
class ComparisonPaper:
    shop: Party
    printed_on: date
    names: tuple[str, ...]
    headlines: tuple[str, ...]
    lines: tuple[Line, ...]
    pictures: tuple[Drawing, ...] = field(default=(), metadata={"hashed": False})
    compasses: Drawing | None = field(default=None, metadata={"hashed": False})


def build_comparison(paper: ComparisonPaper) -> bytes:
    """The PDF: A4, as many pages as the rows take, the names again at the head of each."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.comparison_layout import lay_out

    return lay_out(paper)
