"""A lead from the call to the decision, and what is looked for. Triage as practised: TRADE section 1."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.problems import Refused
from shop.actions.leads import decide_lead
from shop.models import Lead, LeadPhoto, Wanted
from shop.states import LeadState
from shop.waiting_leads import leads_waiting
from shop.wishes import all_found, found_for_lead
from tests import make
from tests.pictures import broken_upload, upload

pytestmark = pytest.mark.django_db

CALL = {
    "caller": "Edda Marl",
    "maker": "Halden & Rook",
    "kind": "upright",
    "age_told": "over a hundred",
    "age_why": "her grandmother’s bill",
    "asking_minor": "0",
    "called_on": "2026-03-20",
    "story": "Stood in the parlour since the war.",
}


def send(client, name, *args, **typed):
    return client.post(reverse(name, args=args), {"form_token": uuid4().hex} | typed, follow=True)


def test_a_call_becomes_a_lead_kept_as_told_with_its_cautions(client, buyer):
    client.force_login(buyer)
    page = send(client, "shop:lead_add", **CALL).content.decode()
    lead = Lead.objects.get()
    assert lead.number.startswith("L") and lead.asking_minor == 0 and lead.state == LeadState.NEW
    assert "over a hundred" in page and "her grandmother’s bill" in page
    assert "old fraud" in page and "Never send money back" in page and "No serial number yet" in page


def test_a_call_without_a_caller_keeps_what_was_typed(client, buyer):
    client.force_login(buyer)
    page = send(client, "shop:lead_add", **CALL | {"caller": ""}).content.decode()
    assert "Who called?" in page and "Stood in the parlour" in page and not Lead.objects.exists()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"state": "visit", "reason": "Sounds whole"}, "Which day?"),
        ({"state": "offered", "reason": "Fair order"}, "How much?"),
        ({"state": "declined", "reason": ""}, "This field is required"),
        ({"state": "bought", "reason": "x"}, "Select a valid choice"),
    ],
)
def test_a_decision_says_what_it_has_to(client, buyer, typed, sentence):
    client.force_login(buyer)
    lead = make.make_lead()
    assert sentence in send(client, "shop:lead_decide", lead.number, **typed).content.decode()
    lead.refresh_from_db()
    assert lead.state == LeadState.NEW


def test_each_decision_and_its_reason_stay_in_the_history(client, buyer):
    client.force_login(buyer)
    lead = make.make_lead()
    send(client, "shop:lead_decide", lead.number, state="visit", visit_on="2026-04-02", reason="Sounds whole")
    page = send(
        client, "shop:lead_decide", lead.number, state="declined", reason="Plank split"
    ).content.decode()
    assert "Visit planned: Sounds whole" in page and "Declined: Plank split" in page


def test_what_was_bought_is_not_decided_by_hand():
    with pytest.raises(Refused):
        decide_lead(lead=make.make_lead(), state="bought", reason="x", by=make.somebody(), on=make.A_DAY)


def test_offers_are_not_shown_to_those_who_see_no_costs(client, seller):
    client.force_login(seller)
    lead = make.make_lead()
    decide_lead(
        lead=lead, state="offered", reason="Fair", offered_minor=123_456, by=make.somebody(), on=make.A_DAY
    )
    page = client.get(lead.get_absolute_url()).content.decode()
    assert "1,234.56" not in page and "Offer made" in page
    assert "offered_minor" not in client.get(reverse("shop:lead_decide", args=[lead.number])).content.decode()


def test_photographs_added_by_us_and_removed_for_good(client, buyer, django_capture_on_commit_callbacks):
    client.force_login(buyer)
    lead = make.make_lead()
    address = reverse("shop:lead_photos", args=[lead.number])
    page = client.post(address, {"photos": [upload(), broken_upload()]}, follow=True).content.decode()
    photo = LeadPhoto.objects.get()
    assert "1 new photograph kept" in page and "broken.jpg" in page
    assert client.get(reverse("shop:lead_photo", args=[lead.number, photo.pk, "thumb"])).status_code == 200
    with django_capture_on_commit_callbacks(execute=True):
        client.post(reverse("shop:lead_photo_drop", args=[lead.number, photo.pk]))
    assert not LeadPhoto.objects.exists() and not photo.original.storage.exists(photo.original.name)


def test_a_wish_is_met_by_a_lead_and_by_an_arrival_with_the_reasons(client, buyer):
    customer = make.make_person(name="Priya Ravenhall")
    make.make_wanted(maker="halden", kind="upright", least_keys=85, person=customer)
    lead = make.make_lead(kind="upright")
    instrument = make.make_instrument(height_cm=122)
    found = {each.url: each.match for each in all_found()}
    assert found[lead.get_absolute_url()].to_ask == ("how many keys it has",)
    assert "85 keys" in found[reverse("instrument", args=[instrument.stock_number])].reasons
    client.force_login(buyer)
    assert "for Priya Ravenhall: Halden" in client.get(lead.get_absolute_url()).content.decode()
    assert instrument.stock_number in client.get(reverse("shop:wanted")).content.decode()


def test_a_wish_that_fits_nothing_known_is_not_met():
    make.make_wanted(maker="Dornstrand")
    make.make_wanted(maker="", kind="grand")
    assert found_for_lead(make.make_lead(kind="upright")) == []


def test_a_wish_says_something_and_ends_with_a_reason(client, buyer):
    client.force_login(buyer)
    page = send(client, "shop:wanted_add", note="anything", most_minor="900").content.decode()
    assert "everything would match" in page and not Wanted.objects.exists()
    send(client, "shop:wanted_add", maker="Halden", least_cm="110", most_cm="130")
    wish = Wanted.objects.get()
    send(client, "shop:wanted_close", wish.pk, why="Found elsewhere")
    assert not Wanted.objects.open().exists() and all_found() == []


def test_the_list_takes_no_more_queries_with_more_leads(client, buyer, django_assert_max_num_queries):
    client.force_login(buyer)
    make.make_lead()
    client.get(reverse("shop:leads"))
    with django_assert_max_num_queries(12) as before:
        client.get(reverse("shop:leads"))
    for day in range(6):
        make.make_lead(on=make.A_DAY + timedelta(days=day), person=make.make_person(name=f"Caller {day}"))
    with django_assert_max_num_queries(12) as after:
        client.get(reverse("shop:leads"))
    assert len(after) <= len(before)


def test_what_waits_stands_on_today_with_late_visits_first(client, buyer):
    client.force_login(buyer)
    rung = make.make_lead(maker="Orlestone")
    visit = make.make_lead(maker="Dornstrand")
    decide_lead(lead=visit, state="visit", visit_on=make.A_DAY, reason="x", by=buyer, on=make.A_DAY)
    lines = leads_waiting(make.A_DAY + timedelta(days=2)).lines
    assert [line.url for line in lines] == [visit.get_absolute_url(), rung.get_absolute_url()]
    assert lines[0].is_late and "late" in lines[0].detail
    make.make_wanted(maker="Orlestone", person=make.make_person(name="Priya Ravenhall"))
    page = client.get(reverse("today")).content.decode()
    assert "Offered to us" in page and "For Priya Ravenhall: Orlestone" in page
