"""An honest picture where there is no photograph: to scale, in its own colour and compass, plainly drawn."""

from dataclasses import dataclass

from instruments.calc.exact import exact, plain
from instruments.drawings import ink
from instruments.drawings.finish import Variety, finish_of
from instruments.drawings.grand import Grand
from instruments.drawings.grand_plan import plan_extent, plan_shapes
from instruments.drawings.shapes import Drawing, Ellipse, Line, Rect, Text
from instruments.drawings.square import Square
from instruments.drawings.upright import Upright

WALL = "#efe6d5"
FLOOR = "#e3d7c0"
SHADOW = "#cdbfa4"
USUAL_HEIGHT = {"upright": 125.0, "grand": 100.0, "square": 88.0}
USUAL_WIDTH = {"upright": 148.0, "grand": 150.0, "square": 172.0}
USUAL_GRAND_LENGTH = 178.0
LEAST = {"height": 80.0, "width": 100.0, "length": 120.0}
MOST = {"height": 190.0, "width": 260.0, "length": 320.0}


@dataclass(frozen=True, kw_only=True)
class Subject:
    """What is known of the instrument; measures in cm, None where nobody has measured."""

    kind: str
    first_key: int
    key_count: int
    height_cm: float | None = None
    length_cm: float | None = None
    width_cm: float | None = None
    case_wood: str = ""
    case_finish: str = ""
    maker: str = ""
    pedal_count: int = 2
    seed: str = ""


def subject_of(instrument) -> Subject:
    return Subject(
        kind=instrument.kind,
        first_key=instrument.first_key,
        key_count=instrument.key_count,
        height_cm=instrument.height_cm,
        length_cm=instrument.length_cm,
        width_cm=instrument.width_cm,
        case_wood=instrument.get_case_wood_display(),
        case_finish=instrument.case_finish,
        maker=instrument.name_on_fall or (instrument.maker if instrument.maker_is_known else ""),
        pedal_count=instrument.pedals or 2,
        seed=instrument.stock_number,
    )


def instrument_drawing(subject: Subject, *, view: str = "front") -> Drawing:
    """`view`: front, or above (a grand with its lid off)."""
    case = case_of(subject)
    is_plan = view == "above" and isinstance(case, Grand)
    left, right, top, bottom = plan_extent(case) if is_plan else _extent(case)
    width = max(right - left, (bottom - top) * 4 / 3)
    height = width * 3 / 4
    drawing = Drawing(
        width=width,
        height=height,
        left=(left + right - width) / 2,
        top=bottom - height,
        name=_name(subject),
        description=_description(subject, is_plan=is_plan),
        background=FLOOR if is_plan else WALL,
        kind="instrument",
    )
    if is_plan:
        drawing.extend(plan_shapes(case))
    else:
        reach = getattr(case, "length", case.width)
        drawing.add(
            Rect(drawing.left, -7, width, bottom + 7, fill=FLOOR),
            Line(drawing.left, -7, drawing.left + width, -7, stroke=SHADOW, stroke_width=0.4),
            Ellipse(0, -0.5, reach * 0.54, 5.2, fill=SHADOW),
        )
        drawing.extend(case.shapes())
    _scale_bar(drawing)
    return drawing


def case_of(subject: Subject) -> Upright | Grand | Square:
    common = {
        "width": _measure(subject.width_cm, "width", USUAL_WIDTH.get(subject.kind, 148.0)),
        "first_key": subject.first_key,
        "key_count": subject.key_count,
        "finish": finish_of(subject.case_wood, subject.case_finish),
        "variety": Variety(subject.seed),
        "maker": subject.maker,
        "pedal_count": subject.pedal_count,
    }
    height = _measure(subject.height_cm, "height", USUAL_HEIGHT.get(subject.kind, 125.0))
    if subject.kind == "grand":
        return Grand(
            length=_measure(subject.length_cm, "length", USUAL_GRAND_LENGTH), height=height, **common
        )
    if subject.kind == "square":
        return Square(height=height, **common)
    return Upright(height=max(height, 95.0), **common)


def _measure(value: float | None, which: str, usual: float) -> float:
    """A slip of the pen (12 for 120) must not break the picture."""
    return min(max(float(value), LEAST[which]), MOST[which]) if value else usual


def _extent(case: Upright | Grand | Square) -> tuple[float, float, float, float]:
    """Uprights and squares share one scale, so that a list compares them; the largest get more room."""
    if isinstance(case, Grand):
        half = max(150.0, case.length * 0.62)
        return -half, half, -(case.height + case.lid_rise + 14), 26.0
    half = max(118.0, case.width * 0.6)
    return -half, half, -max(150.0, case.height + 10), 26.0


def _scale_bar(drawing: Drawing) -> None:
    length = 50 if drawing.width < 330 else 100
    right = drawing.left + drawing.width - 8
    y = drawing.top + drawing.height - 6
    size = drawing.width * 0.027
    ends = {"stroke": ink.SOFT_INK, "stroke_width": 0.5}
    drawing.add(
        Line(right - length, y, right, y, **ends),
        Line(right - length, y - 1.5, right - length, y + 1.5, **ends),
        Line(right, y - 1.5, right, y + 1.5, **ends),
        Text(right, y - 3, f"{length} cm", size=size, anchor="end", fill=ink.SOFT_INK),
        Text(drawing.left + 8, y + 0.5, "drawing", size=size * 1.15, face="serif-italic", fill=ink.SOFT_INK),
    )


def _name(subject: Subject) -> str:
    article = "an" if subject.kind == "upright" else "a"
    case = ", ".join(word for word in (subject.case_wood.lower(), subject.case_finish.lower()) if word)
    return f"Drawing of {article} {subject.kind} piano" + (f", {case}" if case else "")


def _description(subject: Subject, *, is_plan: bool) -> str:
    measures = {"high": subject.height_cm, "long": subject.length_cm, "wide": subject.width_cm}
    known = ", ".join(f"{plain(exact(value))} cm {word}" for word, value in measures.items() if value)
    seen = (
        "from above, lid off" if is_plan else "from the side" if subject.kind == "grand" else "from the front"
    )
    scale = f"to scale, {known}" if known else "at a usual size, nothing having been measured"
    return f"Seen {seen}; drawn {scale}, with {subject.key_count} keys. Not a photograph."
