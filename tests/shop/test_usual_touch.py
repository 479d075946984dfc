"""The shop's usual touch, and what it gives to instruments logged from then on."""

from decimal import Decimal

import pytest

from shop.actions.intake import log_instrument
from shop.actions.profile import change_profile
from shop.models import ShopProfile
from tests.make import A_DAY

pytestmark = pytest.mark.django_db


def logged(by):
    return log_instrument(identity={"kind": "upright", "maker": "Halden & Rook"}, by=by, on=A_DAY)


def test_the_shop_begins_with_the_house_curve(buyer):
    instrument = logged(buyer)
    assert (instrument.touch_bass_g, instrument.touch_middle_g, instrument.touch_treble_g) == (52, 50, 48)


def test_usual_touch_of_the_shop_goes_to_what_is_logged_from_then_on(buyer, owner):
    before = logged(buyer)
    change_profile(by=owner, touch_middle_g=Decimal("47.5"))
    assert logged(buyer).touch_middle_g == Decimal("47.5")
    before.refresh_from_db()
    assert before.touch_middle_g == 50


def test_owner_sets_it_on_the_page_of_the_shop_s_terms(client, owner):
    client.force_login(owner)
    page = client.get("/terms/")
    form = {name: page.context["form"][name].value() or "" for name in page.context["form"].fields}
    client.post("/terms/", form | {"touch_bass_g": "54,5"})
    assert ShopProfile.current().touch_bass_g == Decimal("54.5")


def test_touch_that_no_key_has_is_refused(client, owner):
    client.force_login(owner)
    page = client.get("/terms/")
    form = {name: page.context["form"][name].value() or "" for name in page.context["form"].fields}
    assert b"is 30 at least" in client.post("/terms/", form | {"touch_bass_g": "5"}).content
