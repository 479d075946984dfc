"""Statutes read in a mirror: CCR 2013 at 2018, CRA 2015, SGA 1979; the dates are derived from them."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc import deadlines


def day(text):
    return date.fromisoformat(text)


# Source: CCR 2013 regs 29(2), 30(3).
@pytest.mark.parametrize(
    ("delivered", "until"),
    [
        ("2026-03-02", "2026-03-16"),
        ("2026-02-20", "2026-03-06"),
        ("2024-02-20", "2024-03-05"),
        ("2026-12-25", "2027-01-08"),
    ],
)
def test_a_distance_sale_can_be_cancelled_for_14_days_after_delivery(delivered, until):
    found = deadlines.cancel_until(day(delivered), contract="distance", informed_on=day(delivered))
    assert found == day(until)


# Source: CCR 2013 reg 31; the last two derived (information inside, and after, the extra year).
@pytest.mark.parametrize(
    ("informed", "until"),
    [
        (None, "2027-03-16"),
        ("2026-06-10", "2026-06-24"),
        ("2026-02-28", "2026-03-16"),
        ("2026-03-05", "2026-03-19"),
        ("2027-03-02", "2027-03-16"),
        ("2027-03-03", "2027-03-16"),
    ],
)
def test_missing_information_prolongs_the_right_to_cancel(informed, until):
    informed_on = informed and day(informed)
    found = deadlines.cancel_until(day("2026-03-02"), contract="off-premises", informed_on=informed_on)
    assert found == day(until)


# Source: CCR 2013 regs 27, 29 (scope).
def test_a_sale_at_the_counter_cannot_be_cancelled():
    assert deadlines.cancel_until(day("2026-03-02"), contract="shop", informed_on=None) is None


def test_a_contract_is_made_in_a_known_way():
    with pytest.raises(ValueError, match="shop, distance, off-premises"):
        deadlines.cancel_until(day("2026-03-02"), contract="fair", informed_on=None)


# Source: CCR 2013 reg 34(4)-(6).
@pytest.mark.parametrize(
    ("facts", "until"),
    [
        ({"collection_offered": True}, "2026-05-15"),
        ({"collection_offered": False}, None),
        ({"collection_offered": False, "goods_back_on": day("2026-05-10")}, "2026-05-24"),
        (
            {
                "collection_offered": False,
                "goods_back_on": day("2026-05-10"),
                "sent_proof_on": day("2026-05-06"),
            },
            "2026-05-20",
        ),
    ],
)
def test_a_cancelled_sale_is_refunded_in_14_days(facts, until):
    assert deadlines.cancel_refund_by(day("2026-05-01"), **facts) == (until and day(until))


# Source: CRA 2015 s 20(15): beginning with the day, so one day less than on cancelling.
def test_an_agreed_rejection_is_refunded_one_day_sooner():
    assert deadlines.reject_refund_by(day("2026-05-01")) == day("2026-05-14")


# Source: CRA 2015 s 22(3); dates derived.
@pytest.mark.parametrize(("installed", "until"), [(None, "2026-04-01"), ("2026-03-05", "2026-04-04")])
def test_goods_can_be_rejected_for_30_days(installed, until):
    found = deadlines.short_term_reject_until(
        day("2026-02-20"), day("2026-03-02"), installed and day(installed)
    )
    assert found == day(until)


# Source: CRA 2015 s 22(6)-(8); dates derived.
@pytest.mark.parametrize(
    ("requested", "back", "until"),
    [
        ("2026-03-10", "2026-03-19", "2026-04-11"),
        ("2026-03-31", "2026-03-31", "2026-04-07"),
        ("2026-04-01", "2026-04-03", "2026-04-10"),
    ],
)
def test_a_repair_stops_the_clock(requested, back, until):
    assert deadlines.reject_until_after_repair(day("2026-04-01"), day(requested), day(back)) == day(until)


def test_a_repair_cannot_end_before_it_begins():
    with pytest.raises(ValueError, match="before the repair"):
        deadlines.reject_until_after_repair(day("2026-04-01"), day("2026-03-10"), day("2026-03-09"))


# Source: CRA 2015 s 19(14) "beginning with", s 24(10) and (11) "beginning the day after"; last row derived.
@pytest.mark.parametrize(
    ("delivered", "presumed", "undeducted"),
    [("2026-03-02", "2026-09-01", "2026-09-02"), ("2026-08-31", "2027-02-28", "2027-02-28")],
)
def test_six_months_count_from_the_day_or_the_day_after(delivered, presumed, undeducted):
    found = (deadlines.presumption_until(day(delivered)), deadlines.no_deduction_until(day(delivered)))
    assert found == (day(presumed), day(undeducted))


# Source: CRA 2015 s 28(3); date derived.
def test_goods_are_delivered_within_30_days():
    assert deadlines.deliver_by(day("2026-03-02")) == day("2026-04-01")


# Source: SGA 1979 s 18 rule 4, s 17 and s 19 for a different intention.
@pytest.mark.parametrize(
    ("facts", "passes"),
    [
        ({}, "2026-04-30"),
        ({"keeping_is_not_acceptance": True}, None),
        ({"rejected_on": day("2026-04-30")}, None),
        ({"rejected_on": day("2026-05-01")}, "2026-04-30"),
        ({"accepted_on": day("2026-04-12")}, "2026-04-12"),
        ({"accepted_on": day("2026-05-03"), "keeping_is_not_acceptance": True}, "2026-05-03"),
        ({"accepted_on": day("2026-04-12"), "rejected_on": day("2026-04-10")}, None),
    ],
)
def test_silence_can_make_a_trial_a_sale(facts, passes):
    assert deadlines.property_passes_on(day("2026-04-30"), **facts) == (passes and day(passes))


# Source: CCR 2013 reg 36(4); figures derived.
@pytest.mark.parametrize(("used", "minor"), [(6, 1200), (0, 0), (30, 6000), (31, 6000), (1, 200)])
def test_a_hire_cancelled_early_is_paid_in_proportion(used, minor):
    assert deadlines.hire_for_used_days_minor(6000, 30, used) == minor


def test_a_hire_of_no_days_is_refused():
    with pytest.raises(ValueError, match="one day at least"):
        deadlines.hire_for_used_days_minor(6000, 0, 0)


# Source: Consumer Credit Act 1974 s 15, from memory.
@pytest.mark.parametrize(("ends", "regulated"), [("2026-06-01", False), ("2026-06-02", True), (None, True)])
def test_a_hire_past_three_months_may_be_regulated(ends, regulated):
    assert deadlines.may_be_regulated_hire(day("2026-03-02"), ends and day(ends)) is regulated


# Source: Regulation 1182/71, from memory.
def test_european_last_days_roll_over_weekends_and_holidays():
    saturday, monday = day("2026-04-04"), day("2026-04-06")
    assert deadlines.rolled_to_working_day(saturday, {monday}) == day("2026-04-07")


@given(st.dates(date(1990, 1, 1), date(2090, 1, 1)), st.dates(date(1990, 1, 1), date(2092, 1, 1)))
def test_information_given_late_never_shortens_the_right_to_cancel(delivered, informed):
    found = deadlines.cancel_until(delivered, contract="distance", informed_on=informed)
    assert found >= delivered + timedelta(days=14)
