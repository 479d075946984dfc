"""Lines that were signed on a screen: what was drawn, or the name that was typed, over the words with it."""

from instruments.documents import pour, styles
from instruments.documents.pieces import WritingLines
from instruments.documents.text import p
from shop.calc.signature import HEIGHT, WIDTH, Drawing

TALLEST, WIDEST = 28.0, 150.0
ROOM_ABOVE = 12  # between a name and its first line, with which the tallest drawing or hand has its place
ABOVE_LINE = 3


class SignedLines(WritingLines):
    """What was drawn on the first line, or the name as a signature; name and hour on the others."""

    def __init__(self, words: tuple[str, ...], name: str, hour: str, drawing: Drawing | None, width: float):
        super().__init__(words, width)
        self.name, self.texts, self.drawing = name, (name, hour), drawing

    def draw(self):
        super().draw()
        rows = len(self.words)
        first = self.ROW_HEIGHT * (rows - 1) + 10
        if self.drawing:
            self._draw_signature(first)
        else:
            self._set(self.name, styles.TYPED_SIGNATURE, first)
        for position, text in enumerate(self.texts, start=2):
            self._set(text, styles.DATA, self.ROW_HEIGHT * (rows - position) + 10)

    def _set(self, text: str, style, line: float) -> None:
        placed, _ = pour.fill(p(text, style), self.width, pour.ENDLESS)
        pour.draw(placed, self.canv, 0, line + ABOVE_LINE + style.leading)

    def _draw_signature(self, line: float) -> None:
        scale = min(TALLEST / HEIGHT, WIDEST / WIDTH)
        lowest = max(y for stroke in self.drawing.strokes for _, y in stroke)
        with self.canv.artifact():
            self.canv.setStrokeColor(styles.INK)
            self.canv.setLineWidth(1.1)
            self.canv.setLineCap(1)
            self.canv.setLineJoin(1)
            path = self.canv.beginPath()
            for stroke in self.drawing.strokes:
                points = [(x * scale, line + 1 + (lowest - y) * scale) for x, y in stroke]
                path.moveTo(*points[0])
                for point in points[1:] or points:
                    path.lineTo(*point)
            self.canv.drawPath(path)
