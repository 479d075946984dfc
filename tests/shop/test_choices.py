"""One of many found by a few letters: a person or another instrument, with and without script."""

from urllib.parse import urlencode
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.search import refresh_search_text
from shop.forms.choices import LONGEST_BESIDE, MOST_SHOWN, NEWEST_SHOWN, PersonChoice
from shop.models import Lead, Person, Promise, Wanted
from tests import make
from tests.journeys.page_forms import forms_on

pytestmark = pytest.mark.django_db


def looked(client, asked: dict, name: str = "shop:person_matches"):
    """As the box asks while somebody types: what it is for stands in the address, what is typed is sent."""
    about = {name: asked[name] for name in ("field", "nobody") if name in asked}
    typed = {name: value for name, value in asked.items() if name not in about}
    return client.post(f"{reverse(name)}?{urlencode(about)}", typed)


@pytest.fixture
def people():
    """More than a list shows, with two of one name."""
    others = [make.make_person(name=f"Caller {number:02}") for number in range(MOST_SHOWN + 3)]
    first = make.make_person(name="Priya Ravenhall", address="Rose Bank, Hexmoor")
    return {"first": first, "second": make.make_person(name="Priya Ravenhall"), "others": others}


def hold_page() -> str:
    return reverse("shop:hold_place", args=[make.make_instrument().stock_number])


def choices_on(page: str, name: str = "person") -> list[str]:
    return [choice for form in forms_on(page, "/") for choice in form.choices_of(name)]


def test_a_form_shows_a_few_however_many_there_are(client, seller, people):
    client.force_login(seller)
    page = client.get(hold_page()).content.decode()
    assert len(choices_on(page)) == NEWEST_SHOWN + 1 and "The newest. Type for the others." in page
    assert "Somebody new" in page and "Caller 00" not in page


def test_find_shows_the_form_again_as_it_stood_and_judges_nothing(client, seller, people):
    client.force_login(seller)
    typed = {"find": "person", "person": "", "person_find": "hexmoor", "note": "Until Friday"}
    page = client.post(hold_page(), typed | {"form_token": uuid4().hex}).content.decode()
    assert choices_on(page) == [str(people["first"].pk), ""] and 'value="hexmoor"' in page
    assert "Until Friday" in page and "Not saved yet" not in page and not Promise.objects.exists()


def test_the_only_one_found_is_chosen_unless_somebody_is_named_beside(client, seller, people):
    client.force_login(seller)
    typed = {"find": "person", "person": people["others"][0].pk, "person_find": "hexmoor"}
    page = client.post(hold_page(), typed | {"form_token": uuid4().hex}).content.decode()
    assert f'value="{people["first"].pk}" checked' in page
    assert page.count(" checked> <span>") == 1
    assert "The only one that goes with it; it is chosen." in page
    named = typed | {"person": "", "new_name": "Priya of the mill", "form_token": uuid4().hex}
    assert f'value="{people["first"].pk}" checked' not in client.post(hold_page(), named).content.decode()


def test_what_is_chosen_stays_among_what_is_found(client, seller, people):
    client.force_login(seller)
    asked = {"field": "person", "person": people["others"][0].pk, "person_find": "ravenhall"}
    page = looked(client, asked).content.decode()
    wanted = [people["others"][0], people["second"], people["first"]]
    first = page.split('<input type="radio"')[1]
    assert f'value="{wanted[0].pk}" checked' in first and "Caller 00" in first
    assert {str(each.pk) for each in wanted} < set(page.replace('"', " ").split())
    assert "Rose Bank, Hexmoor" in page


def test_what_was_typed_and_not_chosen_is_never_passed_over(client, buyer, people):
    client.force_login(buyer)
    typed = {"maker": "Halden", "person": "", "person_find": "raven", "form_token": uuid4().hex}
    page = client.post(reverse("shop:wanted_add"), typed).content.decode()
    assert "Choose who “raven” is, or empty the box." in page and not Wanted.objects.exists()
    typed |= {"person": people["others"][0].pk}
    page = client.post(reverse("shop:wanted_add"), typed).content.decode()
    assert "Choose who “raven” is" in page and not Wanted.objects.exists()
    client.post(reverse("shop:wanted_add"), typed | {"person": people["second"].pk})
    assert Wanted.objects.get().person == people["second"]


def test_somebody_named_beside_needs_no_choice(client, buyer, people):
    client.force_login(buyer)
    typed = {"person_find": "Edda", "caller": "Edda Marl", "maker": "Halden", "called_on": "2026-03-20"}
    client.post(reverse("shop:lead_add"), typed | {"form_token": uuid4().hex})
    assert Lead.objects.get().caller == "Edda Marl" and Lead.objects.get().person is None


def test_of_many_that_go_with_it_a_few_are_shown_and_more_letters_asked_for(client, seller, people):
    client.force_login(seller)
    asked = {"field": "person", "person_find": "caller"}
    page = looked(client, asked).content.decode()
    assert page.count("<span>Caller") == MOST_SHOWN and "There are more: type more of it." in page


def test_nobody_found_is_said(client, seller, people):
    client.force_login(seller)
    asked = {"field": "person", "person_find": "zzz", "nobody": "shop"}
    page = looked(client, asked).content.decode()
    assert "Nobody on file goes with “zzz”." in page and "The shop itself" in page
    assert looked(client, asked | {"field": "a b"}).status_code == 404


def test_another_instrument_is_found_by_its_maker(client, seller):
    trial = make.make_running_trial()
    for _ in range(MOST_SHOWN + 2):
        make.make_instrument()
    other = make.make_instrument(maker="Orlestone")
    make.make_price(instrument=other, amount_minor=345_600)
    refresh_search_text(other)
    client.force_login(seller)
    page = client.get(reverse("shop:trial_exchange", args=[trial.number])).content.decode()
    assert len([choice for choice in choices_on(page, "other") if choice]) == NEWEST_SHOWN
    asked = {"field": "other", "other_find": "orleston"}
    found = looked(client, asked, "shop:instrument_matches").content.decode()
    assert f"{other.stock_number} Orlestone, " in " ".join(found.split()) and "£3,456.00" in found
    assert found.count('type="radio"') == 1


def test_more_people_take_no_more_queries(client, seller, django_assert_max_num_queries):
    client.force_login(seller)
    page = hold_page()
    client.get(page)
    with django_assert_max_num_queries(22) as before:
        client.get(page)
    for number in range(40):
        make.make_person(name=f"Caller {number:02}")
    with django_assert_max_num_queries(22) as after:
        client.get(page)
    assert len(after) == len(before)


def test_an_address_too_long_for_the_list_says_that_it_goes_on():
    where = "The Granary Flat behind the Corn Exchange, 12 Narrow Lane, Ostermouth"
    long = Person(name="Nell Sorrel", address=where)
    short = Person(name="Nell Sorrel", address="12 Narrow Lane, Ostermouth")
    described = PersonChoice(label="Seller").describe
    assert described(long)[1].endswith("…")
    assert len(described(long)[1]) == LONGEST_BESIDE
    assert described(short)[1] == short.address
