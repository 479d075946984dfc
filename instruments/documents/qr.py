"""A QR code drawn as plain squares, so that it prints sharp at any size and needs no picture."""

import segno

from instruments.documents import styles
from instruments.documents.figures import Figure

WHOLE_QUIET = 4  # modules of white around a code (ISO/IEC 18004, 6.3.8)
QUIET_MODULES = 2  # where the paper around it adds the rest


class QrFigure(Figure):
    """Raises ValueError when the address is too long for a code of its kind."""

    def __init__(self, address: str, size: float, alt: str, *, quiet: int = QUIET_MODULES):
        self.quiet = quiet
        self.modules = [list(row) for row in segno.make(address, error="m", micro=False).matrix]
        super().__init__(size, size, alt)

    @property
    def module(self) -> float:
        """How wide one square is, in points."""
        return self.width / (len(self.modules) + 2 * self.quiet)

    def draw_picture(self):
        module = self.module
        # Counted in modules from the upper left; dark ones that touch are drawn as one.
        squares = " ".join(
            f"{start + self.quiet} {row + self.quiet} {length} 1 re"
            for row, modules in enumerate(self.modules)
            for start, length in _runs(modules)
        )
        self.canv.setFillColor(styles.INK)
        self.canv._code.append(f"q {module:.4f} 0 0 {-module:.4f} 0 {self.height:.2f} cm {squares} f Q")


def _runs(modules: list[int]):
    """Start and length of each unbroken stretch of dark modules."""
    start = None
    for position, dark in enumerate([*modules, 0]):
        if dark and start is None:
            start = position
        elif not dark and start is not None:
            yield start, position - start
            start = None
