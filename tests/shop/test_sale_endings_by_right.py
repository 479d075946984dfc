"""What a shop may keep when a sale ends, and how it pays back: refused only where the law is plain."""

from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.problems import Blocked, Refused
from shop.actions.ledger import credit_of, value_in
from shop.actions.sale_course import ask_repair, bring_back, deliver_sale
from shop.actions.sale_endings import end_sale
from shop.actions.sale_notices import give_notice, take_notice_back
from shop.actions.trials import keep_trial
from shop.invoice_words import credit_note_of
from shop.models import BookLine, Payment, SaleEnding, ShopProfile
from shop.sale_notice_problems import notice_of
from shop.statements import statement_of
from tests import make
from tests.make_sale import make_delivered_sale, make_sale

pytestmark = [pytest.mark.django_db, pytest.mark.both]

MARCH_2, MARCH_9 = date(2026, 3, 2), date(2026, 3, 9)


def delivered(**given):
    return make_delivered_sale(**({"paid": 90_000, "on": MARCH_2} | given))


def end(sale, kind, *, on=MARCH_9, **given):
    given = {"reason": "Too loud", "method": "card"} | given
    return end_sale(sale=sale, kind=kind, by=make.somebody(), on=on, **given)


def test_a_consumer_is_paid_back_the_way_they_paid_unless_they_expressly_agree():
    """Reg. 34(7)."""
    sale = delivered(where="distance", informed_on=MARCH_2)
    for other in ({"method": "cash"}, {"give_back": "credit"}):
        with pytest.raises(Blocked, match="the way they paid"):
            end(sale, "right", **other)
    ending = end(sale, "right", give_back="credit", other_means_agreed=True)
    assert ending.other_means_agreed and credit_of(sale.person) == 90_000


def test_a_rejection_goes_back_the_same_way_too():
    """S. 20(16)."""
    sale = delivered()
    with pytest.raises(Blocked, match="the way they paid"):
        end(sale, "rejected", method="transfer")
    assert end(sale, "rejected").given_back_minor == 90_000


def test_nothing_is_kept_for_handling_where_the_information_was_never_given():
    """Reg. 34(9) to (11)."""
    kept = {"deduction_minor": 5_000, "deduction_for": "A cup stood on the lid"}
    with pytest.raises(Blocked, match="never had the cancellation information"):
        end(delivered(where="distance"), "right", **kept)
    ending = end(delivered(where="distance", informed_on=MARCH_2), "right", **kept)
    assert (ending.given_back_minor, ending.deduction_minor) == (85_000, 5_000)


def test_a_short_term_rejection_is_paid_back_whole():
    with pytest.raises(Blocked, match="paid back whole"):
        end(delivered(), "rejected", deduction_minor=1, deduction_for="Use")


def test_nothing_is_kept_for_use_in_the_first_six_months():
    """S. 24(10), (11): delivered 2 March, to the end of 2 September (CHECKS 8 test 6)."""
    kept = {"deduction_minor": 10_000, "deduction_for": "Six months of use"}
    sale = delivered()
    with pytest.raises(Blocked, match="until 2 September 2026"):
        end(sale, "final", on=date(2026, 9, 2), **kept)
    assert end(sale, "final", on=date(2026, 9, 3), **kept).deduction_minor == 10_000


def test_what_is_kept_needs_a_reason_and_is_no_more_than_was_paid():
    sale = delivered()
    with pytest.raises(Refused, match="Say what is kept"):
        end(sale, "goodwill", deduction_minor=5_000)
    with pytest.raises(Refused, match="More would be kept"):
        end(sale, "goodwill", deduction_minor=90_001, deduction_for="x")
    assert not SaleEnding.objects.exists()


def test_what_is_kept_stands_on_the_statement_and_the_account_is_even():
    sale = delivered()
    end(sale, "goodwill", deduction_minor=5_000, deduction_for="Carriage both ways")
    statement = statement_of(sale.person)
    assert statement.balance_minor == 0 and value_in(sale.promise) == 5_000
    assert any("Carriage both ways" in step.words for step in statement.steps)


