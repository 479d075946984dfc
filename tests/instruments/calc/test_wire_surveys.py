from decimal import Decimal

import pytest

from instruments.calc import wire_surveys
from instruments.calc.wire_surveys import Wire


def wire(key=49, length=400, diameter="1", strings=3, a4=440):
    return Wire(key, Decimal(length), Decimal(diameter), strings, Decimal(a4))


# Source: derived from Mersenne and Taylor, Fletcher JASA 36 (1964), E = 2.0e11 Pa; units derived.
def test_a_plain_wire_pulls_as_reckoned():
    found = wire()
    told = (found.tension_n, found.tension_kgf, found.tension_lbf, found.stiffness_cents)
    assert told == pytest.approx((763.91, 77.90, 171.74, 0.6862), abs=0.01)


def test_all_strings_of_all_keys_are_summed():
    found = wire_surveys.summed([wire(), wire(strings=2)])
    assert (found.wires, found.newtons) == (5, pytest.approx(5 * 763.91, abs=0.05))
    assert found.lbf == pytest.approx(5 * 171.74, abs=0.05)


# Source: islandpiano.com, 130 to 220 lbf of one string.
@pytest.mark.parametrize(("length", "word"), [(400, ""), (300, "below"), (480, "above")])
def test_a_tension_outside_what_is_published_is_remarked(length, word):
    remark = wire(length=length).remark
    assert remark.startswith(word) and bool(word) == bool(remark)


# Source: pianotech 12 Jun 2003 and a music-wire chart (0.055 in is 24 or 25).
@pytest.mark.parametrize(
    ("diameter", "words"),
    [
        ("1.041", "American 18"),
        ("1.05", "metric 18.5"),
        ("0.95", "metric 16.5"),
        ("1.397", "24 or 25"),
        ("0.6", "no number"),
    ],
)
def test_a_size_is_called_what_the_tables_call_it(diameter, words):
    assert words in wire(diameter=diameter).gauge_words


@pytest.mark.parametrize(
    ("length", "diameter", "words"),
    [("620", "1.05", ""), ("6200", "1.05", "speaking length"), ("620", "18", "gauge number")],
)
def test_measures_that_no_plain_wire_has_are_asked_after(length, diameter, words):
    said = wire_surveys.reading_problem(40, Decimal(length), Decimal(diameter))
    assert words in said and bool(words) == bool(said)
