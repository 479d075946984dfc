"""Invented papers, drawn and taken in as a scanner would send them. Each says that it is a drawing."""

from collections.abc import Iterator
from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile

from instruments.drawings import ink
from instruments.drawings.picture import to_image
from instruments.drawings.shapes import Drawing, Ellipse, Line, Rect, Shape, Text
from shop.demo.pieces import Scan

WIDTH, MARGIN, LINE = 210.0, 18.0, 12.0
PAPER, FOLD, STAIN = "#efe3c8", "#dfd0af", "#dcc79c"
MEDIA_TYPES = {"jpeg": "image/jpeg", "png": "image/png", "pdf": "application/pdf"}
NOT_REAL = "Drawn for the demonstration. There is no such paper."


def scanned(scan: Scan, *, width_px: int) -> SimpleUploadedFile:
    into = BytesIO()
    to_image(drawing_of(scan), width_px=width_px).save(into, scan.kind.upper())
    return SimpleUploadedFile(scan.file_name, into.getvalue(), content_type=MEDIA_TYPES[scan.kind])


def drawing_of(scan: Scan) -> Drawing:
    height = 2 * MARGIN + LINE * (len(scan.lines) + 3)
    drawing = Drawing(WIDTH, height, scan.title, NOT_REAL, background=PAPER, kind="plate")
    drawing.extend(_sheet(height))
    drawing.add(
        Text(WIDTH / 2, MARGIN + 6, scan.heading, size=10, anchor="middle", face="serif", fill=ink.INK)
    )
    for number, line in enumerate(scan.lines):
        y = MARGIN + LINE * (number + 2.2)
        drawing.add(
            Line(MARGIN, y + 2.4, WIDTH - MARGIN, y + 2.4, stroke=FOLD, stroke_width=0.4),
            Text(MARGIN + 2, y, line, size=7.6, face="serif-italic", fill="#3b3350"),
        )
    drawing.add(Text(MARGIN, height - 6, NOT_REAL, size=4.6, face="sans", fill=ink.SOFT_INK))
    return drawing


def _sheet(height: float) -> Iterator[Shape]:
    """A page that was folded once and had a cup stood on it."""
    yield Rect(4, 4, WIDTH - 8, height - 8, stroke=FOLD, stroke_width=0.8)
    yield Line(0, height / 2, WIDTH, height / 2, stroke=FOLD, stroke_width=1.6)
    yield Ellipse(WIDTH - 40, height - 34, 17, 16, stroke=STAIN, stroke_width=2.2)
