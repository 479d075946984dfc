from datetime import date

import pytest

from instruments.actions.intake import create_instrument
from instruments.models import Instrument
from instruments.states import Place

pytestmark = pytest.mark.django_db
THE_DAY = date(2026, 3, 21)


def log(by, **identity):
    return create_instrument(by=by, on=THE_DAY, **{"kind": "upright", "maker": "unknown"} | identity)


def test_an_instrument_gets_the_next_stock_number_of_its_year(buyer):
    log(buyer)
    assert log(buyer).stock_number == "26-002"


def test_a_refused_logging_gives_its_number_back(buyer):
    with pytest.raises(ValueError, match="day 30"):
        log(buyer, made="1912-02-30")
    assert log(buyer).stock_number == "26-001"


def test_the_first_move_says_where_it_stands(buyer):
    instrument = log(buyer, place=Place.STORE, place_note="back wall")
    move = instrument.moves.get()
    assert (move.place, move.note, move.moved_on, move.recorded_by) == ("store", "back wall", THE_DAY, buyer)


def test_the_history_says_who_logged_it(buyer):
    entry = log(buyer).history.get()
    assert (entry.history_change_reason, entry.history_user) == ("Logged as 26-001", buyer)


def test_the_search_finds_it_without_accents_or_spaces(buyer):
    log(buyer, maker="Éloise Brandt", serial="31 447")
    assert Instrument.objects.search("eloise 31447").count() == 1
