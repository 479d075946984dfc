from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workorders.calc.stock import found_minor, used_minor


def test_what_is_used_costs_the_average_of_what_came_in():
    # Worked by hand: 100 pins for 12.00 and 50 for 7.50 are 150 for 19.50, 13 pence each; 7 cost 91.
    assert used_minor(Decimal(7), Decimal(150), 1950) == 91


def test_the_last_takes_what_rounding_left():
    # Worked by hand: three sheets for 10.00 are 3.33, then half of 6.67 rounded up, then what is left.
    costs, on_hand, left = [], 3, 1000
    while on_hand:
        costs.append(used_minor(Decimal(1), Decimal(on_hand), left))
        on_hand, left = on_hand - 1, left - costs[-1]
    assert (costs, left) == ([333, 334, 333], 0)


def test_part_of_a_metre_costs_its_share():
    assert used_minor(Decimal("0.25"), Decimal("10.00"), 1650) == 41  # 41.25


def test_what_is_found_counts_for_the_average():
    assert found_minor(Decimal(10), Decimal(40), 1000) == 250


@pytest.mark.parametrize("quantity", ["0", "-1", "3.01"])
def test_only_what_is_on_hand_can_be_used(quantity):
    with pytest.raises(ValueError, match="on hand"):
        used_minor(Decimal(quantity), Decimal(3), 100)


def test_without_anything_on_hand_there_is_no_average():
    with pytest.raises(ValueError, match="no average"):
        found_minor(Decimal(1), Decimal(0), 0)


@given(
    st.integers(0, 10**9),
    st.lists(st.integers(1, 10**5), min_size=1, max_size=12),
)
def test_using_all_of_it_in_any_portions_costs_what_came_in(cost, hundredths):
    portions = [Decimal(part) / 100 for part in hundredths]
    on_hand, left = sum(portions), cost
    for portion in portions:
        used = used_minor(portion, on_hand, left)
        assert 0 <= used <= left
        on_hand, left = on_hand - portion, left - used
    assert (on_hand, left) == (0, 0)
