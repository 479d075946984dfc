"""How much dearer a listing sheet is than the same words, pictures and lines put straight onto a canvas.

    python -m tests.bench.bench_pdf

Prints medians of processor time and their ratio; nothing is asserted. The bar is three times the bare canvas.
"""

import os
from dataclasses import replace
from io import BytesIO
from statistics import median
from time import process_time

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfdoc, pdfmetrics
from reportlab.pdfgen.canvas import Canvas

from instruments.documents import fonts
from instruments.documents.content import DoneItem, Fact
from instruments.documents.jpeg import read_jpeg
from instruments.documents.qr import QrFigure
from instruments.drawings.keyboard import keyboard_drawing
from instruments.drawings.paper import draw_on
from shop.documents.listing_sheet import ListingSheet, build_listing_sheet
from tests.drawn import jpeg
from tests.reading import Reading
from tests.shop.test_listing_sheet import SHEET

ROUNDS = 40


def full_sheet() -> ListingSheet:
    pictures = [jpeg(1600, 1200, shade=70 + 20 * number) for number in range(3)]
    return replace(
        SHEET,
        photos=tuple(replace(photo, jpeg=each) for photo, each in zip(SHEET.photos, pictures, strict=True)),
        keyboard=keyboard_drawing(1, 85),
        facts=SHEET.facts + tuple(Fact(f"Fact {n}", f"value {n}", "seen and photographed") for n in range(5)),
        done=tuple(DoneItem(f"Job {n}: cleaned, eased and lubricated", None, "within 2 g") for n in range(5)),
        paragraphs=SHEET.paragraphs * 3,
    )


def text_runs(pdf: bytes) -> list[list[tuple]]:
    """Of each page: every run of text with the face, size and place it was printed in."""
    faces = {pdfmetrics.getFont(name).face.name.decode(): name for name in fonts.FILES}
    pages = []
    for page in Reading(pdf).reader.pages:
        runs = []

        def note(text, canvas, line, font, size, runs=runs):
            if text.strip():
                face = faces[font["/BaseFont"].partition("+")[2]]
                runs.append((text.strip(), canvas[4] + line[4], canvas[5] + line[5], face, size))

        page.extract_text(visitor_text=note)
        pages.append(runs)
    return pages


def bare_canvas(pages: list[list[tuple]], sheet: ListingSheet) -> bytes:
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=A4, invariant=1, pageCompression=1, initialFontName=fonts.SANS)
    for runs in pages:
        for text, x, y, face, size in runs:
            canvas.setFont(face, size)
            canvas.drawString(x, y, text)
        canvas.showPage()
    for number, photo in enumerate(sheet.photos):
        _put_photo(canvas, photo.jpeg, number)
    draw_on(canvas, sheet.keyboard, width=490)
    code = QrFigure(sheet.public_address, 50, "code")
    code.canv = canvas
    code.draw_picture()
    canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _put_photo(canvas: Canvas, data: bytes, number: int) -> None:
    """The quickest way there is, so that the comparison is not made easy."""
    picture = pdfdoc.PDFImageXObject(f"photo{number}")
    picture.loadImageFromJPEG(BytesIO(read_jpeg(data).data))
    registered = canvas._doc.getXObjectName(picture.name)
    canvas._doc.Reference(picture, registered)
    canvas._code.append(f"q 140 0 0 105 {40 + 160 * number} 500 cm /{registered} Do Q")
    canvas._formsinuse.append(picture.name)


def seconds(act, *arguments) -> float:
    begun = process_time()
    act(*arguments)
    return process_time() - begun


def main() -> None:
    sheet = full_sheet()
    pages = text_runs(build_listing_sheet(sheet))
    ours, bare = [], []
    for _ in range(ROUNDS):
        ours.append(seconds(build_listing_sheet, sheet))
        bare.append(seconds(bare_canvas, pages, sheet))
    print(f"listing sheet of {len(pages)} page(s) with 3 photographs: {median(ours) * 1e3:.1f} ms")
    print(f"bare canvas, the same content: {median(bare) * 1e3:.1f} ms")
    print(f"ratio: {median(ours) / median(bare):.2f} (bar: 3)")
    print(f"95th percentile: {sorted(ours)[int(ROUNDS * 0.95)] * 1e3:.1f} ms (bar: 60)")


if __name__ == "__main__":
    main()
