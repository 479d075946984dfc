"""Where a sentence of a listing comes from: by mouse, by keyboard, by touch, and without script."""

import pytest

from shop.actions.listing import draft_listing, edit_listing
from tests import make
from tests.browser import PHONE

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def listing(owner):
    instrument = make.make_instrument(serial="31447", made="1912~", made_basis="mark")
    listing = draft_listing(instrument=instrument, by=owner)
    return edit_listing(listing=listing, by=owner, short_text="Made in 1912.")


def editor_of(listing, page):
    page.goto(f"/stock/{listing.instrument.stock_number}/listing/")
    return page.get_by_role("list", name="The instrument, sentence by sentence").locator("li").nth(1)


def test_a_source_shows_on_hover_and_focus_and_goes_with_escape(open_for, owner, listing):
    page = open_for(owner, viewport={"width": 1440, "height": 900})
    line = editor_of(listing, page)
    source = line.locator(".sentence-source")
    assert not source.is_visible()
    line.locator(".sentence").hover()
    assert source.is_visible()
    page.keyboard.press("Escape")
    assert not source.is_visible()
    page.mouse.move(0, 0)
    line.get_by_role("button", name="Serial number 31447.", description="Serial number").focus()
    assert source.is_visible()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent").startswith("Open the record")
    page.keyboard.press("Enter")
    page.wait_for_url("**/stock/26-001/#identity")


def test_a_tap_shows_a_source_on_a_phone(open_for, owner, listing):
    page = open_for(owner, viewport=PHONE, has_touch=True)
    line = editor_of(listing, page)
    line.locator(".sentence").tap()
    assert line.locator(".sentence-source").is_visible()
    own = page.locator(".sentences > .own")
    own.locator(".sentence").tap()
    assert "is firmer than what is on file" in own.locator(".sentence-source").inner_text()
    assert not line.locator(".sentence-source").is_visible()


def test_without_script_every_source_stands_under_its_sentence(open_for, owner, listing):
    page = open_for(owner, viewport=PHONE, java_script_enabled=False)
    line = editor_of(listing, page)
    assert line.locator(".sentence-source").is_visible()
    assert not page.get_by_role("button", name="Copy the notice").is_visible()
