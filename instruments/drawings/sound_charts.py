"""Small pictures of a recording: its course, the partials of a note, how it dies away."""

from collections.abc import Iterator, Sequence

from instruments.drawings import ink
from instruments.drawings.shapes import Drawing, Line, Path, Rect, Shape, Text

COURSE_WIDTH, COURSE_HEIGHT = 480, 56
WIDTH, HEIGHT = 340, 190
LEFT, RIGHT, TOP, BOTTOM = 46, 10, 14, 34
LETTERS = 14
LOWEST_DB = -60
DASH = (6, 4)


def course_drawing(waveform: Sequence[int], words: str) -> Drawing:
    """How loud it is from beginning to end: bars about a middle line, 0..100 of the loudest."""
    drawing = Drawing(COURSE_WIDTH, COURSE_HEIGHT, name=f"Course of the recording: {words}", kind="course")
    middle, step = COURSE_HEIGHT / 2, COURSE_WIDTH / max(len(waveform), 1)
    drawing.add(Line(0, middle, COURSE_WIDTH, middle, stroke=ink.LINE, stroke_width=1))
    steps = []
    for place, height in enumerate(waveform):
        x, reach = (place + 0.5) * step, max(height / 100 * (middle - 2), 0.4)
        steps += [("M", x, middle - reach), ("L", x, middle + reach)]
    drawing.add(Path(tuple(steps), stroke=ink.INK, stroke_width=max(step * 0.6, 0.6)))
    return drawing


def partials_drawing(partials: Sequence[Sequence[float]], note: str) -> Drawing:
    """Level of each partial under the loudest; (number, Hz, dB)."""
    drawing = _plot(f"Partials of {note}", f"The loudest is at the top; {len(partials)} stand out.", "dB")
    last = max([12, *(int(number) for number, _, _ in partials)])
    room = (WIDTH - LEFT - RIGHT) / last
    for number in range(1, last + 1):
        if number in {1, 4, 8, 12} or number == last:
            drawing.add(_below(LEFT + (number - 0.5) * room, str(number)))
    for number, hz, db in partials:
        x, top = LEFT + (number - 1) * room + room * 0.2, _y(max(db, LOWEST_DB), 0, LOWEST_DB)
        words = f"Partial {int(number)}, {hz:.0f} Hz: {db:.0f} dB".replace("-", "−")
        drawing.add(Rect(x, top, room * 0.6, HEIGHT - BOTTOM - top, fill=ink.INK, title=words))
    drawing.add(_along("partial"))
    return drawing


def decay_drawing(curve: Sequence[float], step_s: float, note: str, falls: Sequence[tuple] = ()) -> Drawing:
    """Level in dB below the strike; `falls` are dashed: (from s, to s, from dB, dB a second)."""
    drawing = _plot(f"How {note} dies away", "Level in dB below the strike, second by second.", "dB")
    seconds = max(len(curve) * step_s, 1.0)
    wide = WIDTH - LEFT - RIGHT
    for second in range(int(seconds) + 1):
        if seconds <= 4 or second % 2 == 0:
            drawing.add(_below(LEFT + second / seconds * wide, str(second)))
    top = max(curve, default=0)
    points = [
        (LEFT + place * step_s / seconds * wide, _y(max(level - top, LOWEST_DB), 0, LOWEST_DB))
        for place, level in enumerate(curve)
    ]
    if points:
        steps = tuple(("L" if place else "M", *point) for place, point in enumerate(points))
        drawing.add(Path(steps, stroke=ink.INK, stroke_width=1.6))
    for start, end, high, fall in falls:
        end = min(end, seconds, start + (high - LOWEST_DB) / fall)
        if end <= start:
            continue
        drawing.add(
            Line(
                *(LEFT + start / seconds * wide, _y(high, 0, LOWEST_DB)),
                *(LEFT + end / seconds * wide, _y(high - fall * (end - start), 0, LOWEST_DB)),
                stroke=ink.GREEN,
                stroke_width=1.6,
                dash=DASH,
                title=f"{fall:.1f} dB a second",
            )
        )
    drawing.add(_along("seconds"))
    return drawing


def _plot(name: str, description: str, unit: str) -> Drawing:
    drawing = Drawing(WIDTH, HEIGHT, name=name, description=description, kind="sound")
    drawing.extend(_grid(unit))
    return drawing


def _grid(unit: str) -> Iterator[Shape]:
    for db in range(0, LOWEST_DB - 1, -20):
        y = _y(db, 0, LOWEST_DB)
        yield Line(LEFT, y, WIDTH - RIGHT, y, stroke=ink.LINE, stroke_width=0.8)
        words = f"{db} {unit}" if db == 0 else str(db).replace("-", "−")
        yield Text(LEFT - 6, y + 5, words, size=LETTERS, anchor="end", fill=ink.SOFT_INK)


def _y(value: float, high: float, low: float) -> float:
    return TOP + (high - value) / (high - low) * (HEIGHT - TOP - BOTTOM)


def _below(x: float, words: str) -> Text:
    return Text(x, HEIGHT - BOTTOM + 16, words, size=LETTERS, anchor="middle", fill=ink.SOFT_INK)


def _along(words: str) -> Text:
    return Text(WIDTH - RIGHT, HEIGHT - 3, words, size=LETTERS, anchor="end", fill=ink.SOFT_INK)