def test_handed_over_it_is_not_called_off_any_more():
    with pytest.raises(Blocked, match="handed over on 2 March 2026"):
        end(delivered(), "cancelled")


def test_paid_back_before_it_is_fetched_it_stays_with_them_in_the_record(client, seller):
    """Collection offered, the 14 days run from the day they told us, fetched or not (reg. 34(4), (6))."""
    client.force_login(seller)
    sale = delivered(where="distance", informed_on=MARCH_2)
    give_notice(sale=sale, kind="right", told_on=MARCH_9, by=seller)
    end(sale, "right", is_back=False)
    sale.instrument.refresh_from_db()
    assert sale.instrument.place == "customer"
    assert "still to be fetched" in client.get(sale.get_absolute_url()).content.decode()


def test_cancelled_at_a_distance_before_delivery_it_never_moves():
    sale = make_sale(where="distance", paid=90_000, on=MARCH_2)
    moves = sale.instrument.moves.count()
    notice = give_notice(
        sale=sale, kind="right", told_on=MARCH_9, collection_offered=False, by=make.somebody()
    )
    ending = end(sale, "right")
    assert ending.refund_by == date(2026, 3, 23) and notice.told_on == ending.told_on
    assert sale.instrument.moves.count() == moves


def test_they_keep_it_after_all_and_the_sale_stands(client, seller, time_machine):
    time_machine.move_to(datetime(2026, 3, 12, 10, tzinfo=UTC), tick=False)
    client.force_login(seller)
    sale = delivered()
    give_notice(sale=sale, kind="rejected", told_on=MARCH_9, by=seller)
    assert "Rejected: the short-term right" in client.get(sale.get_absolute_url()).content.decode()
    take_notice_back(sale=sale, reason="The tuner put it right", by=seller, on=date(2026, 3, 12))
    assert notice_of(sale) is None and sale.promise.is_open
    with pytest.raises(Refused, match="Nobody has asked"):
        take_notice_back(sale=sale, reason="x", by=seller, on=MARCH_9)


def test_the_final_right_opens_when_a_repair_failed(client, seller):
    """S. 24(5): one attempt. Before that it is a caution, for there are other grounds."""
    client.force_login(seller)
    sale = delivered()
    asked = ask_repair(sale=sale, asked_on=MARCH_9, what="A cracked bridge", by=seller)
    bring_back(asked=asked, back_on=date(2026, 4, 9), put_right=False, by=seller)
    notice = give_notice(
        sale=sale, kind="final", told_on=date(2026, 6, 1), agreed_on=date(2026, 6, 2), by=seller
    )
    assert notice.agreed_on and end(sale, "final", on=date(2026, 6, 3)).refund_by == date(2026, 6, 15)


def test_elsewhere_nothing_is_refused_that_is_not_known():
    sale = delivered(on=date(2026, 1, 5))
    profile = ShopProfile.current()
    profile.jurisdiction = "eu"
    profile.save()
    assert end(sale, "right", method="cash").given_back_minor == 90_000


def test_what_was_paid_for_delivery_is_owed_back_too_and_the_page_says_so(client, seller):
    """Reg. 34(2), (3): the ordinary cost of delivery; it stands apart from the price."""
    client.force_login(seller)
    trial = make.make_running_trial(agreed_where="distance", delivery_minor=9_500)
    sale = keep_trial(trial=trial, by=seller, on=make.A_DAY)
    address = reverse("shop:sale_end", args=[sale.number])
    assert "£95.00 was paid for delivery" not in client.get(address).content.decode()
    give_notice(sale=sale, kind="right", told_on=make.A_DAY, by=seller)
    assert "£95.00 was paid for delivery" in client.get(address).content.decode()


def carried(by, *, paid=9_500, where="distance"):
    """A sale out of a home trial that was brought for money."""
    trial = make.make_running_trial(agreed_where=where, delivery_minor=paid)
    return keep_trial(trial=trial, by=by, on=make.A_DAY)


def delivery_of_trial(sale) -> list[int]:
    rows = Payment.objects.filter(purpose="delivery", promise=sale.from_trial.promise)
    return list(rows.values_list("amount_minor", flat=True))


