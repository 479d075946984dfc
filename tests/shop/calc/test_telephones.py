"""One number, however it is written."""

import pytest

from shop.calc.telephones import digits_of, telling_digits


@pytest.mark.parametrize(
    "written",
    [
        "01632 960123",
        "01632960123",
        "+44 1632 960 123",
        "+44 (0)1632 960123",
        "0044 1632 960123",
        "(01632) 960-123",
    ],
)
def test_every_spelling_of_a_number_shares_its_telling_digits(written):
    assert telling_digits(written, "GB") == "1632960123"
    assert telling_digits(written, "GB") in digits_of(written)


def test_a_number_of_another_country_keeps_its_code():
    assert telling_digits("+49 30 901820", "GB") == "4930901820"
    assert telling_digits("(212) 555-0123", "US") == telling_digits("+1 212 555 0123", "US") == "2125550123"
    assert telling_digits("030 901820", "") == "030901820"
