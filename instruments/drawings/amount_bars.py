"""Bars for amounts, one below the other, longest scale to all of them. Once wide, once narrow for a phone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from instruments.drawings import ink
from instruments.drawings.day_bars import BAR, LETTERS, NARROW_DAYS, ROW, WIDE_DAYS, DayCut
from instruments.drawings.shapes import Drawing, Line, Rect, Shape, Text, hatched

CUTS = (WIDE_DAYS, NARROW_DAYS)


@dataclass(frozen=True)
class AmountBar:
    """`words` is the amount as it is printed; one below nothing is hatched and runs to the left."""

    label: str
    amount: int
    words: str


def amount_bars(name: str, description: str, bars: Sequence[AmountBar], cut: DayCut = WIDE_DAYS) -> Drawing:
    """Label above each bar, with its amount. The scale begins at nothing, or at the least below it."""
    drawing = Drawing(
        width=cut.width, height=ROW * len(bars) + 8, name=name, description=description, kind=cut.kind
    )
    least, most = min([0, *(bar.amount for bar in bars)]), max([0, *(bar.amount for bar in bars)])
    scale = (cut.width - 4) / ((most - least) or 1)
    zero = 2 - least * scale
    for place, bar in enumerate(bars):
        drawing.extend(_bar(bar, ROW * place, zero=zero, scale=scale, cut=cut))
    drawing.extend([Line(zero, 0, zero, ROW * len(bars), stroke=ink.LINE_STRONG, stroke_width=0.8)])
    return drawing


def _bar(bar: AmountBar, top: float, *, zero: float, scale: float, cut: DayCut) -> Iterator[Shape]:
    room = int(cut.width / (LETTERS * 0.5)) - len(bar.words) - 2
    label = bar.label if len(bar.label) <= room else f"{bar.label[: room - 1].rstrip()}…"
    yield Text(4, top + 14, f"{label}: {bar.words}", size=LETTERS, fill=ink.INK)
    width = max(abs(bar.amount) * scale, 1)
    left = zero if bar.amount >= 0 else zero - width
    look = ink.INK if bar.amount >= 0 else ink.SHEET
    rect = Rect(left, top + 19, width, BAR, fill=look, stroke=ink.INK, title=f"{bar.label}: {bar.words}")
    yield rect
    if bar.amount < 0:
        yield from hatched(rect, gap=4, stroke=ink.INK)
