"""Filling a height with pieces, top to bottom: the one rule for pages and for the columns within them.

A piece is a ReportLab flowable. Space between two pieces is the larger of what they ask for, and none is
left at the top. A heading stays with the start of what follows it. What cannot be split and is taller
than the whole area is placed all the same, so that no content can stop a paper from being made.
"""

from dataclasses import dataclass

from reportlab.platypus.flowables import Flowable

ENDLESS = 1e6
TOLERANCE = 0.01


@dataclass(frozen=True)
class Placed:
    piece: Flowable
    top: float  # distance below the top of the area
    height: float


class NewPage(Flowable):
    """What follows begins a page; nothing happens where a page has just begun."""

    def wrap(self, width, height):
        return 0, 0

    def draw(self):
        """Leaves the paper as it is."""


def height_of(pieces: list[Flowable], width: float) -> float:
    placed, _ = fill(pieces, width, ENDLESS)
    return placed[-1].top + placed[-1].height if placed else 0


def fill(
    pieces: list[Flowable], width: float, height: float, *, force: bool = False
) -> tuple[list[Placed], list[Flowable]]:
    """What fits, and what is left over. With `force` the first piece is placed even if it does not fit."""
    placed: list[Placed] = []
    bottom = gap = 0.0
    for position, piece in enumerate(pieces):
        if isinstance(piece, NewPage):
            if placed and height < ENDLESS:
                return placed, pieces[position + 1 :]
            continue
        top = bottom + (max(gap, piece.getSpaceBefore()) if placed else 0)
        _, tall = piece.wrap(width, height)
        if top + _least(pieces, position, width) <= height + TOLERANCE and top + tall <= height + TOLERANCE:
            placed.append(Placed(piece, top, tall))
            bottom, gap = top + tall, piece.getSpaceAfter()
            continue
        parts = piece.split(width, height - top) if height > top else []
        if len(parts) > 1:
            _, tall = parts[0].wrap(width, height)
            return [*placed, Placed(parts[0], top, tall)], [*parts[1:], *pieces[position + 1 :]]
        if force and not placed:
            return [Placed(piece, 0, tall)], pieces[1:]
        return placed, pieces[position:]
    return placed, []


def draw(placed: list[Placed], canvas, x: float, top: float) -> None:
    for each in placed:
        each.piece.drawOn(canvas, x, top - each.top - each.height)


def _least(pieces: list[Flowable], position: int, width: float) -> float:
    """The height a piece needs so as not to be parted from what it must stay with."""
    piece = pieces[position]
    _, tall = piece.wrap(width, ENDLESS)
    if not piece.getKeepWithNext() or position + 1 == len(pieces):
        return least_height(piece, width)
    following = pieces[position + 1]
    return tall + max(piece.getSpaceAfter(), following.getSpaceBefore()) + _least(pieces, position + 1, width)


def least_height(piece: Flowable, width: float) -> float:
    """The smallest part of the piece that may stand alone at the foot of an area."""
    own = getattr(piece, "least_height", None)
    return own(width) if own else piece.wrap(width, ENDLESS)[1]


def least_of(pieces: list[Flowable], width: float) -> float:
    return _least(pieces, 0, width) if pieces else 0
