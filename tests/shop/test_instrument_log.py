import re
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.models import Instrument, WaitingPhoto
from instruments.views.once import answered_before
from shop.models import Person
from tests.make import make_instrument, make_person
from tests.pictures import broken_upload, upload

pytestmark = pytest.mark.django_db
ADDRESS = "/stock/log/"
LEAST = {"kind": "upright", "maker": "unknown", "keys": "85"}


@pytest.fixture
def signed_in(client, buyer):
    client.force_login(buyer)
    return client


def send(client, **fields):
    return client.post(ADDRESS, {"form_token": uuid4().hex} | LEAST | fields)


def the_one() -> Instrument:
    return Instrument.objects.get()


def test_the_page_stands_where_its_name_says():
    assert reverse("shop:instrument_log") == ADDRESS


def test_maker_kind_and_keys_are_enough(signed_in):
    answer = send(signed_in)
    assert answer.url == the_one().get_absolute_url()
    assert (the_one().maker, the_one().key_count, the_one().natural_covering) == ("unknown", 85, "unknown")


@pytest.mark.parametrize("missing", LEAST)
def test_each_of_the_three_is_needed(signed_in, missing):
    assert "is still empty" in send(signed_in, **{missing: ""}).content.decode()
    assert not Instrument.objects.exists()


def test_nothing_is_said_of_a_purchase_that_nobody_spoke_of(signed_in):
    send(signed_in, bought_on=timezone.localdate().isoformat(), route="private")
    assert not the_one().purchases.exists()


def test_the_seller_becomes_a_person_and_the_price_a_purchase(signed_in):
    send(signed_in, seller_name="Wilf Arden", price_minor="£1,250", bought_on="2026-03-21", route="private")
    purchase = the_one().purchases.get()
    assert (purchase.seller.name, purchase.price_minor) == ("Wilf Arden", 125_000)


def test_a_known_seller_is_picked_instead_of_made_anew(signed_in):
    wilf = make_person(name="Wilf Arden")
    send(signed_in, seller_name="wilf", seller_choice=str(wilf.pk))
    assert (the_one().purchases.get().seller, Person.objects.count()) == (wilf, 1)


def test_a_name_we_know_is_asked_about_before_it_is_doubled(signed_in):
    make_person(name="Wilf Arden", address="3 Mill Lane")
    page = send(signed_in, seller_name="Wilf Arden").content.decode()
    assert "We know a Wilf Arden already. Is it the same person?" in page and "3 Mill Lane" in page
    assert not Instrument.objects.exists()


def test_another_person_of_the_same_name_is_somebody_new(signed_in):
    make_person(name="Wilf Arden")
    send(signed_in, seller_name="Wilf Arden", seller_choice="new")
    assert Person.objects.filter(name="Wilf Arden").count() == 2


@pytest.mark.parametrize("choice", ["999999", "x", "-1"])
def test_a_person_who_is_not_there_cannot_be_picked(signed_in, choice):
    assert send(signed_in, seller_name="W", seller_choice=choice).status_code == 200
    assert not Instrument.objects.exists()


def test_the_history_is_kept_as_told_by_the_seller(signed_in):
    send(signed_in, seller_name="Wilf Arden", history="Bought new by his grandfather")
    statement = the_one().statements.get()
    assert (statement.grade, statement.told_by) == ("told", "Wilf Arden")
    assert Instrument.objects.search("grandfather").exists()


def test_the_seller_is_taken_for_an_owner_only_where_that_is_said(signed_in):
    send(signed_in, seller_name="Wilf Arden", history="Bought new by his grandfather", bought_on="2026-03-21")
    statement = the_one().statements.get()
    assert (statement.teller, statement.told_on.isoformat()) == ("", "2026-03-21")


def test_who_told_it_and_when_are_kept_beside_the_name(signed_in):
    said = {"history": "Bought new", "told_by": "Edith", "teller": "neighbour", "told_on": "2026-03-01"}
    send(signed_in, seller_name="Wilf Arden", **said)
    statement = the_one().statements.get()
    assert (statement.told_by, statement.teller) == ("Edith", "neighbour")
    assert statement.told_on.isoformat() == "2026-03-01"


def test_a_history_without_a_teller_is_asked_about(signed_in):
    page = send(signed_in, history="Bought new").content.decode()
    assert "Who told it?" in page and "Bought new</textarea>" in page


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("1912", "1912"), ("about 1912", "1912~"), ("1910 to 1914", "1910/1914"), ("1910s", "191X")],
)
def test_dates_in_plain_words_are_kept_as_edtf(signed_in, typed, kept):
    send(signed_in, made=typed)
    assert the_one().made == kept


def test_photos_come_in_with_the_form(signed_in):
    send(signed_in, photos=[upload("a.jpg", colour="red"), upload("b.png", kind="PNG")])
    assert [photo.original_name for photo in the_one().photos.all()] == ["a.jpg", "b.png"]


def test_a_bad_photo_is_named_and_does_not_hold_up_the_rest(signed_in):
    send(signed_in, photos=[upload("good.jpg"), broken_upload("torn.jpg")])
    page = signed_in.get(reverse("stock")).content.decode()
    assert "torn.jpg is damaged" in page and the_one().photos.count() == 1


def test_a_refused_form_keeps_what_was_typed_and_the_good_photos(signed_in):
    token = uuid4().hex
    photos = [upload("good.jpg"), broken_upload("torn.jpg")]
    page = send(
        signed_in, form_token=token, made="next Tuesday", model="No. 5", photos=photos
    ).content.decode()
    assert "could not be read as a date" in page and 'value="No. 5"' in page
    assert "torn.jpg is damaged" in page and "1 kept." in page and token in page


