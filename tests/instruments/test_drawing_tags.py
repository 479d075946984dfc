from django.template import Context, Template

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
