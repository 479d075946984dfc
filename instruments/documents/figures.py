"""Pictures on a paper: photographs as they are, drawings brought to a width, each with its words."""

from io import BytesIO

from reportlab.pdfbase import pdfdoc
from reportlab.platypus.flowables import Flowable

from instruments.documents.jpeg import Jpeg
from instruments.documents.tags import Element
from instruments.documents.text import speakable
from instruments.drawings.paper import draw_on, height_at
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
    """One of our drawings, brought to the width it is given."""

    def __init__(self, drawing: Drawing, width: float, alt: str, **spaces):
        self.drawing = drawing
        super().__init__(width, height_at(drawing, width=width), alt, **spaces)

    def draw_picture(self):
        draw_on(self.canv, self.drawing, width=self.width)
