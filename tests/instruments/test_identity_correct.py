from decimal import Decimal

import pytest

from instruments.actions.identity import correct_identity
from instruments.models import Instrument
from tests.make import make_instrument

pytestmark = pytest.mark.django_db


def last_sentence(instrument) -> str:
    return instrument.history.first().history_change_reason


def test_the_history_names_each_changed_field_with_its_unit(buyer):
    instrument = make_instrument(height_cm=Decimal("122.0"), made="1912~", stringing="straight")
    correct_identity(
        instrument=instrument, by=buyer, height_cm=Decimal(123), made="1910/1914", stringing="overstrung"
    )
    assert last_sentence(instrument) == (
        "Corrected. Height 122 cm → 123 cm; Made about 1912 → between 1910 and 1914; "
        "Stringing Straight-strung → Overstrung"
    )


def test_a_field_first_filled_in_was_not_recorded_before(buyer):
    instrument = make_instrument()
    correct_identity(instrument=instrument, by=buyer, serial="31447")
    assert last_sentence(instrument) == "Corrected. Serial not recorded → 31447"


def test_nothing_is_written_when_nothing_changes(buyer):
    instrument = make_instrument(height_cm=Decimal(122))
    correct_identity(instrument=instrument, by=buyer, height_cm=Decimal("122.0"))
    assert instrument.history.count() == 1


def test_the_search_follows_a_correction(buyer):
    correct_identity(instrument=make_instrument(maker="Haldane"), by=buyer, maker="Halden & Rook")
    assert Instrument.objects.search("halden rook").count() == 1


def test_a_new_date_moves_its_bounds(buyer):
    corrected = correct_identity(instrument=make_instrument(made="1912"), by=buyer, made="191X")
    assert str(corrected.made_earliest) == "1910-01-01"
