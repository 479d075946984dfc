from datetime import date
from decimal import Decimal

import pytest

from shop.calc import ivory


# Source: Ivory Act 2018 s 38(2), before 1 January 1975; the outer bound decides.
@pytest.mark.parametrize(
    ("made", "before"),
    [
        ("1974-12-31", True),
        ("1975-01-01", False),
        ("1975?", None),
        ("197X", None),
        ("1930/1935", True),
        ("1974~", None),
        ("../1974", True),
        ("../1975", None),
        ("1980/1985", False),
        ("1930/", None),
        ("", None),
    ],
)
def test_a_date_proves_pre_1975_or_does_not(made, before):
    assert ivory.made_before_1975(made) is before


# Source: Ivory Act 2018 s 38(3), pre-1947 is before 3 March 1947.
@pytest.mark.parametrize(
    ("made", "before"),
    [("1947-03-02", True), ("1947-03-03", False), ("1947", None), ("193X", True), ("1946~", None)],
)
def test_a_date_proves_pre_1947_or_does_not(made, before):
    assert ivory.made_before_1947(made) is before


def test_a_documented_date_may_be_approximate():
    assert ivory.made_before_1947("1912~", documented=True) is True


def test_a_date_that_is_not_edtf_is_refused():
    with pytest.raises(ValueError, match="not a date"):
        ivory.made_before("long ago", date(1975, 1, 1))


# Source: Ivory Act 2018 s 38(2), (3).
@pytest.mark.parametrize(
    ("taken", "to_restore", "counts"),
    [("1965", True, True), ("1980", True, False), ("197X", True, None), ("1965", False, False)],
)
def test_ivory_added_later_has_to_be_old_and_for_restoring(taken, to_restore, counts):
    assert ivory.still_pre_1975_with_added_ivory("1912", taken, to_restore=to_restore) is counts


# Our rule, on the safe side: what nobody settled counts as ivory.
@pytest.mark.parametrize(
    ("covering", "treated"),
    [
        ("ivory", True),
        ("unknown", True),
        ("", True),
        ("celluloid", False),
        ("plastic", False),
        ("bone", False),
    ],
)
def test_an_unsettled_covering_counts_as_ivory(covering, treated):
    assert ivory.treated_as_ivory(covering) is treated


# Source: Ivory Act 2018 s 1(2), (3) and its explanatory notes; APHA guidance.
@pytest.mark.parametrize(
    ("act", "dealing"),
    [
        ("gift", False),
        ("unpaid loan", False),
        ("inherit", False),
        ("part exchange", True),
        ("swap", True),
        ("discount", True),
        ("hire", True),
        ("advertise", True),
        ("keep for sale", True),
    ],
)
def test_anything_for_a_consideration_is_dealing(act, dealing):
    assert ivory.is_dealing(act) is dealing


def test_an_act_the_list_does_not_know_is_refused():
    with pytest.raises(ValueError, match="not an act"):
        ivory.is_dealing("dream of")


# Source: SI 2022/94 reg 11, 20 pounds, or 50 for more than 2 and up to 20; larger numbers derived.
@pytest.mark.parametrize(
    ("items", "minor"), [(1, 2000), (2, 4000), (3, 5000), (20, 5000), (21, 7000), (23, 10000), (40, 10000)]
)
def test_registration_fees_are_by_item_or_group(items, minor):
    assert ivory.registration_fee_minor(items) == minor


def test_no_item_has_no_fee():
    with pytest.raises(ValueError, match="one item or more"):
        ivory.registration_fee_minor(0)


# Source: derived, an order of magnitude; 1.85 g/cm3 not published.
def test_the_ivory_of_a_keyboard_is_estimated():
    volume = ivory.key_ivory_cm3(52, (50, 23, "0.7"), (95, 13, "0.7"))
    assert (round(volume, 1), round(ivory.ivory_mass_g(volume), 1)) == (Decimal("86.8"), Decimal("160.6"))


# Source: derived; a material volume of 124 litres makes it about 0.07 %.
def test_the_share_by_volume_stays_far_below_the_limit():
    share = ivory.ivory_share("86.8", 124000)
    assert (round(share, 4), share < ivory.LARGEST_SHARE) == (Decimal("0.0007"), True)


@pytest.mark.parametrize("whole", [0, -1])
def test_an_instrument_without_volume_is_refused(whole):
    with pytest.raises(ValueError, match="above 0"):
        ivory.ivory_share(1, whole)


def test_a_covering_of_negative_measure_is_refused():
    with pytest.raises(ValueError, match="negative"):
        ivory.key_ivory_cm3(52, (50, 23, "-0.7"), (95, 13, "0.7"))


# Source: 50 CFR 17.40(e)(3), African ivory, less than 200 g, made before 6 July 2016.
@pytest.mark.parametrize(
    ("mass", "made", "african", "failures"),
    [
        (150, "1950", True, 0),
        (200, "1950", True, 1),
        (150, "2016-07-06", True, 1),
        (150, "1950", False, 1),
        (250, "", False, 3),
    ],
)
def test_the_us_exception_fails_for_stated_reasons(mass, made, african, failures):
    assert len(ivory.us_de_minimis_failures(mass_g=mass, made=made, african=african)) == failures


# Source: CITES annotation #15 (traveling-with-instruments.eu; pearle.eu); D. nigra in Appendix I since 1992.
@pytest.mark.parametrize(
    ("species", "permit"),
    [("Dalbergia nigra", True), ("dalbergia  cochinchinensis", True), ("Dalbergia latifolia", False)],
)
def test_finished_rosewood_is_free_but_for_two_species(species, permit):
    assert ivory.rosewood_needs_permit(species) is permit
