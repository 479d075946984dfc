"""Pictures on a paper: photographs as they are, drawings brought to a width, each with its words."""

from io import BytesIO

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing as OnPaper
from reportlab.pdfbase import pdfdoc
from reportlab.platypus.flowables import Flowable

from instruments.documents import fonts
from instruments.documents.jpeg import Jpeg
from instruments.documents.tags import Element
from instruments.documents.text import speakable
from instruments.drawings.paper import to_reportlab
from instruments.drawings.shapes import Drawing

CAPTION_GAP = 2.0


class Figure(Flowable):
    """A picture with words for those who cannot see it. Subclasses draw themselves in `draw_picture`."""

    def __init__(self, width: float, height: float, alt: str, *, space_before=0.0, space_after=0.0):
        super().__init__()
        self.width, self.height = width, height
        self.spaceBefore, self.spaceAfter = space_before, space_after
        self.element = Element("Figure", alt=speakable(alt).strip() or "Picture without a description")

    def wrap(self, width, height):
        return self.width, self.height

    def draw(self):
        with self.canv.tagged(self.element):
            self.draw_picture()

    def draw_picture(self) -> None:
        raise TypeError("a figure must say how it is drawn")


class PhotoFigure(Figure):
    """A JPEG put into the file as it is, never decoded, so that printing stays quick."""

    def __init__(self, jpeg: Jpeg, width: float, alt: str):
        super().__init__(width, width / jpeg.aspect, alt, space_after=CAPTION_GAP)
        self.jpeg = jpeg

    def draw_picture(self):
        canvas, document = self.canv, self.canv._doc
        name = "photo" + pdfdoc.md5(self.jpeg.data, usedforsecurity=False).hexdigest()
        registered = document.getXObjectName(name)
        if registered not in document.idToObject:
            picture = pdfdoc.PDFImageXObject(name)
            picture.loadImageFromJPEG(BytesIO(self.jpeg.data))
            document.Reference(picture, registered)
        canvas.saveState()
        canvas.scale(self.width, self.height)
        canvas._code.append(f"/{registered} Do")
        canvas.restoreState()
        canvas._formsinuse.append(name)


class DrawingFigure(Figure):
    """One of our drawings, or one of reportlab.graphics, brought to the width it is given."""

    def __init__(self, drawing: Drawing | OnPaper, width: float, alt: str, **spaces):
        self.drawing = drawing if isinstance(drawing, OnPaper) else to_reportlab(drawing, width=width)
        self.scale = width / self.drawing.width if self.drawing.width else 1
        _set_in_our_fonts(self.drawing)
        super().__init__(width, self.drawing.height * self.scale, alt, **spaces)

    def draw_picture(self):
        self.canv.saveState()
        self.canv.scale(self.scale, self.scale)
        renderPDF.draw(self.drawing, self.canv, 0, 0)
        self.canv.restoreState()


def _set_in_our_fonts(shape) -> None:
    """A drawing made before the fonts were registered still names the one that no file can embed."""
    if getattr(shape, "fontName", None) not in {None, *fonts.FILES}:
        shape.fontName = fonts.SANS
    for inner in getattr(shape, "contents", []):
        _set_in_our_fonts(inner)
