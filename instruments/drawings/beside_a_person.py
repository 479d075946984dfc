"""How large an instrument is: to one scale with a person and a doorway, and the same figures in a sentence.

Centimetres; the floor is at y = 0 and the instrument's middle at x = 0. The person and the doorway are of
common sizes, no source; both are said wherever they are drawn.
"""

from dataclasses import replace

from instruments.calc.exact import exact, plain
from instruments.drawings import ink
from instruments.drawings.grand import Grand
from instruments.drawings.instrument_picture import FLOOR, SHADOW, WALL, Subject, case_of
from instruments.drawings.shapes import Drawing, Ellipse, Line, Path, Rect, Shape, Text, mix

PERSON_CM = 170
DOOR_WIDE_CM, DOOR_TALL_CM = 76, 198
ARCHITRAVE = 6.0
GAP = 24.0
PERSON_HALF = 25.0
BELOW = 30.0
LABEL = 12.5
FIGURE = mix(ink.LINE_STRONG, WALL, 0.35)
PASSAGE = mix(ink.INK, WALL, 0.72)


def beside_a_person(subject: Subject) -> Drawing:
    case = case_of(replace(subject, maker=""))  # too small to be read, and a whole face to fetch
    reach = case.length if isinstance(case, Grand) else case.width
    tall = case.height + case.lid_rise if isinstance(case, Grand) else case.height
    person = -reach / 2 - GAP - PERSON_HALF
    door = person - PERSON_HALF - GAP / 2 - DOOR_WIDE_CM / 2
    left, right = door - DOOR_WIDE_CM / 2 - ARCHITRAVE - 12, reach / 2 + 16
    top = -max(DOOR_TALL_CM + ARCHITRAVE, tall) - 26
    drawing = Drawing(
        width=right - left,
        height=BELOW - top,
        left=left,
        top=top,
        name="Its size beside a person and a doorway",
        description=size_sentence(subject),
        background=WALL,
        kind="size",
    )
    drawing.add(Rect(left, -7, right - left, BELOW + 7, fill=FLOOR))
    drawing.add(Line(left, -7, right, -7, stroke=SHADOW, stroke_width=0.6))
    drawing.extend(_doorway(door))
    drawing.add(Ellipse(person, -0.5, 22, 3, fill=SHADOW), *_person(person))
    drawing.add(Ellipse(0, -0.5, reach * 0.54, 4.5, fill=SHADOW))
    drawing.extend(case.shapes())
    drawing.extend(_labels(subject, person=person, door=door, tall=tall))
    return drawing


def size_sentence(subject: Subject) -> str:
    """The figures of the drawing in words, and what of them nobody has measured."""
    is_upright = subject.kind == "upright"
    measures = [
        ("tall", subject.height_cm),
        *([] if is_upright else [("long", subject.length_cm)]),
        ("wide", subject.width_cm),
    ]
    known = [f"{_cm(value)} {word}" for word, value in measures if value]
    unknown = [word for word, value in measures if not value]
    said = f"It is {_listed(known)}. " if known else ""
    if unknown:
        said += f"How {_listed(unknown)} it is has not been measured; that is drawn at a usual size. "
    return (
        f"{said}To the same scale: a person of {PERSON_CM} cm, and a doorway {DOOR_WIDE_CM} cm wide and "
        f"{DOOR_TALL_CM} cm tall."
    )


def _doorway(middle: float) -> list[Shape]:
    half, frame = DOOR_WIDE_CM / 2, mix(WALL, ink.LINE_STRONG, 0.28)
    outer = Rect(
        middle - half - ARCHITRAVE,
        -DOOR_TALL_CM - ARCHITRAVE,
        DOOR_WIDE_CM + 2 * ARCHITRAVE,
        DOOR_TALL_CM + ARCHITRAVE,
        fill=frame,
    )
    opening = Rect(middle - half, -DOOR_TALL_CM, DOOR_WIDE_CM, DOOR_TALL_CM, fill=PASSAGE)
    floor = Rect(middle - half, -5, DOOR_WIDE_CM, 5, fill=mix(FLOOR, ink.INK, 0.25))
    return [outer, opening, floor]


def _person(middle: float) -> list[Shape]:
    """Standing, seen from the front; plainly a figure and nobody."""
    half = (
        ("C", -6.0, -146.5, -15.0, -146.0, -19.5, -140.0),
        ("C", -23.5, -134.0, -24.5, -105.0, -24.0, -84.0),
        ("C", -24.0, -78.0, -18.5, -77.0, -18.2, -83.0),
        ("C", -18.0, -98.0, -17.5, -110.0, -16.0, -119.0),
        ("C", -14.5, -108.0, -15.5, -98.0, -15.0, -88.0),
        ("C", -16.0, -70.0, -14.0, -52.0, -13.2, -44.0),
        ("C", -14.0, -32.0, -11.5, -18.0, -11.0, -6.0),
        ("C", -13.5, -4.0, -16.0, -1.5, -15.5, 0.0),
        ("L", -4.2, 0.0),
        ("C", -4.4, -14.0, -4.6, -30.0, -3.0, -44.0),
        ("C", -2.6, -56.0, -1.4, -68.0, -0.8, -78.0),
    )
    start = (-4.2, -150.0)
    steps = [("M", middle + start[0], start[1])]
    steps += [(step[0], *_moved(step[1:], middle, 1)) for step in half]
    steps += [("L", middle + 0.8, -78.0), *_mirrored(start, half, middle), ("Z",)]
    head = Ellipse(middle, -158.6, 8.2, 10.9, fill=FIGURE)
    neck = Rect(middle - 4.2, -151, 8.4, 6, fill=FIGURE)
    return [neck, Path(tuple(steps), fill=FIGURE), head]


def _moved(numbers: tuple, middle: float, side: int) -> list[float]:
    return [middle + side * number if index % 2 == 0 else number for index, number in enumerate(numbers)]


def _mirrored(start: tuple, half: tuple, middle: float) -> list[tuple]:
    """The other half, from foot to neck: the same curves run backwards."""
    points = [start, *(step[-2:] for step in half)]
    back = []
    for index in range(len(half) - 1, -1, -1):
        step, to = half[index], points[index]
        bends = (*step[3:5], *step[1:3]) if step[0] == "C" else ()
        back.append((step[0], *_moved((*bends, *to), middle, -1)))
    return back


def _labels(subject: Subject, *, person: float, door: float, tall: float) -> list[Shape]:
    is_upright = subject.kind == "upright"
    across = subject.width_cm if is_upright or subject.kind == "square" else subject.length_cm
    placed = [
        (f"{DOOR_TALL_CM} cm", door, -DOOR_TALL_CM - ARCHITRAVE - 6),
        (f"{DOOR_WIDE_CM} cm", door, 20.0),
        (f"{PERSON_CM} cm", person, -PERSON_CM - 6.0),
    ]
    if subject.height_cm and subject.kind != "grand":
        placed.append((_cm(subject.height_cm), 0.0, -tall - 7.0))
    if across:
        placed.append((_cm(across), 0.0, 20.0))
    return [
        Text(x, y, words, size=LABEL, anchor="middle", fill=ink.SOFT_INK, face="sans")
        for words, x, y in placed
    ]


def _cm(value) -> str:
    return f"{plain(exact(value))} cm"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
