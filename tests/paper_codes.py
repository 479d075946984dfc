"""What a telephone reads off a printed page: drawn as a picture, and decoded by another program."""

import pypdfium2
import zxingcpp

DOTS_PER_INCH = 150  # what a plain office printer and a telephone at arm's length do better than


def codes_on(pdf: bytes, page: int = 0) -> list[str]:
    """The words of every code on the page, from the top left to the bottom right."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        picture = document[page].render(scale=DOTS_PER_INCH / 72).to_pil()
    finally:
        document.close()
    found = zxingcpp.read_barcodes(picture)
    return [code.text for code in sorted(found, key=_place)]


def _place(code) -> tuple[int, int]:
    corner = code.position.top_left
    return corner.y // 20, corner.x
