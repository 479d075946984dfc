from decimal import Decimal

import pytest

from instruments.drawings.shapes import Text
from instruments.drawings.survey_chart import Chart, Level, Point, survey_drawing
from instruments.drawings.svg import to_svg
from instruments.models import PinLine
from instruments.pin_report import PinReport
from instruments.pitch_report import PitchReport
from instruments.survey_charts import pin_drawing, pitch_drawing
from tests import make


def drawn(points=(), levels=(), *, first_key=1, key_count=88, least=(0, 12)):
    chart = Chart("N·m", "Pins", "What they say.", points, levels, ("string 1",), "failing", least)
    return survey_drawing(first_key, key_count, chart)


@pytest.mark.parametrize("key_count", [49, 73, 85, 88, 97])
def test_any_compass_is_drawn_with_its_points_over_their_keys(key_count):
    svg = to_svg(drawn([Point(1, 3, "A0: 3 <N·m>", stands_out=True)], key_count=key_count))
    assert "A0: 3 &lt;N·m&gt;" in svg and "key-marked" in svg


def test_a_key_that_was_not_made_is_left_out():
    assert "C8: 9" not in to_svg(drawn([Point(88, 9, "C8: 9 N·m")], key_count=85))


@pytest.mark.parametrize("value", [-400, -12.3, 0, 7, 40, 400])
def test_every_reading_lies_inside_the_plot(value):
    drawing = drawn([Point(40, value, "C4")], least=(-10, 10))
    mark = next(shape for shape in drawing.shapes if shape.title == "C4" and hasattr(shape, "cy"))
    assert 0 < mark.cy < 18 + 190 + 1


def test_words_of_lines_close_to_each_other_do_not_touch():
    levels = [Level(5.65, "50 lbf·in"), Level(5, "5 N·m")]
    texts = [shape for shape in drawn(levels=levels).shapes if isinstance(shape, Text)]
    words = [text.y for text in texts if text.text in ("50 lbf·in", "5 N·m")]
    assert abs(words[0] - words[1]) > 16


@pytest.mark.django_db
def test_a_survey_of_pins_tells_each_pin_with_its_band():
    survey = make.make_pin_survey(instrument=make.make_instrument())
    line = PinLine(torque=Decimal(5), unit="N·m")
    svg = to_svg(pin_drawing(PinReport(survey, lines=[line])))
    assert "C4, string 2: 3 N·m, published as failing" in svg and "C4, string 1: 9 N·m, good" in svg


@pytest.mark.django_db
def test_a_survey_of_pitch_tells_each_note_and_the_means():
    survey = make.make_pitch_survey(instrument=make.make_instrument(), readings=[(40, -10), (49, -20)])
    svg = to_svg(pitch_drawing(PitchReport(survey)))
    assert "A4: 20 cents flat" in svg and "tenor −15" in svg