def test_photos_kept_from_a_refused_form_go_in_with_the_mended_one(signed_in):
    token = uuid4().hex
    send(signed_in, form_token=token, made="next Tuesday", photos=[upload("good.jpg")])
    send(signed_in, form_token=token, made="1912")
    assert [photo.original_name for photo in the_one().photos.all()] == ["good.jpg"]
    assert not WaitingPhoto.objects.exists()


def test_a_kept_photo_can_be_left_out_without_a_script(signed_in):
    token = uuid4().hex
    send(signed_in, form_token=token, made="next Tuesday", photos=[upload("good.jpg")])
    kept = WaitingPhoto.objects.get()
    page = send(signed_in, form_token=token, model="No. 5", drop_photo=kept.pk).content.decode()
    assert 'value="No. 5"' in page and not WaitingPhoto.objects.exists()
    assert not Instrument.objects.exists()


def test_nobody_can_drop_what_another_sent(signed_in, client, owner):
    token = uuid4().hex
    send(signed_in, form_token=token, made="next Tuesday", photos=[upload("good.jpg")])
    client.force_login(owner)
    send(client, form_token=token, drop_photo=WaitingPhoto.objects.get().pk)
    assert WaitingPhoto.objects.exists()


def test_photos_sent_ahead_come_back_as_kept_and_the_bad_one_is_named(signed_in):
    sent = {"form_token": uuid4().hex, "photos": [upload("good.jpg"), broken_upload("torn.jpg")]}
    page = signed_in.post(reverse("shop:intake_photos"), sent).content.decode()
    assert "<html" not in page
    assert "1 kept." in page and "torn.jpg is damaged" in page


def test_photos_sent_ahead_go_in_with_their_form(signed_in):
    token = uuid4().hex
    for name, colour in (("a.jpg", "red"), ("b.jpg", "navy")):
        sent = {"form_token": token, "photos": [upload(name, colour=colour)]}
        signed_in.post(reverse("shop:intake_photos"), sent)
    send(signed_in, form_token=token)
    assert [photo.original_name for photo in the_one().photos.all()] == ["a.jpg", "b.jpg"]


def test_the_same_form_sent_again_logs_nothing_again(signed_in):
    token = uuid4().hex
    answers = [send(signed_in, form_token=token, photos=[upload()]).url for _ in range(2)]
    assert answers == [the_one().get_absolute_url()] * 2
    assert the_one().photos.count() == 1


def test_a_second_press_that_finds_the_seller_of_the_first_is_answered_like_it(signed_in, monkeypatch):
    """It looks for an earlier answer before the first press is through, and meets its seller after."""
    pressed = {"form_token": uuid4().hex, "seller_name": "Harriet Vole", "price_minor": "450"}
    first = send(signed_in, **pressed)
    looks = iter([lambda request: None])
    monkeypatch.setattr(
        "shop.views.intake.answered_before",
        lambda request: next(looks, answered_before)(request),
    )
    assert send(signed_in, **pressed).url == first.url == the_one().get_absolute_url()


def test_a_form_without_its_mark_is_shown_again_with_all_that_was_typed(signed_in):
    page = send(signed_in, form_token="", model="No. 5").content.decode()
    assert 'value="No. 5"' in page and not Instrument.objects.exists()


def test_a_serial_number_seen_before_is_pointed_out(signed_in):
    make_instrument(stock_number="25-009", maker="Halden & Rook", serial="31447")
    send(signed_in, maker="Halden & Rook", serial="31447")
    page = signed_in.get(reverse("stock")).content.decode()
    assert "25-009 has the same maker and serial number." in page


def test_makers_in_stock_can_be_picked(signed_in):
    make_instrument(maker="Thursby & Lund")
    assert '<option value="Thursby &amp; Lund">' in signed_in.get(ADDRESS).content.decode()


def test_people_who_may_be_the_seller_are_offered_while_typing(signed_in):
    make_person(name="Wilf Arden", address="3 Mill Lane")
    page = signed_in.post(reverse("shop:seller_matches"), {"seller_name": "wil"}).content.decode()
    assert re.search(r'name="seller_choice"[^>]*value="\d+"', page) and "3 Mill Lane" in page


def test_one_letter_offers_nobody(signed_in):
    make_person(name="Wilf Arden")
    page = signed_in.post(reverse("shop:seller_matches"), {"seller_name": "w"}).content.decode()
    assert page.strip() == ""


def test_what_keys_nobody_settled_counts_as_is_said_on_the_page(signed_in):
    assert "counts as ivory" in signed_in.get(ADDRESS).content.decode()


def test_a_technician_does_not_log_instruments(client, technician):
    client.force_login(technician)
    assert send(client).status_code == 403


def test_no_number_is_too_long_to_name_a_photo_that_is_not_there(signed_in):
    answer = signed_in.post(f"{ADDRESS}photos/", {"form_token": uuid4().hex, "drop_photo": "9" * 5000})
    assert answer.status_code == 200


@pytest.mark.parametrize(("address", "name"), [("/people/", "q"), (f"{ADDRESS}sellers/", "seller_name")])
def test_a_nul_in_a_name_that_is_looked_for_is_a_space(signed_in, address, name):
    make_person(name="Wil F. Arden")
    assert "Wil F. Arden" in signed_in.post(address, {name: "Wil\0f"}).content.decode()


def test_a_nul_in_the_name_of_a_seller_is_refused_beside_the_field(signed_in):
    page = send(signed_in, seller_name="Wil\0f")
    assert page.context["form"].errors["seller_name"] == ["Null characters are not allowed."]
