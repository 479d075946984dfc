"""The days of a sale as its page tells them: CHECKS section 8, tests 1 to 9, through actions and pages.

Consumer Contracts Regulations 2013 regs 29 to 34; Consumer Rights Act 2015 ss 19, 20, 22, 24, 28.
"""

from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.problems import Blocked, Refused
from shop.actions.sale_course import ask_repair, bring_back, deliver_sale, plan_delivery, write_agreed
from shop.actions.sale_notices import give_notice
from shop.actions.trials import keep_trial
from shop.models import SaleAgreed, SaleNotice, ShopProfile
from shop.sale_day_words import legal_days, not_worked_out
from shop.sale_days import days_of_sale
from shop.waiting_sales import repairs_asked_for, to_be_delivered, to_be_given_back
from tests import make
from tests.make_sale import make_delivered_sale, make_sale

pytestmark = [pytest.mark.django_db, pytest.mark.both]

MARCH_2 = date(2026, 3, 2)


@pytest.fixture(autouse=True)
def on_a_later_day(time_machine):
    time_machine.move_to(datetime(2026, 7, 6, 10, tzinfo=UTC), tick=False)


def page_of(client, sale) -> str:
    return client.get(sale.get_absolute_url()).content.decode()


def send(client, name, sale, *more, **typed):
    address = reverse(f"shop:{name}", args=[sale.number, *more])
    return client.post(address, {"form_token": uuid4().hex} | typed, follow=True)


@pytest.mark.parametrize(
    ("delivered", "last"),
    [
        (MARCH_2, date(2026, 3, 16)),
        (date(2026, 2, 20), date(2026, 3, 6)),
        (date(2024, 2, 20), date(2024, 3, 5)),
        (date(2026, 12, 25), date(2027, 1, 8)),
    ],
)
def test_a_sale_at_a_distance_may_be_cancelled_for_14_days(delivered, last):
    """CHECKS 8 test 1; reg. 30(3): to the end of 14 days after the day it reaches them."""
    sale = make_delivered_sale(where="distance", informed_on=delivered, on=delivered)
    assert days_of_sale(sale).cancel_until == last


def test_the_page_tells_the_days_with_their_sources(client, seller):
    """CHECKS 8 tests 1 and 6: to 1 September presumed, to 2 September no deduction: one day apart."""
    client.force_login(seller)
    page = page_of(client, make_delivered_sale(where="distance", informed_on=MARCH_2, on=MARCH_2))
    for day in ("16 March 2026", "1 April 2026", "1 September 2026", "2 September 2026"):
        assert day in page
    for source in ("regs 29, 30", "s. 22(3)", "s. 19(14)", "s. 24(10), (11)", "not legal advice"):
        assert source in page


def test_without_the_information_they_have_a_year_more_until_it_is_given(client, seller):
    """CHECKS 8 test 3; reg. 31."""
    client.force_login(seller)
    sale = make_delivered_sale(where="distance", on=MARCH_2)
    assert days_of_sale(sale).cancel_until == date(2027, 3, 16)
    assert "cancellation information not given yet" in page_of(client, sale)
    send(client, "sale_agreed", sale, agreed_where="distance", informed_on="2026-06-10")
    assert days_of_sale(sale).cancel_until == date(2026, 6, 24)
    assert SaleAgreed.objects.filter(sale=sale).count() == 2


def test_told_of_cancelling_and_agreeing_to_a_rejection_differ_by_a_day(client, seller):
    """CHECKS 8 test 5: 1 May with collection offered, back by 15 May; rejection agreed 1 May, by 14 May."""
    client.force_login(seller)
    april = date(2026, 4, 20)
    cancelled = make_delivered_sale(where="distance", informed_on=april, on=april)
    typed = {"kind": "right", "told_on": "2026-05-01", "collection_offered": "on"}
    assert "by 15 May 2026" in send(client, "sale_notice", cancelled, **typed).content.decode()
    rejected = make_delivered_sale(on=april)
    typed = {"kind": "rejected", "told_on": "2026-04-30", "agreed_on": "2026-05-01"}
    assert "by 14 May 2026" in send(client, "sale_notice", rejected, **typed).content.decode()
    lines = to_be_given_back(date(2026, 5, 15))[0].lines
    assert [line.is_late for line in lines] == [True, False]
    assert lines[0].detail == "To be given back by 14 May: 1 day late (14 May)"