def test_who_cancels_as_of_right_has_the_delivery_back_in_ledger_books_and_credit_note(seller):
    """Consumer Contracts Regulations 2013, reg. 34(1), (2): all payments, with ordinary delivery."""
    sale = carried(seller)
    ending = end(sale, "right", on=make.A_DAY, other_means_agreed=True)
    assert delivery_of_trial(sale) == [9_500, -9_500]
    refund = Payment.objects.get(purpose="delivery", amount_minor__lt=0)
    assert refund.reference == ending.credit_note and refund.refunds.amount_minor == 9_500
    assert not BookLine.objects.standing().filter(kind="fee").exists()
    assert sum(line.gross_minor for line in BookLine.objects.filter(kind="fee")) == 0
    assert value_in(sale.promise) == 0 and ending.given_back_minor == ending.paid_minor
    note = credit_note_of(sale)
    assert [line.amount for line in note.payments if "delivery" in line.label] == ["£95.00"]


def test_what_they_chose_beyond_ordinary_delivery_may_stay(seller):
    """Reg. 34(3): the supplementary cost of a dearer way that they expressly chose."""
    sale = carried(seller)
    how = {"on": make.A_DAY, "other_means_agreed": True}
    with pytest.raises(Blocked, match="ordinary cost of it back"):
        end(sale, "right", delivery_back_minor=6_000, **how)
    with pytest.raises(Blocked, match=r"No more than £95\.00"):
        end(sale, "right", delivery_back_minor=9_501, chose_dearer=True, **how)
    end(sale, "right", delivery_back_minor=6_000, chose_dearer=True, **how)
    assert delivery_of_trial(sale) == [9_500, -6_000]
    assert sum(line.gross_minor for line in BookLine.objects.filter(kind="fee")) == 3_500


def test_taken_back_by_agreement_delivery_stays_unless_it_is_given(seller):
    first, second = carried(seller), carried(seller)
    end(first, "goodwill", on=make.A_DAY)
    end(second, "goodwill", on=make.A_DAY, delivery_back_minor=9_500)
    assert [delivery_of_trial(each) for each in (first, second)] == [[9_500], [9_500, -9_500]]


def test_the_page_shows_the_delivery_in_what_it_comes_to_and_refuses_beside_the_field(client, seller):
    client.force_login(seller)
    sale = carried(seller)
    address = reverse("shop:sale_end", args=[sale.number])
    form = {"kind": "right", "reason": "No room", "give_back": "refund", "method": "card", "is_back": "on"}
    shown = client.post(address, form | {"show": "yes"}).context["lines"]
    assert [(line.label, line.amount_minor) for line in shown][-1] == ("And for delivery, as money", 9_500)
    wrong = client.post(address, form | {"delivery_back_minor": "95.01", "form_token": uuid4().hex})
    assert "No more than £95.00" in str(wrong.context["form"].errors["delivery_back_minor"])


def test_nothing_less_than_nothing_is_ever_shown(client, seller):
    client.force_login(seller)
    sale = make_sale(paid=20_000, on=make.A_DAY)
    address = reverse("shop:sale_end", args=[sale.number])
    form = {"kind": "goodwill", "reason": "x", "give_back": "refund", "method": "card", "show": "yes"}
    page = client.post(address, form | {"deduction_minor": "200.01", "deduction_for": "Use"})
    assert page.context["lines"] == [] and "No more than £200.00 can be kept" in page.content.decode()
    assert "−£" not in page.content.decode()


def test_nobody_ends_a_sale_before_it_was_made():
    sale = make_sale(on=MARCH_9)
    with pytest.raises(Blocked, match="sold on 9 March 2026, after that day"):
        give_notice(sale=sale, kind="goodwill", told_on=MARCH_2, by=make.somebody())


def test_an_ended_sale_is_neither_delivered_nor_given_notice_of():
    sale = make_sale(on=MARCH_2)
    end(sale, "cancelled")
    for act in (
        lambda: deliver_sale(sale=sale, handed_over_on=MARCH_9, by=make.somebody()),
        lambda: give_notice(sale=sale, kind="goodwill", told_on=MARCH_9, by=make.somebody()),
    ):
        with pytest.raises(Refused, match="has ended"):
            act()
