"""Guarantee: the shop's usual parts, what is agreed with one sale, and the paper as it was printed."""

import hashlib
from dataclasses import replace
from datetime import date

import pytest
from django.urls import reverse

from instruments.models import RecordIsPermanent
from instruments.problems import Blocked
from shop.actions.care_terms import (
    agree_care,
    change_reminding,
    change_usual_care,
    load_guarantee_parts,
    save_guarantee_part,
    usual_terms,
)
from shop.actions.guarantee_papers import issue_guarantee
from shop.actions.sale_course import deliver_sale
from shop.actions.sale_endings import take_back_sale
from shop.after_care import care_of
from shop.care_problems import IN_ADDITION
from shop.models import GuaranteePart, Paper, SaleCare, UsualCare
from tests.make_care import make_sale_with_care, posted
from tests.reading import Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def sale(owner):
    return make_sale_with_care(by=owner, agreed=False)


def until(sale, code, on=date(2026, 3, 1)):
    return next(each.until for each in care_of(sale, on=on).guaranteed if each.part.code == code)


def test_the_parts_are_loaded_once_and_the_shops_own_stay(owner):
    assert len(load_guarantee_parts()) == 13 and load_guarantee_parts() == []
    part = GuaranteePart.objects.get(code="pins")
    part.months = 24
    save_guarantee_part(part=part, by=owner)
    assert load_guarantee_parts() == []
    assert usual_terms().part("pins").months == 24


def test_the_owner_edits_the_usual_guarantee_on_its_page(client, owner, sale):
    client.force_login(owner)
    page = client.get(reverse("shop:care_terms"))
    fields = posted(page, tunings_a_year="3", humidity_low="40")
    assert client.post(reverse("shop:care_terms"), fields).status_code == 302
    assert UsualCare.current().tunings_a_year == 3
    url = reverse("shop:guarantee_part_edit", args=["pins"])
    assert client.post(url, posted(client.get(url), months="30")).status_code == 302
    assert usual_terms().part("pins").months == 30


def test_a_band_upside_down_is_refused_beside_its_field_and_keeps_what_was_typed(client, owner):
    client.force_login(owner)
    url = reverse("shop:care_terms")
    page = client.post(url, posted(client.get(url), humidity_low="70")).content.decode()
    assert "Give more than 70 %." in page and 'value="70"' in page
    assert not UsualCare.objects.exists()


def test_a_sale_starts_from_the_usual_and_is_changed_part_by_part(client, seller, sale):
    client.force_login(seller)
    url = reverse("shop:sale_care", args=[sale.number])
    fields = posted(client.get(url), **{"months-pins": "6", "included_tunings": "2"})
    del fields["covered-strings"]
    assert client.post(url, fields).status_code == 302
    terms = SaleCare.objects.get().care
    assert terms.part("pins").months == 6 and not terms.part("strings").covered
    assert terms.part("soundboard").months == 36 and terms.included_tunings == 2
    assert until(sale, "strings") is None
    assert "0 of 2 done" in client.get(sale.get_absolute_url()).content.decode()


def test_months_that_are_no_number_are_refused_beside_the_part(client, seller, sale):
    client.force_login(seller)
    url = reverse("shop:sale_care", args=[sale.number])
    page = client.post(url, posted(client.get(url), **{"months-pins": "a year"})).content.decode()
    assert "Give a whole number, such as 12." in page and "a year" in page
    assert not SaleCare.objects.exists()


def test_each_part_runs_from_delivery_by_whole_months(owner, sale):
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    assert until(sale, "pins") == date(2027, 1, 31)  # the sale counts until it is delivered
    deliver_sale(sale=sale, handed_over_on=date(2026, 2, 28), by=owner)
    assert until(sale, "pins") == date(2027, 2, 28)
    assert until(sale, "soundboard") == date(2029, 2, 28)
    assert until(sale, "tuning") is None


def test_a_guarantee_may_run_from_the_sale(owner, sale):
    deliver_sale(sale=sale, handed_over_on=date(2026, 2, 28), by=owner)
    agree_care(sale=sale, terms=replace(usual_terms(), runs_from="sale"), by=owner)
    assert until(sale, "pins") == date(2027, 1, 31)


