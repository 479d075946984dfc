"""A row of the books adds up to the true cost that stands at its end."""

import pytest

from shop.actions.money import add_cost
from shop.costs import true_cost
from tests import make

pytestmark = pytest.mark.django_db


def test_purchase_labour_parts_and_other_make_the_true_cost(owner):
    instrument = make.make_instrument(by=owner)
    make.make_purchase(instrument=instrument, price_minor=40_00, by=owner)
    add_cost(instrument=instrument, kind="transport", amount_minor=95_00, note="", by=owner, on=make.A_DAY)
    cost = true_cost(instrument, on=make.A_DAY)
    assert cost.other_minor == 95_00
    assert cost.total_minor == 135_00