def test_sent_back_by_themselves_the_days_wait_for_it_or_its_proof(client, seller):
    """Reg. 34(5): whichever is first."""
    client.force_login(seller)
    sale = make_delivered_sale(where="off-premises", informed_on=MARCH_2, on=MARCH_2)
    typed = {"kind": "right", "told_on": "2026-03-10"}
    assert "within 14 days after it is back" in send(client, "sale_notice", sale, **typed).content.decode()
    page = send(client, "sale_notice", sale, sent_on="2026-03-12", back_on="2026-03-20", **typed)
    assert "by 26 March 2026" in page.content.decode()
    sale.instrument.refresh_from_db()
    assert sale.instrument.place == "workshop"
    assert [move.moved_on for move in sale.instrument.moves.order_by("id")][-1] == date(2026, 3, 20)


def test_an_agreement_in_our_shop_carries_no_right_to_cancel(client, seller):
    """CHECKS 8 test 9; regs 27, 29."""
    client.force_login(seller)
    sale = make_delivered_sale(on=MARCH_2)
    assert days_of_sale(sale).cancel_until is None
    assert "no such right: it was agreed in our shop" in page_of(client, sale)
    page = send(client, "sale_notice", sale, kind="right", told_on="2026-03-03", reason="Too loud")
    page = page.content.decode()
    assert "carries no right to cancel" in page and "Too loud" in page and not SaleNotice.objects.exists()


def test_what_nobody_wrote_down_is_said_and_not_assumed(client, seller):
    client.force_login(seller)
    sale = make_delivered_sale(where="", on=MARCH_2)
    page = page_of(client, sale)
    assert "Not written down" in page and "nobody wrote down where it was agreed" in page
    assert days_of_sale(sale).cancel_until is None
    assert give_notice(sale=sale, kind="right", told_on=MARCH_2, by=seller)  # not sure, so not refused


def test_the_day_after_the_last_is_no_right_any_more():
    """Reg. 30: the last day counts whole; the next is goodwill, and may be."""
    sale = make_delivered_sale(where="distance", informed_on=MARCH_2, on=MARCH_2)
    given = {"sale": sale, "by": make.somebody()}
    with pytest.raises(Blocked, match="last day to cancel was 16 March 2026"):
        give_notice(kind="right", told_on=date(2026, 3, 17), **given)
    assert give_notice(kind="right", told_on=date(2026, 3, 16), **given)
    assert give_notice(kind="goodwill", told_on=date(2026, 3, 17), **given)


def test_the_day_after_the_thirtieth_is_no_short_term_right():
    """S. 22(3): delivered 2 March, to the end of 1 April."""
    sale = make_delivered_sale(on=MARCH_2)
    given = {"sale": sale, "kind": "rejected", "by": make.somebody()}
    with pytest.raises(Blocked, match="was 1 April 2026"):
        give_notice(told_on=date(2026, 4, 2), **given)
    assert give_notice(told_on=date(2026, 4, 1), **given)


def test_a_repair_stops_the_days_and_they_run_on_afterwards(client, seller):
    """S. 22(6) to (8): to 1 April; asked for on 30 March, back on 8 April: ten days more, to 15 April
    at least seven days after; 1 April + 10 = 11 April, and 8 April + 7 = 15 April."""
    client.force_login(seller)
    sale = make_delivered_sale(on=MARCH_2)
    send(client, "sale_repair", sale, asked_on="2026-03-30", what="The sustain squeaks")
    assert days_of_sale(sale).repair_since == date(2026, 3, 30)
    assert "stands still since 30 March 2026" in page_of(client, sale)
    waits = repairs_asked_for(date(2026, 4, 2))[0].lines[0]
    assert waits.detail.startswith("The sustain squeaks. Asked for 3 days ago")
    with pytest.raises(Refused, match="not back yet"):
        ask_repair(sale=sale, asked_on=date(2026, 3, 31), what="x", by=seller)
    asked = sale.repairs.get()
    early = send(client, "sale_repair_back", sale, asked.pk, back_on="2026-03-29", put_right="yes")
    assert "cannot be back before" in early.content.decode()
    send(client, "sale_repair_back", sale, asked.pk, back_on="2026-04-08", put_right="no")
    days = days_of_sale(sale)
    assert days.reject_until == date(2026, 4, 15) and days.has_failed_repair
    assert "final right to reject is open" in page_of(client, sale)


