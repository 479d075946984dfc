"""A drawing as a picture file: painted at twice the size and brought down, so that edges are smooth."""

from functools import cache
from io import BytesIO
from pathlib import Path as FilePath

from PIL import Image, ImageDraw, ImageFont

from instruments.drawings.geometry import dashes, flattened
from instruments.drawings.shapes import Drawing, Ellipse, Line, Path, Rect, Shape, Text

FONT_FOLDER = FilePath(__file__).resolve().parents[2] / "static" / "fonts"
FONT_FILES = {
    "sans": "SourceSans3_400Regular.ttf",
    "sans-strong": "SourceSans3_600SemiBold.ttf",
    "serif": "EBGaramond_400Regular.ttf",
    "serif-italic": "EBGaramond_400Regular_Italic.ttf",
}
ANCHORS = {"start": "ls", "middle": "ms", "end": "rs"}
FINER = 2


def to_png(drawing: Drawing, *, width_px: int = 1600) -> bytes:
    return _file(drawing, width_px, "PNG")


def to_jpeg(drawing: Drawing, *, width_px: int = 1600) -> bytes:
    return _file(drawing, width_px, "JPEG", quality=88)


def _file(drawing: Drawing, width_px: int, kind: str, **options) -> bytes:
    into = BytesIO()
    to_image(drawing, width_px=width_px).save(into, kind, **options)
    return into.getvalue()


def to_image(drawing: Drawing, *, width_px: int = 1600) -> Image.Image:
    scale = width_px * FINER / drawing.width
    size = (width_px * FINER, round(drawing.height * scale))
    image = Image.new("RGB", size, drawing.background or "#ffffff")
    brush = Brush(ImageDraw.Draw(image), scale, drawing.left, drawing.top)
    for shape in drawing.ungrouped:
        brush.paint(shape)
    return image.resize((width_px, round(drawing.height * scale / FINER)), Image.Resampling.BOX)


class Brush:
    def __init__(self, draw: ImageDraw.ImageDraw, scale: float, left: float, top: float):
        self.draw, self.scale, self.left, self.top = draw, scale, left, top

    def at(self, x: float, y: float) -> tuple[float, float]:
        return (x - self.left) * self.scale, (y - self.top) * self.scale

    def paint(self, shape: Shape) -> None:
        match shape:
            case Rect():
                self.rect(shape)
            case Line():
                self.stroke([self.at(shape.x1, shape.y1), self.at(shape.x2, shape.y2)], shape)
            case Ellipse():
                box = (
                    *self.at(shape.cx - shape.rx, shape.cy - shape.ry),
                    *self.at(shape.cx + shape.rx, shape.cy + shape.ry),
                )
                self.draw.ellipse(box, fill=shape.fill or None, **self.edge(shape))
            case Path():
                self.path(shape)
            case Text():
                self.words(shape)

    def edge(self, shape: Shape) -> dict:
        return {"outline": shape.stroke, "width": self.thickness(shape)} if shape.stroke else {}

    def thickness(self, shape: Shape) -> int:
        return max(1, round(shape.stroke_width * self.scale))

    def rect(self, shape: Rect) -> None:
        right, bottom = self.at(shape.x + shape.width, shape.y + shape.height)
        left, top = self.at(shape.x, shape.y)
        if shape.dash:
            if shape.fill:
                self.draw.rectangle((left, top, right, bottom), fill=shape.fill)
            self.stroke([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], shape)
            return
        box = (left, top, right, bottom)
        self.draw.rounded_rectangle(
            box, shape.radius * self.scale, fill=shape.fill or None, **self.edge(shape)
        )

    def path(self, shape: Path) -> None:
        for points, closed in flattened(shape.steps):
            placed = [self.at(*point) for point in points]
            if shape.fill and len(placed) > 2:
                self.draw.polygon(placed, fill=shape.fill)
            if shape.stroke:
                self.stroke(placed + placed[:1] if closed else placed, shape)

    def stroke(self, points: list[tuple[float, float]], shape: Shape) -> None:
        pieces = dashes(points, [length * self.scale for length in shape.dash]) if shape.dash else [points]
        for piece in pieces:
            self.draw.line(piece, fill=shape.stroke or shape.fill, width=self.thickness(shape), joint="curve")

    def words(self, shape: Text) -> None:
        font = font_of(shape.face, round(shape.size * self.scale))
        text = shape.text.replace("♯", "#").replace("♭", "b")
        self.draw.text(
            self.at(shape.x, shape.y), text, font=font, fill=shape.fill, anchor=ANCHORS[shape.anchor]
        )


@cache
def font_of(face: str, pixels: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(FONT_FOLDER / FONT_FILES[face]), max(4, pixels))
