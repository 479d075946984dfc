"""Photographs set out together: one large with others beside it, or rows of equal height. None is cropped."""

from dataclasses import dataclass
from itertools import groupby
from math import ceil

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns
from instruments.documents.content import Photo
from instruments.documents.figures import CAPTION_GAP, PhotoFigure
from instruments.documents.jpeg import Jpeg, read_jpeg
from instruments.documents.text import p

GAP = 8
WIDEST_GAP = 36
LONGEST_CAPTION = 140  # longer ones are printed below the pictures
TALLEST_GROUP = 98 * mm
TALLEST_ROW = 62 * mm
MOST_IN_A_ROW = 4
WIDEST_IN_A_ROW = 3.2  # width to height; a wider one beside others would leave them too small to see


@dataclass(frozen=True)
class Shown:
    photo: Photo
    jpeg: Jpeg
    number: int

    @property
    def caption(self) -> str:
        return (
            self.photo.caption if len(self.photo.caption) <= LONGEST_CAPTION else f"Photograph {self.number}"
        )

    def pieces(self, width: float) -> list[Flowable]:
        figure = PhotoFigure(self.jpeg, width, self.photo.alt or self.photo.caption)
        caption = p(self.caption, styles.CAPTION, kind="Caption")
        figure.keepWithNext = bool(caption)
        return [figure, *caption]

    def caption_height(self, width: float) -> float:
        caption = p(self.caption, styles.CAPTION)
        return CAPTION_GAP + pour.height_of(caption, width) if caption else 0


def gallery(
    photos: tuple[Photo, ...], *, width: float, group: bool = True, tallest_row: float = TALLEST_ROW
) -> list[Flowable]:
    """All photographs at this width. `group` sets the first one large where their shapes allow it."""
    shown, notes = _readable(photos)
    together, taken = _largest_group(shown, width) if group else (None, 0)
    rest = shown[taken:]
    pieces = [together] if together else []
    pieces += [row_of(row, width, tallest_row) for row in _rows(rest)]
    return [*pieces, *_long_captions(shown), *notes]


def group_size(photos: tuple[Photo, ...], *, width: float) -> int:
    """How many of the photographs, counted from the first, one large group can take; 0 for none."""
    shown, missing = _readable(photos[:MOST_IN_A_ROW])
    return 0 if missing else _largest_group(shown, width)[1]


def single(photo: Photo, *, width: float, tallest: float) -> list[Flowable]:
    """One photograph with its caption, as large as width and height allow."""
    shown, notes = _readable((photo,))
    pieces = [piece for each in shown for piece in each.pieces(min(width, tallest * each.jpeg.aspect))]
    return [*pieces, *_long_captions(shown), *notes]


def _long_captions(shown: list[Shown]) -> list[Flowable]:
    return [
        piece
        for each in shown
        if each.caption != each.photo.caption
        for piece in p(f"Photograph {each.number}: {each.photo.caption}", styles.CAPTION)
    ]


def _readable(photos: tuple[Photo, ...]) -> tuple[list[Shown], list[Flowable]]:
    """A file that cannot be read is said to be missing; it does not keep the paper from being printed."""
    shown, notes = [], []
    for number, photo in enumerate(photos, start=1):
        try:
            shown.append(Shown(photo, read_jpeg(photo.read()), number))
        except (OSError, ValueError):
            words = f"Photograph {number} could not be printed: {photo.caption or photo.alt or 'no caption'}"
            notes += p(words, styles.CAPTION)
    return shown, notes


def _rows(shown: list[Shown]) -> list[list[Shown]]:
    """As few rows as may be, evenly filled; a panorama has one to itself."""
    rows = []
    for is_wide, some in groupby(shown, key=lambda each: each.jpeg.aspect > WIDEST_IN_A_ROW):
        run = list(some)
        across = 1 if is_wide else ceil(len(run) / ceil(len(run) / MOST_IN_A_ROW))
        rows += [run[start : start + across] for start in range(0, len(run), across)]
    return rows


def row_of(shown: list[Shown], width: float, tallest: float) -> Columns:
    """Side by side at one height, filling the width unless that would make them too tall."""
    room = width - GAP * (len(shown) - 1)
    height = min(room / sum(each.jpeg.aspect for each in shown), tallest)
    widths = [height * each.jpeg.aspect for each in shown]
    cells = [each.pieces(wide) for each, wide in zip(shown, widths, strict=True)]
    flush = (width - sum(widths)) / (len(shown) - 1) if len(shown) > 1 else GAP
    gap = flush if flush <= WIDEST_GAP else GAP  # spread to both margins, unless that tears them apart
    return Columns(cells, widths, gap=gap, space_before=9, space_after=4)


def _largest_group(shown: list[Shown], width: float) -> tuple[Columns | None, int]:
    """The group of four, or else of three, that the shapes allow, and how many it takes."""
    for count in (4, 3):
        if len(shown) >= count and (together := _group(shown[:count], width)):
            return together, count
    return None, 0


def _group(shown: list[Shown], width: float) -> Columns | None:
    """The first large, the others stacked beside it, so that all end on one line."""
    first, *others = shown
    room = width - GAP
    shape = sum(1 / each.jpeg.aspect for each in others)
    narrow = room / 4
    for _ in range(2):  # captions wrap by the width that they help to decide
        between = sum(each.caption_height(narrow) + GAP for each in others[:-1])
        narrow = (room / first.jpeg.aspect - between) / (shape + 1 / first.jpeg.aspect)
    wide = room - narrow
    if not 0.16 * width <= narrow <= 0.5 * width or wide / first.jpeg.aspect > TALLEST_GROUP:
        return None
    stack: list[Flowable] = []
    for each in others:
        pieces = each.pieces(narrow)
        if stack:
            pieces[0].spaceBefore = GAP
        stack += pieces
    return Columns([first.pieces(wide), stack], [wide, narrow], gap=GAP, space_before=9, space_after=4)
