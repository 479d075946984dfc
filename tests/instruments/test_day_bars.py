from datetime import date, timedelta

import pytest

from instruments.drawings.day_bars import (
    HATCHED,
    NARROW_DAYS,
    OPEN,
    WIDE_DAYS,
    DayBar,
    DayChart,
    DayRow,
    day_bars,
)
from instruments.drawings.shapes import Rect, Text
from instruments.drawings.svg import to_svg

FIRST = date(2026, 3, 23)


def chart(*rows: DayRow, days: int = 28) -> DayChart:
    return DayChart("Orders", "Two orders", rows, FIRST, FIRST + timedelta(days=days - 1))


def bar(first: int, last: int, look: str = OPEN) -> DayBar:
    return DayBar(FIRST + timedelta(days=first), FIRST + timedelta(days=last), "Repin", look)


def rects(drawing) -> list[Rect]:
    return [shape for shape in drawing.shapes if isinstance(shape, Rect)]


@pytest.mark.parametrize("cut", [WIDE_DAYS, NARROW_DAYS])
def test_a_bar_covers_its_first_and_its_last_day(cut):
    (drawn,) = rects(day_bars(chart(DayRow("a", [bar(7, 13)])), cut))
    a_day = (cut.width - 2) / 28
    assert (drawn.x, drawn.width) == (pytest.approx(1 + 7 * a_day), pytest.approx(7 * a_day))


def test_what_lies_outside_the_days_is_cut_or_not_drawn():
    drawing = day_bars(chart(DayRow("a", [bar(20, 90), bar(-9, -2), bar(40, 50)]), days=28))
    (drawn,) = rects(drawing)
    assert drawn.x + drawn.width <= WIDE_DAYS.width


def test_a_long_label_is_shortened_and_every_word_escaped():
    drawing = day_bars(chart(DayRow("<b>" + "x" * 200, [bar(0, 1, HATCHED)], FIRST)), NARROW_DAYS)
    assert "&lt;b&gt;" in to_svg(drawing)
    assert max(len(shape.text) for shape in drawing.shapes if isinstance(shape, Text)) < 60


@pytest.mark.parametrize("days", [1, 7, 28, 56, 400])
@pytest.mark.parametrize("cut", [WIDE_DAYS, NARROW_DAYS])
def test_the_days_named_along_it_stay_few(days, cut):
    named = [shape for shape in day_bars(chart(days=days), cut).shapes if isinstance(shape, Text)]
    assert len(named) <= cut.days_named + 1
