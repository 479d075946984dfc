"""A key accepted outside its curve: told on the item, in the record, in the window and on the sheet."""

from decimal import Decimal

import pytest
from django.urls import reverse

from instruments.actions.weighing import record_weighing
from shop.actions.listing import draft_listing, edit_listing
from shop.actions.papers import sale_sheet_of
from shop.models import Publication
from tests import make
from tests.reading import Reading
from workorders.actions.items import close_item, leave_item, reopen_item

pytestmark = pytest.mark.django_db

CURVE = {"touch_bass_g": 50, "touch_middle_g": 50, "touch_treble_g": 50, "touch_tolerance_g": 2}
PRIVATE = "Wilf Arden is in a hurry and will not notice."
LIMIT = (
    "Set the touch weight: accepted by the shop without the proof it asks for. "
    "Touch weight outside its curve: C4 (58 g, 50 g wanted)."
)


@pytest.fixture
def listing(owner):
    instrument = make.make_instrument(by=owner, **CURVE)
    item = make.make_item(
        order=make.make_order(instrument=instrument), name="Set the touch weight", acceptance="touch"
    )
    grams = dict.fromkeys(range(1, 86), (50, 25)) | {40: (58, 20)}
    weighing = record_weighing(
        instrument=instrument,
        readings=[(key, Decimal(down), Decimal(up)) for key, (down, up) in grams.items()],
        stage="after_work",
        by=owner,
        on=make.A_DAY,
    )
    close_item(
        item=item,
        by=owner,
        on=make.A_DAY,
        result="Weighed off.",
        weighing=weighing,
        override_reason=PRIVATE,
        override_public="One key, with its own spring.",
    )
    make.make_photo(instrument=instrument)
    make.make_price(instrument=instrument)
    listing = draft_listing(instrument=instrument, by=owner)
    words = {"body": "Ours.", "work_done": "All done.", "not_done": "", "faults": "", "history_words": ""}
    return edit_listing(listing=listing, by=owner, **words)


def on_paper(listing):
    return Reading(sale_sheet_of(listing, on=make.A_DAY)).text


def test_the_limit_is_stated_whatever_a_person_wrote_and_the_private_reason_nowhere(client, owner, listing):
    make.put_in_window(listing, by=owner)
    client.logout()
    public = client.get(listing.get_absolute_url()).content.decode()
    paper = on_paper(listing)
    kept = Publication.objects.get().words["limits"]
    for told in (public, paper, kept):
        assert LIMIT in told
        assert "Reason given: One key, with its own spring." in told
        assert "hurry" not in told and "Arden" not in told


def test_the_owner_reads_the_limit_beside_the_draft_and_the_reason_on_the_item(client, owner, listing):
    client.force_login(owner)
    stock_number = listing.instrument.stock_number
    editor = client.get(reverse("shop:listing_edit", args=[stock_number])).content.decode()
    assert LIMIT in editor and "Accepted outside its limit: Touch weight outside its curve" in editor
    item = listing.instrument.work_orders.get().items.get()
    assert PRIVATE in client.get(item.get_absolute_url()).content.decode()
    assert PRIVATE in client.get(listing.instrument.get_absolute_url()).content.decode()
    record = client.get(reverse("shop:record_page", args=[stock_number])).content.decode()
    assert PRIVATE in record


def test_a_name_that_must_not_go_public_takes_the_reason_with_it(owner, listing):
    item = listing.instrument.work_orders.get().items.get()
    seller = make.make_person(name="Wilf Arden")
    make.make_purchase(instrument=listing.instrument, seller=seller, by=owner)
    reopen_item(item=item, reason="Said too much.", by=owner, on=make.A_DAY)
    close_item(
        item=item,
        by=owner,
        on=make.A_DAY,
        result="Weighed.",
        override_reason="x",
        override_public="Wilf Arden knows.",
    )
    paper = on_paper(listing)
    assert "The keys were not weighed off after the work." in paper and "Arden" not in paper


def test_required_work_that_was_left_is_stated_too(owner, listing):
    item = make.make_item(order=listing.instrument.work_orders.get(), name="Renew the dampers")
    leave_item(item=item, reason="The customer pays for nothing.", by=owner, on=make.A_DAY)
    paper = on_paper(listing)
    assert "Renew the dampers: asked for, and left as it is." in paper and "pays for nothing" not in paper
