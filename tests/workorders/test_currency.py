import pytest

from workorders.currency import in_words, plain, price_in_words


@pytest.mark.parametrize(
    ("minor", "words"),
    [(125_050, "£1,250.50"), (-5, "\N{MINUS SIGN}£0.05"), (0, "£0.00"), (10**15, "£10,000,000,000,000.00")],
)
def test_an_amount_prints_to_the_penny(minor, words):
    assert in_words(minor) == words


@pytest.mark.parametrize(("minor", "words"), [(180_000, "£1,800"), (180_050, "£1,800.50")])
def test_a_price_prints_pence_only_where_there_are_some(minor, words):
    assert price_in_words(minor) == words


def test_an_amount_prints_plain_for_a_form():
    assert [plain(125_050), plain(5), plain(-5)] == ["1250.50", "0.05", "-0.05"]


def test_a_currency_without_decimals_has_none(settings):
    settings.CURRENCY = "JPY"
    assert plain(1250) == "1250"
    assert price_in_words(1250).endswith("1,250")
