import pytest

from shop.measured import not_known_of, public_measures
from tests import make

pytestmark = pytest.mark.django_db


def measured(instrument) -> dict[str, str]:
    return {each.title: f"{each.sentence} {each.basis}" for each in public_measures(instrument)}


def test_touch_is_said_as_so_many_keys_within_so_many_grams():
    instrument = make.make_instrument()
    make.make_weighing(instrument=instrument, down_g=50)
    said = measured(instrument)["Touch"]
    assert said.startswith("All 85 keys weighed go down within 2 g of what we aim at: 52 g in the bass, 50 g")
    assert "After work, 21 March 2026" in said


def test_keys_that_are_out_are_counted_too():
    instrument = make.make_instrument(touch_bass_g=60)
    make.make_weighing(instrument=instrument, down_g=50)
    inside, weighed = measured(instrument)["Touch"].split(" keys")[0].split(" of ")
    assert weighed == "85" and 0 < int(inside) < 85


def test_what_was_never_measured_is_said_to_be_not_known():
    instrument = make.make_instrument(serial="")
    said = not_known_of(instrument, public_measures(instrument))
    assert "Its serial number: none was found." in said
    assert "How heavy its touch is: its keys have not been weighed." in said


def test_what_was_measured_is_not_said_to_be_not_known():
    instrument = make.make_instrument()
    make.make_weighing(instrument=instrument)
    make.make_pitch_survey(instrument=instrument)
    said = " ".join(not_known_of(instrument, public_measures(instrument)))
    assert "touch" not in said and "pitch" not in said and "wrest pins" in said.lower()
