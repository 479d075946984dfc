"""Wishes on the pages: of the wish, of the person, of the instrument and of the lead; from an enquiry on."""

from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.actions.tone import set_tone
from instruments.actions.weighing import record_weighing
from instruments.problems import Refused
from shop.actions.enquiries import put_asker_on_file
from shop.models import Enquiry, Person, Wanted
from shop.offered import free_stock, offered_of, touch_offs
from shop.wishes import all_found, wants_of, who_looks_for
from tests import make
from tests.make_enquiry import make_enquiry

pytestmark = pytest.mark.django_db


def send(client, address, **typed):
    return client.post(address, {"form_token": uuid4().hex} | typed, follow=True)


def page_of(client, address) -> str:
    return client.get(address).content.decode()


def test_what_speaks_against_stands_beside_what_speaks_for(client, buyer):
    client.force_login(buyer)
    person = make.make_person(name="Priya Ravenhall")
    wish = make.make_wanted(
        person=person, kind="upright", most_cm=130, most_minor=200_000, touch="lighter", must=["kind", "size"]
    )
    instrument = make.make_instrument(height_cm=Decimal(124))
    make.make_price(instrument=instrument, amount_minor=238_000)
    for address in (wish.get_absolute_url(), person.get_absolute_url(), instrument.get_absolute_url()):
        page = page_of(client, address)
        assert "height 124 cm fits up to 130" in page, address
        assert "£380.00 over budget" in page and "its touch: not measured" in page, address
    assert "Who has been looking for this" in page_of(client, instrument.get_absolute_url())
    lead = make.make_lead(kind="upright", height_cm=Decimal(134))
    assert "Priya" not in page_of(client, lead.get_absolute_url())


def test_who_looks_for_a_piano_is_not_said_to_a_technician(client, technician):
    client.force_login(technician)
    instrument = make.make_instrument()
    make.make_wanted(person=make.make_person(name="Priya Ravenhall"))
    assert "Ravenhall" not in page_of(client, instrument.get_absolute_url())


def test_touch_is_the_mean_of_the_newest_whole_weigh_off(owner):
    heavy, partly, not_weighed = (make.make_instrument(by=owner) for _ in range(3))
    make.make_weighing(instrument=heavy, by=owner, down_g=54)
    record_weighing(
        instrument=partly, readings=[(key, 54, 26) for key in range(1, 20)], by=owner, on=make.A_DAY
    )
    assert touch_offs([heavy, partly, not_weighed]) == {heavy.pk: Decimal("4.0")}


def test_a_tone_that_is_wished_for_is_held_against_our_ear(owner):
    instrument = make.make_instrument()
    set_tone(instrument=instrument, words=["warm"], on=date(2026, 11, 3), by=owner)
    (found,) = free_stock()
    assert "warm" in offered_of(found).said


def test_what_may_not_be_otherwise_names_only_what_was_asked_for(client, seller):
    wish = make.make_wanted(
        maker="", kind="upright", most_cm=118, must=["maker", "kind", "size", "keys", "budget"]
    )
    client.force_login(seller)
    page = page_of(client, reverse("shop:wanted_page", args=[wish.pk]))
    assert "<dd>The kind, the size</dd>" in page


