from datetime import date
from decimal import Decimal

import pytest

from instruments.actions.weighing import record_weighing
from instruments.problems import Blocked
from tests.make import make_instrument

pytestmark = pytest.mark.django_db
THE_DAY = date(2026, 4, 2)


def weigh(by, readings, **fields):
    return record_weighing(instrument=make_instrument(), readings=readings, by=by, on=THE_DAY, **fields)


def test_readings_are_kept_in_the_order_of_the_keys(technician):
    weighing = weigh(technician, [(41, "50", "24"), (40, 52, 28)], humidity_percent=Decimal(46))
    kept = [(reading.key, reading.down_g, reading.up_g) for reading in weighing.readings.all()]
    assert kept == [(40, Decimal(52), Decimal(28)), (41, Decimal(50), Decimal(24))]


def test_a_key_that_does_not_return_has_no_up_weight(technician):
    assert weigh(technician, [(40, 60, None)]).readings.get().up_g is None


@pytest.mark.parametrize(
    ("readings", "sentence"),
    [
        ([], "No key has a reading yet"),
        ([(86, 52, 28)], "There is no key 86 on this keyboard, A0 to A7"),  # 85 keys end on A7
        ([(40, 28, 52)], "C4: 52 g up is more than 28 g down"),
        ([(40, -1, None)], "C4: a weight lies between 0 and 300 g"),
        ([(40, 52, 28), (40, 50, 28)], "C4 is given 2 times"),
    ],
)
def test_a_reading_that_cannot_be_is_refused(technician, readings, sentence):
    with pytest.raises(Blocked, match=sentence):
        weigh(technician, readings)
