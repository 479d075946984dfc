from datetime import date

from django.template import Context, Template

from instruments.drawings.life_line import Entry
from instruments.models import Instrument, KeyReading, Weighing
from tests.make import A_DAY, make_instrument, somebody


def rendered(source, **context):
    return Template("{% load drawings %}" + source).render(Context(context))


def instrument(**fields):
    return Instrument(
        **({"stock_number": "26-014", "kind": "upright", "maker": "Halden & Rook", "key_count": 85} | fields)
    )


def test_the_keyboard_of_an_instrument_is_drawn_in_place():
    svg = rendered("{% keyboard instrument %}", instrument=instrument())
    assert svg.startswith("<svg") and 'aria-label="Keyboard of 85 keys, A0 to A7"' in svg


def test_marks_reach_the_keyboard():
    svg = rendered("{% keyboard instrument marks %}", instrument=instrument(), marks={40: "<sticks>"})
    assert "C4, &lt;sticks&gt;" in svg


def test_the_name_on_the_fall_is_escaped():
    svg = rendered("{% instrument_drawing instrument %}", instrument=instrument(name_on_fall="Rook & <Son>"))
    assert "Rook &amp; &lt;Son&gt;" in svg


def test_an_unknown_maker_leaves_the_fall_blank():
    svg = rendered("{% instrument_drawing instrument %}", instrument=instrument(maker="unknown"))
    assert ">unknown<" not in svg


def test_a_weigh_off_is_drawn_against_its_instruments_own_curve(db):
    weighing = Weighing.objects.create(
        instrument=make_instrument(touch_middle_g=46, touch_bass_g=46, touch_treble_g=46),
        weighed_on=A_DAY,
        weighed_by=somebody(),
    )
    KeyReading.objects.create(weighing=weighing, key=40, down_g=50, up_g=25)
    assert "1 outside the curve: C4." in rendered("{% touch_chart weighing %}", weighing=weighing)


def test_a_life_line_lies_down_or_stands_up_in_place():
    life = [Entry("Made", "<1912>", "1912", href="#statement-1")]
    source = (
        "{% life_line life today 'Halden & Rook' %}|{% life_line life today 'Halden & Rook' upright=True %}"
    )
    lying, standing = rendered(source, life=life, today=date(2026, 4, 12)).split("|")
    assert "drawing-life-upright" in standing and "drawing-life-upright" not in lying
    assert 'aria-label="Life line of Halden &amp; Rook"' in lying and "&lt;1912&gt;" in lying