def test_wishes_are_kept_whole_and_corrected(client, seller):
    client.force_login(seller)
    person = make.make_person(name="Priya Ravenhall")
    typed = {
        "person": person.pk,
        "kind": "upright",
        "most_cm": "125",
        "least_keys": "88",
        "touch": "lighter",
        "touch_within_g": "4,5",
        "tone": "warm, clear",
        "finish": "walnut",
        "most_minor": "2500",
        "place": "Hexmoor",
        "until": "2027-03-21",
        "must": ["kind", "size"],
    }
    page = send(client, reverse("shop:wanted_add"), **typed).content.decode()
    wish = Wanted.objects.get()
    assert (wish.touch_within_g, wish.must, wish.is_told) == (Decimal("4.5"), ["kind", "size"], False)
    assert (
        "Upright, at most 125 cm, 88 keys or more, touch lighter than our usual, sound: warm, clear" in page
    )
    send(client, reverse("shop:wanted_edit", args=[wish.pk]), **typed | {"tone": ""})
    wish.refresh_from_db()
    assert wish.tone == "" and wish.history.count() == 2


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"touch": "lighter", "touch_within_g": "50"}, "is 20 at most"),
        ({"least_cm": "130", "most_cm": "110"}, "That is less than the least."),
        ({"must": ["price"], "maker": "Halden"}, "not among the choices"),
        ({"maker": "Halden", "is_told": "on"}, "Nobody is named who could be told"),
        ({"place": "Hexmoor"}, "Say at least one thing"),
        ({"tone": "W" * 121}, "at most 120 characters"),
    ],
)
def test_a_wish_that_cannot_be_kept_says_why(client, seller, typed, sentence):
    client.force_login(seller)
    page = send(client, reverse("shop:wanted_add"), **typed).content.decode()
    assert sentence in page and not Wanted.objects.exists()


def test_holding_all_against_all_takes_a_fixed_number_of_queries(owner, django_assert_max_num_queries):
    def more():
        make.make_wanted(person=make.make_person())
        make.make_lead()
        make.make_price(instrument=(piano := make.make_instrument()))
        make.make_weighing(instrument=piano)

    more()
    with django_assert_max_num_queries(8) as before:
        assert len(all_found()) == 2
    more()
    more()
    with django_assert_max_num_queries(8) as after:
        assert len(all_found()) == 18
    assert len(before) == len(after)


def test_what_is_promised_is_looked_for_by_nobody(owner):
    make.make_wanted(person=make.make_person())
    lent = make.make_running_trial(instrument=make.make_instrument()).instrument
    assert who_looks_for(lent) == [] and len(who_looks_for(make.make_instrument())) == 1


def test_somebody_who_asked_is_put_on_the_card_that_is_there_by_a_question(client, seller):
    client.force_login(seller)
    known = make.make_person(name="Eleanor Sorrel", email="NELL@sorrel.example")
    enquiry = make_enquiry(telephone="01632 960 123", instrument=make.make_instrument(), tell_me=True)
    address = reverse("shop:enquiry_customer", args=[enquiry.number])
    assert "Eleanor Sorrel, who has the same e-mail address" in page_of(client, address)
    assert "is still empty" in send(client, address).content.decode()
    assert Enquiry.objects.get().person is None
    send(client, address, card=known.pk)
    known.refresh_from_db()
    assert Enquiry.objects.get().person == known and known.telephone == "01632 960 123"
    assert known.email == "NELL@sorrel.example" and Person.objects.count() == 1
    with pytest.raises(Refused):
        put_asker_on_file(enquiry=enquiry, person=None, by=seller)
    form = page_of(client, reverse("shop:wanted_add") + f"?enquiry={enquiry.number}")
    assert f'value="{known.pk}" checked' in form or f'value="{known.pk}"' in form
    send(
        client,
        reverse("shop:wanted_add") + f"?enquiry={enquiry.number}",
        person=known.pk,
        kind="upright",
        most_cm="120",
        is_told="on",
    )
    wish = Wanted.objects.get()
    assert wish.enquiry == enquiry and wish.told_agreed_on == enquiry.came_on
    assert wish.words in page_of(client, enquiry.get_absolute_url())
    assert [each for each, _ in wants_of(known)] == [wish]


def test_somebody_nobody_knows_becomes_a_new_card(client, seller):
    client.force_login(seller)
    enquiry = make_enquiry()
    send(client, reverse("shop:enquiry_customer", args=[enquiry.number]), card="new")
    person = Person.objects.get()
    assert (person.name, person.email) == ("Nell Sorrel", "nell@sorrel.example")
    assert "Asked us: a question" in page_of(client, person.get_absolute_url())


def test_a_wish_past_its_day_is_asked_about(client, seller):
    client.force_login(seller)
    wish = make.make_wanted(until=timezone.localdate() - timedelta(days=1))
    assert "ask whether it still holds" in page_of(client, wish.get_absolute_url())
