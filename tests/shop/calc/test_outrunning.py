"""What a hand-written sentence may not say without evidence; each case beside one that is left alone."""

from decimal import Decimal

import pytest

from shop.calc.outrunning import Dating, Evidence, outruns

ABOUT_1912 = Dating(1912, 1912, "about 1912 (from the serial number)")
FIRM_1908 = Dating(1908, 1908, "1908 (from a document seen)", is_firm=True)
WEIGHED = {"tolerance_g": Decimal(2), "inside": 88, "weighed": 88}


@pytest.mark.parametrize(
    ("sentence", "dating", "why"),
    [
        ("Made in 1912.", ABOUT_1912, "firmer than what is on file: about 1912"),
        ("Built in 1909.", FIRM_1908, "is not what is on file: 1908"),
        ("An upright from 1912.", Dating(), "no date of making is on file"),
        ("It was restrung in 1988.", ABOUT_1912, "no record gives that year"),
    ],
)
def test_a_year_that_no_evidence_carries_is_cautioned(sentence, dating, why):
    (caution,) = outruns(sentence, Evidence(dating=dating))
    assert why in caution


@pytest.mark.parametrize(
    ("sentence", "dating"),
    [
        ("Made about 1912.", ABOUT_1912),
        ("Said to have been made in 1912.", ABOUT_1912),
        ("Made in 1908.", FIRM_1908),
        ("It was tuned in 2024.", ABOUT_1912),
        ("Serial number 1912/4, 1800 cm of felt.", ABOUT_1912),
    ],
)
def test_a_year_that_is_hedged_or_shown_is_left_alone(sentence, dating):
    assert outruns(sentence, Evidence(dating=dating, known_years={2024})) == []


def test_every_year_of_a_headline_speaks_of_the_making():
    assert "firmer" in outruns("Halden upright, 1912", Evidence(dating=ABOUT_1912), is_headline=True)[0]


@pytest.mark.parametrize(
    ("evidence", "why"),
    [
        ({}, "no weigh-off after work is on file"),
        (WEIGHED | {"inside": 80}, "80 of 88 keys within 2 g"),
        (WEIGHED | {"tolerance_g": Decimal(3)}, "within 3 g"),
    ],
)
def test_a_touch_that_the_weigh_off_does_not_show_is_cautioned(evidence, why):
    (caution,) = outruns("Every key within two grams.", Evidence(**evidence))
    assert why in caution


def test_a_touch_that_was_weighed_is_left_alone():
    assert outruns("Even to within 2 g, and within 3 grams at worst.", Evidence(**WEIGHED)) == []


def test_another_price_is_cautioned():
    assert "£1,800" in outruns("Yours for £1,500.", Evidence(price="£1,800"))[0]
    assert outruns("It costs £1,800.", Evidence(price="£1,800")) == []


@pytest.mark.parametrize("sentence", ["Guaranteed for five years.", "With a full warranty.", "Money-back!"])
def test_a_guarantee_without_one_in_the_terms_is_cautioned(sentence):
    assert "terms say nothing of a guarantee" in outruns(sentence, Evidence())[0]
    assert outruns(sentence, Evidence(has_guarantee=True)) == []


def test_no_guarantee_is_no_claim():
    assert outruns("It comes without guarantee.", Evidence()) == []


@pytest.mark.parametrize(
    ("sentence", "count"),
    [("Ivory naturals.", 1), ("No ivory in it.", 0), ("Examined for ivory.", 0), ("Ivory-coloured case.", 0)],
)
def test_ivory_is_cautioned_where_it_is_claimed(sentence, count):
    assert len(outruns(sentence, Evidence(ivory_missing="no registration is on file."))) == count
    assert outruns(sentence, Evidence()) == []
