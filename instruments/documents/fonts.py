"""The two families that every paper is set in. ReportLab is told to use nothing else.

It is imported when the first words are measured: a server that only shows lists has no need of it.
"""

from functools import cache
from pathlib import Path
from threading import RLock

FONT_FOLDER = Path(__file__).resolve().parents[2] / "static" / "fonts"

SERIF = "PaperSerif"
SERIF_ITALIC = "PaperSerif-Italic"
SERIF_MEDIUM = "PaperSerif-Medium"
SANS = "PaperSans"
SANS_ITALIC = "PaperSans-Italic"
SANS_STRONG = "PaperSans-SemiBold"
# By the names that drawings give them.
FACES = {"sans": SANS, "sans-strong": SANS_STRONG, "serif": SERIF, "serif-italic": SERIF_ITALIC}

FILES = {
    SERIF: "EBGaramond_400Regular.ttf",
    SERIF_ITALIC: "EBGaramond_400Regular_Italic.ttf",
    SERIF_MEDIUM: "EBGaramond_500Medium.ttf",
    SANS: "SourceSans3_400Regular.ttf",
    SANS_ITALIC: "SourceSans3_400Regular_Italic.ttf",
    SANS_STRONG: "SourceSans3_600SemiBold.ttf",
}

one_at_a_time = RLock()


def prepare() -> None:
    """Register the fonts and close every door through which Helvetica comes back. Cheap when repeated."""
    with one_at_a_time:
        _prepare_once()


@cache
def _prepare_once() -> None:
    from reportlab import rl_config
    from reportlab.graphics import shapes
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    rl_config.useA85 = 0  # binary streams: a sheet with photographs is made six times faster
    rl_config.canvas_basefontname = SANS
    rl_config.defaultGraphicsFontName = SANS
    for name, file_name in FILES.items():
        # Shaped text looks better and cannot be searched or read aloud, so it is never shaped.
        pdfmetrics.registerFont(TTFont(name, str(FONT_FOLDER / file_name), shapable=False))
    shapes.STATE_DEFAULTS["fontName"] = SANS


@cache
def code_points(font: str) -> frozenset[int]:
    """Every character the font has a shape for."""
    from reportlab.pdfbase import pdfmetrics

    prepare()
    return frozenset(pdfmetrics.getFont(font).face.charToGlyph)


def width_of(text: str, font: str, size: float) -> float:
    from reportlab.pdfbase import pdfmetrics

    prepare()
    return pdfmetrics.stringWidth(text, font, size)
