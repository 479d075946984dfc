from datetime import date

import pytest

from shop.calc.quarters import quarter_end, quarter_start


@pytest.mark.parametrize(
    ("day", "first", "last"),
    [
        (date(2024, 2, 29), date(2024, 1, 1), date(2024, 3, 31)),
        (date(2026, 4, 1), date(2026, 4, 1), date(2026, 6, 30)),
        (date(2026, 12, 31), date(2026, 10, 1), date(2026, 12, 31)),
    ],
)
def test_a_day_lies_in_its_calendar_quarter(day, first, last):
    assert (quarter_start(day), quarter_end(day)) == (first, last)
