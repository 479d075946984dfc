"""A lead from the call to the decision, and what is looked for. Triage as practised: TRADE section 1."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.problems import Refused
from shop.actions.leads import decide_lead
from shop.actions.offers import keep_calculation
from shop.actions.photo_links import make_link
from shop.looked_for import wanted_and_found
from shop.models import Lead, LeadPhoto, ShopProfile, Wanted
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
        ({"state": "declined", "reason": ""}, "is still empty"),
        ({"state": "bought", "reason": "x"}, "that is not among the choices"),
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
    assert "for Priya Ravenhall</a>: Halden" in client.get(lead.get_absolute_url()).content.decode()
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


def test_a_lead_follows_its_photographs_and_never_goes_back(client, buyer):
    lead = make.make_lead()
    make_link(lead=lead, by=buyer, on=make.A_DAY)
    lead.refresh_from_db()
    assert lead.state == LeadState.PHOTOS and "link for them was made" in lead.decision
    make.make_lead_photo(lead=lead)
    client.force_login(buyer)
    assert "1 photograph to look at" in client.get(lead.get_absolute_url()).content.decode()
    assert "1 photograph to look at" in client.get(reverse("shop:leads")).content.decode()
    decide_lead(lead=lead, state="visit", visit_on=make.A_DAY, reason="Whole", by=buyer, on=make.A_DAY)
    make_link(lead=lead, by=buyer, on=make.A_DAY)
    make.make_lead_photo(lead=lead, colour="navy")
    lead.refresh_from_db()
    assert lead.state == LeadState.VISIT and lead.decision == "Whole" and not lead.photos_to_look_at


def test_photographs_that_came_by_letter_move_a_new_lead_on(buyer):
    lead = make.make_lead()
    make.make_lead_photo(lead=lead, by=buyer)
    lead.refresh_from_db()
    assert lead.state == LeadState.PHOTOS and lead.state_words == "1 photograph to look at"


def test_what_is_looked_for_is_told_apart_by_where_it_stands():
    make.make_wanted(maker="Halden", kind="upright")
    lead, instrument = make.make_lead(kind="upright"), make.make_instrument()
    groups = {group.heading: [line.url for line in group.lines] for group in wanted_and_found()}
    assert groups == {
        "Looked for, and in stock": [reverse("instrument", args=[instrument.stock_number])],
        "Looked for, and offered to us": [lead.get_absolute_url()],
    }


def test_a_wish_for_any_upright_takes_one_line():
    make.make_wanted(maker="", kind="upright")
    for _ in range(3):
        make.make_instrument()
    (group,) = wanted_and_found()
    (line,) = group.lines
    assert line.words == "Upright: 3 fit" and "nothing but the kind" in line.detail


def test_a_wish_that_many_fit_takes_one_line():
    make.make_wanted(maker="Halden", kind="upright", least_keys=85)
    for _ in range(4):
        make.make_instrument()
    (group,) = wanted_and_found()
    (line,) = group.lines
    assert line.words == "Halden upright, 85 keys or more: 4 fit" and "ask what else matters" in line.detail


def test_a_link_of_too_many_days_keeps_what_was_typed(client, buyer):
    client.force_login(buyer)
    lead = make.make_lead()
    page = send(client, "shop:link_make", lead.number, days="400").content.decode()
    assert 'value="400"' in page and "open for 1 to 30 days" in page and not lead.links.exists()


@pytest.fixture
def worked_out(buyer):
    """Sold for 3,000 without costs or tax, 600 wanted: 2,400 at most."""
    ShopProfile(pk=1, tax_scheme="none").save()
    lead = make.make_lead()
    values = {"sale_minor": 300_000, "profit_minor": 60_000}
    keep_calculation(lead=lead, values=values, by=buyer, on=make.A_DAY)
    return lead


OFFER = {"state": "offered", "reason": "They will not take less"}


def test_an_offer_above_the_most_is_asked_about_once(client, buyer, worked_out):
    client.force_login(buyer)
    page = send(client, "shop:lead_decide", worked_out.number, **OFFER, offered_minor="2650").content.decode()
    assert "£2,650.00 is £250.00 above the most we may pay, £2,400.00" in page
    assert "They will not take less" in page and 'value="2650"' in page and 'value="265000"' in page
    worked_out.refresh_from_db()
    assert worked_out.state == LeadState.NEW
    send(client, "shop:lead_decide", worked_out.number, **OFFER, offered_minor="2,650", asked_about="265000")
    worked_out.refresh_from_db()
    assert worked_out.offered_minor == 265_000
    for name in ("shop:lead_page", "shop:lead_offer"):
        assert "£250.00 above" in client.get(reverse(name, args=[worked_out.number])).content.decode()


def test_another_amount_is_asked_about_anew_and_the_most_itself_is_not(client, buyer, worked_out):
    client.force_login(buyer)
    asked = {"offered_minor": "2700", "asked_about": "265000"}
    page = send(client, "shop:lead_decide", worked_out.number, **OFFER, **asked).content.decode()
    assert "£300.00 above" in page
    send(client, "shop:lead_decide", worked_out.number, **OFFER, offered_minor="2400")
    worked_out.refresh_from_db()
    assert worked_out.offered_minor == 240_000


def test_whoever_sees_no_costs_is_not_told_the_most(client, seller, buyer, worked_out):
    decide_lead(lead=worked_out, **OFFER, offered_minor=265_000, by=buyer, on=make.A_DAY)
    client.force_login(seller)
    page = client.get(worked_out.get_absolute_url()).content.decode()
    assert "above the most" not in page and "2,650" not in page


def test_the_calculation_leads_on(client, buyer, worked_out):
    client.force_login(buyer)
    page = client.get(reverse("shop:lead_offer", args=[worked_out.number])).content.decode()
    decide = reverse("shop:lead_decide", args=[worked_out.number])
    assert f'href="{decide}?state=offered"' in page and f'href="{decide}?state=declined"' in page
    assert reverse("shop:lead_buy", args=[worked_out.number]) in page
    chosen = client.get(f"{decide}?state=declined").content.decode()
    assert re.findall(r'<input type="radio"[^>]* value="(\w+)"[^>]* checked', chosen) == ["declined"]