def test_a_repair_asked_for_too_late_moves_nothing():
    sale, by = make_delivered_sale(on=MARCH_2), make.somebody()
    asked = ask_repair(sale=sale, asked_on=date(2026, 4, 2), what="A string", by=by)
    assert days_of_sale(sale).reject_until == date(2026, 4, 1)
    bring_back(asked=asked, back_on=date(2026, 4, 9), put_right=True, by=by)
    assert days_of_sale(sale).reject_until == date(2026, 4, 1)


def test_undelivered_it_is_due_30_days_after_the_sale_or_on_the_day_agreed():
    """S. 28(3): sold 2 March, due 1 April; the day after it stands on Today as late."""
    sale = make_sale(on=MARCH_2)
    assert days_of_sale(sale).deliver_by == date(2026, 4, 1)
    assert not to_be_delivered(date(2026, 4, 1))[0].lines[0].is_late
    late = to_be_delivered(date(2026, 4, 2))[0].lines[0]
    assert late.is_late and late.detail == "No day agreed; by law: 1 day late (1 April)"
    plan_delivery(sale=sale, planned_on=date(2026, 5, 9), address="9 Quay Row", by=make.somebody())
    assert to_be_delivered(date(2026, 4, 2)) == [] and days_of_sale(sale).is_delivery_agreed
    deliver_sale(sale=sale, handed_over_on=date(2026, 5, 9), by=make.somebody())
    assert to_be_delivered(date(2026, 6, 30)) == []


def test_set_up_later_the_days_begin_later():
    """S. 22(3)(c): where setting it up was agreed, they begin when that is done."""
    sale, by = make_sale(on=MARCH_2), make.somebody()
    deliver_sale(sale=sale, handed_over_on=MARCH_2, set_up_on=date(2026, 3, 6), by=by)
    days = days_of_sale(sale)
    assert (days.reject_until, days.presumption_until) == (date(2026, 4, 5), date(2026, 9, 1))
    assert days.no_deduction_until == date(2026, 9, 6)
    with pytest.raises(Refused, match="set up before"):
        deliver_sale(sale=sale, handed_over_on=MARCH_2, set_up_on=date(2026, 3, 1), by=by)


def test_out_of_a_trial_it_is_agreed_as_the_trial_was():
    trial = make.make_running_trial(agreed_where="distance")
    sale = keep_trial(trial=trial, by=make.somebody(), on=make.A_DAY + timedelta(days=20))
    days = days_of_sale(sale)
    assert (days.agreed_where, days.informed_on) == ("distance", trial.starts_on)
    assert days.cancel_until == sale.sold_on + timedelta(days=14)
    write_agreed(sale=sale, agreed_where="shop", by=make.somebody())
    assert days_of_sale(sale).cancel_until is None


@pytest.mark.parametrize(
    ("law", "words"), [("eu", "2011/83/EU"), ("us", "16 CFR"), ("other", "Ask somebody")]
)
def test_elsewhere_the_page_says_what_is_not_worked_out(client, seller, law, words):
    client.force_login(seller)
    sale = make_delivered_sale(where="distance", on=MARCH_2)
    profile = ShopProfile.current()
    profile.jurisdiction = law
    profile.save()
    assert legal_days(days_of_sale(sale)) == []
    page = page_of(client, sale)
    assert words in page and "Not worked out here" in page and "16 March 2026" not in page


def test_for_a_business_no_consumers_day_is_worked_out():
    days = days_of_sale(make_delivered_sale(where="distance", is_consumer=False, on=MARCH_2))
    assert legal_days(days) == [] and "for a business" in not_worked_out(days)


def test_a_number_of_sales_waits_in_as_many_queries_as_one(django_assert_num_queries):
    def wait(count):
        for _ in range(count):
            make_sale(on=MARCH_2)
            sale = make_delivered_sale(on=MARCH_2)
            give_notice(sale=sale, kind="rejected", told_on=MARCH_2, by=make.somebody())
            ask_repair(sale=sale, asked_on=MARCH_2, what="x", by=make.somebody())

    on = date(2026, 4, 9)
    wait(1)
    ShopProfile.current()
    for more in (0, 2):
        wait(more)
        with django_assert_num_queries(5):
            to_be_delivered(on), to_be_given_back(on), repairs_asked_for(on)
