"""The papers of a sale, kept as printed: the right to cancel, and the delivery note for the mover."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from shop.actions.invoices import issue_invoice
from shop.actions.sale_course import deliver_sale, plan_delivery
from shop.actions.sale_papers import issue_cancelling, issue_delivery_note
from shop.models import Paper, ShopProfile
from tests import make
from tests.make_sale import make_sale
from tests.reading import Reading, printed

pytestmark = [pytest.mark.django_db, pytest.mark.both]

MARCH_2 = date(2026, 3, 2)
FORM = "It reached me on"


@pytest.fixture(autouse=True)
def shop(time_machine):
    time_machine.move_to(datetime(2026, 3, 9, 10, tzinfo=UTC), tick=False)
    profile = ShopProfile.current()
    profile.name, profile.address, profile.vat_number = "Staithe Pianos", "4 Quay Row", "GB 000 0000 00"
    profile.email = "shop@example.org"
    profile.save()


def read(paper: Paper) -> str:
    with paper.file.open("rb") as kept:
        return Reading(kept.read()).text


def dated_sale(**given):
    return make_sale(instrument=make.make_instrument(made="1931", made_basis="mark"), on=MARCH_2, **given)


def test_the_paper_tells_the_right_and_carries_the_form():
    """SI 2013/3134 Sch. 3: how long, to whom, what is paid back by when, who fetches it, and the form."""
    text = read(issue_cancelling(sale=dated_sale(where="distance"), by=make.somebody()))
    for words in ("fourteenth day", "4 Quay Row", "shop@example.org", "fourteen days", "we fetch it", FORM):
        assert words in text
    assert text.count("Signature") == 1 and "need not use this form" in text


def test_it_goes_with_the_invoice_of_what_was_agreed_away_from_the_shop_only():
    by = make.somebody()
    away, here = dated_sale(where="off-premises"), dated_sale()
    assert FORM in read(issue_invoice(sale=away, by=by, on=MARCH_2))
    assert FORM not in read(issue_invoice(sale=here, by=by, on=MARCH_2))


def test_agreed_in_the_shop_there_is_no_such_paper(client, seller):
    client.force_login(seller)
    answer = printed(client, reverse("shop:sale_cancelling", args=[dated_sale().number]))
    assert "carries no right to cancel" in answer.content.decode() and not Paper.objects.exists()


def test_the_delivery_note_is_kept_and_a_new_plan_makes_a_new_one():
    sale, by = dated_sale(), make.somebody()
    given = {"sale": sale, "address": "9 Quay Row\nTarn Staithe", "by": by}
    plan_delivery(planned_on=date(2026, 3, 12), mover="Staithe Carriers", access="Two steps", **given)
    first = issue_delivery_note(sale=sale, by=by, on=MARCH_2)
    assert issue_delivery_note(sale=sale, by=by, on=MARCH_2) == first
    text = read(first)
    for words in (
        "Thursday 12 March 2026",
        "Staithe Carriers",
        "Two steps",
        "Tarn Staithe",
        f"Sale {sale.number}",
    ):
        assert words in text
    plan_delivery(planned_on=date(2026, 3, 14), **given)
    second = issue_delivery_note(sale=sale, by=by, on=MARCH_2)
    assert (first.number, second.number) == (f"{sale.number}-D1", f"{sale.number}-D2")


def test_the_note_says_how_it_left_and_who_took_it():
    sale, by = dated_sale(), make.somebody()
    report = make.make_report(instrument=sale.instrument, occasion="as_sold", on=MARCH_2)
    make.make_line(report=report, part="case", condition="attend", note="A dent at the left cheek")
    given = {"temperature_c": 19, "humidity_percent": 48, "received_by": "Ned Blount"}
    delivery = deliver_sale(sale=sale, handed_over_on=date(2026, 3, 6), by=by, **given)
    assert delivery.report == report and delivery.climate.instrument == sale.instrument
    text = read(issue_delivery_note(sale=sale, by=by, on=date(2026, 3, 6)))
    for words in ("A dent at the left cheek", "Ned Blount", "19 °C, 48 % RH", "Friday 6 March 2026"):
        assert words in text


def test_without_a_plan_the_page_says_so(client, seller):
    client.force_login(seller)
    answer = printed(client, reverse("shop:sale_delivery_note", args=[dated_sale().number]))
    assert "Nothing is written down of its delivery yet" in answer.content.decode()