def test_what_was_agreed_does_not_follow_the_shops_terms(owner, sale):
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    change_usual_care(by=owner, included_tunings=5)
    assert care_of(sale).terms.included_tunings == 1
    with pytest.raises(RecordIsPermanent):
        SaleCare.objects.get().save()


def test_the_same_terms_again_are_no_new_row(owner, sale):
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    with pytest.raises(Blocked, match="Nothing has changed"):
        agree_care(sale=sale, terms=usual_terms(), by=owner)


def test_the_guarantee_is_printed_once_and_read_back(client, seller, owner, sale):
    deliver_sale(sale=sale, handed_over_on=date(2026, 2, 28), by=owner)
    agree_care(sale=sale, terms=replace(usual_terms(), special="One visit to Ostermouth too."), by=owner)
    client.force_login(seller)
    url = reverse("shop:sale_guarantee", args=[sale.number])
    assert client.post(url).status_code == client.post(url).status_code == 302
    paper = Paper.objects.get(kind="guarantee")
    pdf = client.get(reverse("shop:sale_guarantee_print", args=[sale.number])).content
    assert hashlib.sha256(pdf).hexdigest() == paper.sha256
    text = Reading(pdf).text
    for words in (
        IN_ADDITION,
        "Bea Buyer",
        "Wrest pins and plank 1 year 28 February 2027",
        "Soundboard, bars and back 3 years 28 February 2029",
        "Polish and veneer (As seen on the day of the sale)",
        "tuned at least twice a year",
        "45 and 60 % relative humidity",
        "moths and woodworm that come to it later",
        "14 to 28 days after delivery",
        "One visit to Ostermouth too.",
    ):
        assert words in text
    assert Reading(pdf).page_count == 1


def test_once_printed_it_stands(client, owner, sale):
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    issue_guarantee(sale=sale, by=owner, on=date(2026, 2, 2))
    with pytest.raises(Blocked, match="stands as the buyer has it"):
        agree_care(sale=sale, terms=replace(usual_terms(), included_tunings=3), by=owner)
    client.force_login(owner)
    page = client.get(reverse("shop:sale_care", args=[sale.number])).content.decode()
    assert "stands as the buyer has it" in page


def test_without_a_day_of_delivery_the_paper_leaves_a_line_to_write_it_on(owner, sale):
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    paper = issue_guarantee(sale=sale, by=owner, on=date(2026, 2, 2))
    with paper.file.open("rb") as kept:
        text = Reading(kept.read()).text
    assert "which you and we write here" in text and "31 January 2027" not in text


def test_nothing_agreed_or_covered_is_not_printed(owner, sale):
    with pytest.raises(Blocked, match="Nothing is agreed yet"):
        issue_guarantee(sale=sale, by=owner, on=date(2026, 2, 2))
    bare = replace(usual_terms(), parts=tuple(replace(p, covered=False) for p in usual_terms().parts))
    agree_care(sale=sale, terms=bare, by=owner)
    with pytest.raises(Blocked, match="nothing to print"):
        issue_guarantee(sale=sale, by=owner, on=date(2026, 2, 2))


def test_it_ends_with_the_sale(client, owner, sale):
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    take_back_sale(sale=sale, reason="The plank let go.", method="transfer", by=owner, on=date(2026, 3, 2))
    standing = care_of(sale, on=date(2026, 3, 3))
    assert standing.is_ended and standing.next_due_on is None and not standing.is_reminded
    with pytest.raises(Blocked, match="has ended"):
        agree_care(sale=sale, terms=replace(usual_terms(), later=3), by=owner)
    client.force_login(owner)
    assert "ended with the sale" in client.get(sale.get_absolute_url()).content.decode()


def test_reminding_stops_with_a_reason_and_the_promise_stays(owner, sale):
    agreed = agree_care(sale=sale, terms=usual_terms(), by=owner)
    now = change_reminding(sale=sale, reminds=False, why="Has a tuner of her own.", by=owner)
    assert now.terms == agreed.terms and now.sha256 == agreed.sha256
    assert not care_of(sale).is_reminded
