"""Which cards are worth a look. Common practice, no source: the name, and one thing more that few share."""

import pytest

from shop.calc.doubles import Card, Pair, likely_doubles, name_key, reasons, telephone_key


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Wilf Arden", "  wilf   ARDEN "),
        ("Wilf Arden", "Arden, Wilf"),
        ("Zoë O'Hara", "Zoe O’Hara"),
        ("Anne-Marie Holt", "Anne Marie Holt"),
    ],
)
def test_a_name_is_the_same_however_it_is_spelled(one, other):
    assert name_key(one) == name_key(other)


@pytest.mark.parametrize("other", ["Wilfred Arden", "W Arden", "Wilf Arden junior", "", "…"])
def test_another_name_is_another(other):
    assert name_key("Wilf Arden") != name_key(other)


@pytest.mark.parametrize(
    "spelled",
    ["07700 900123", "+44 7700 900123", "0044 (0)7700-900123", "07700.900.123 ext 12", "7700900123"],
)
def test_a_number_is_the_same_with_or_without_the_country(spelled):
    assert telephone_key(spelled) == "700900123"


@pytest.mark.parametrize("short", ["", "960101", "12345678", "none"])
def test_a_number_too_short_to_tell_tells_nothing(short):
    assert telephone_key(short) == ""


def test_a_namesake_alone_is_no_double_and_neither_is_a_household():
    arden = Card(1, "Wilf Arden", "Mill House, Marrowby", "01632 960101")
    assert reasons(arden, Card(2, "Wilf Arden", "Elsewhere", "01632 960199")) == ()
    assert reasons(arden, Card(3, "Joan Arden", "Mill House, Marrowby", "01632 960101")) == ()
    assert reasons(Card(4, ""), Card(5, "")) == ()


def test_what_both_cards_share_is_said():
    one = Card(1, "Wilf Arden", "Mill House,\nMarrowby", "01632 960101", "w@arden.example")
    other = Card(2, "Arden, Wilf", "mill house marrowby", "+44 1632 960101", "W@Arden.example")
    assert reasons(one, other) == ("the same telephone number", "the same e-mail address", "the same address")
    assert reasons(one, Card(3, "Wilf Arden", "", "", "w@arden.example")) == ("the same e-mail address",)


def test_of_three_cards_each_pair_is_told_once_the_newest_first():
    cards = [Card(key, "Wilf Arden", telephone="01632 960101") for key in (7, 3, 5)]
    why = ("the same telephone number",)
    assert likely_doubles([*cards, Card(9, "Somebody Else", telephone="01632 960101")]) == [
        Pair(5, 7, why),
        Pair(3, 7, why),
        Pair(3, 5, why),
    ]
