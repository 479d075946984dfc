"""In a real browser: what is typed of people, and what proves a link, is in no address that is asked for."""

import pytest
from django.urls import reverse

from shop.actions.passwords import way_to_a_new_password
from tests import make

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]
NEW = "copper-heron-lamp"


@pytest.fixture
def asked(phone) -> list[str]:
    """Every address that the browser asks for."""
    seen = []
    phone.on("request", lambda request: seen.append(request.url))
    return seen


def test_a_person_is_found_while_typing_and_by_the_list(signed_in, asked):
    make.make_person(name="Greta Ostler", address="3 Mill Lane")
    signed_in.goto(reverse("shop:wanted_add"))
    signed_in.locator("[data-finds]").first.press_sequentially("ostler")
    signed_in.get_by_text("Greta Ostler").first.wait_for()
    signed_in.goto(reverse("shop:people"))
    signed_in.fill("#q", "ostler")
    signed_in.get_by_role("button", name="Find").click()
    signed_in.get_by_role("heading", name="Greta Ostler").wait_for()
    assert asked and not [url for url in asked if "ostler" in url.casefold()]


def test_a_link_fills_its_box_and_is_sent_in_the_body_alone(phone, asked, owner, live_server):
    way = way_to_a_new_password(owner)
    phone.goto(f"/login/new/#{way}")
    phone.locator("[name=way]").wait_for(state="attached")
    assert phone.locator("[name=way]").input_value() == way
    assert phone.locator("[name=way]").is_hidden() and "#" not in phone.url
    phone.fill("[name=new]", NEW)
    phone.fill("[name=again]", NEW)
    phone.get_by_role("button", name="Keep it").click()
    phone.get_by_text("The new password holds.").wait_for()
    assert not [url for url in asked if way in url.partition("#")[0]]
    owner.refresh_from_db()
    assert owner.check_password(NEW)
