"""A seller's story, told at the door and printed as told, falls to what the bench sees and photographs."""

import re

import pytest
from django.utils import timezone

from instruments.actions.tell_tales import load_tell_tales
from instruments.models import Instrument, TellTale
from shop.models import HistoryIssue, ShopProfile
from tests import make
from tests.browser import PHONE
from tests.journeys import steps
from tests.reading import Reading

pytestmark = pytest.mark.django_db(transaction=True)

SELLER, SECRET = "Canary Seller", "Canary debts are why it goes"
STORY = "It was restrung throughout in 1985"
AS_TOLD = f"The last owner told us that {STORY[:1].lower()}{STORY[1:]}"
NOT_BORNE_OUT = "Something was said of its strings that did not bear testing."


def test_a_told_story_falls_at_the_bench_and_the_draft_the_papers_and_the_page_follow(
    open_for, open_page, buyer, technician, seller
):
    load_tell_tales()
    ShopProfile.objects.create(pk=1, name="Larkrow Pianos", address="3 Larkrow, Kettlebeck")
    phone = open_for(buyer, viewport=PHONE, has_touch=True, is_mobile=True)
    instrument = the_buyer_logs_it_with_its_story(phone)
    the_story_is_sorted_so_that_it_can_be_tested(phone, instrument)
    a_secret_is_kept(phone, instrument)

    make.make_price(instrument=instrument)
    desk = open_for(seller, viewport=steps.SALES_DESK)
    steps.show_photos(desk, instrument)
    steps.publish(desk, instrument)
    assert AS_TOLD in told_by_the_draft(desk)

    tablet = open_for(technician, viewport=steps.TECHNICIANS_TABLET, has_touch=True)
    the_bench_ticks_what_it_sees(tablet, instrument)

    desk.goto(f"/stock/{instrument.stock_number}/listing/")
    assert STORY not in told_by_the_draft(desk)
    desk.get_by_text(f"The saved words still say “{STORY}”").wait_for()
    issue = the_history_is_issued(desk, instrument)
    stranger = open_page(viewport=PHONE)
    read = public_words(desk, stranger, instrument, issue)
    for where, words in read.items():
        assert STORY.casefold() not in words.casefold(), where
        assert "restrung" not in words, where
        assert "Canary" not in words, where
        assert (NOT_BORNE_OUT in words) == (where != "window"), where
    assert (
        f"{issue.sha256[:4]} {issue.sha256[4:8]}" in public_words(desk, stranger, instrument, issue)["card"]
    )


def the_buyer_logs_it_with_its_story(phone) -> Instrument:
    phone.goto("/stock/log/")
    phone.get_by_label("Upright").check()
    phone.get_by_label("Maker", exact=True).fill("Halden & Rook")
    phone.get_by_label("85, A0 to A7").check()
    phone.set_input_files("#id_photos", [steps.upload("front.jpg", "peru")])
    phone.get_by_text("1 kept.").wait_for()
    phone.fill("#id_seller_name", SELLER)
    phone.fill("#id_history", STORY)
    phone.select_option("#id_teller", "last_owner")
    phone.locator("[name=natural_covering][value=celluloid]").check()
    phone.locator("[name=sharp_covering][value=stained]").check()
    phone.get_by_role("button", name="Log it").click()
    phone.get_by_text("Logged as").first.wait_for()
    return Instrument.objects.latest("id")


def the_story_is_sorted_so_that_it_can_be_tested(phone, instrument) -> None:
    said = instrument.statements.get()
    assert (said.told_by, said.teller, said.is_public) == (SELLER, "last_owner", False)
    phone.goto(f"/stock/{instrument.stock_number}/statements/{said.pk}/correct/")
    phone.fill("#id_supersede_reason", "Sorted by what it speaks of")
    phone.select_option("#id_topic", "strings")
    phone.select_option("#id_asserts", "restrung")
    phone.fill("#id_dated", "1985")
    phone.locator("#id_is_public").check()
    phone.get_by_role("button", name="Write it down").click()
    phone.get_by_text("Corrected. The older words stay in the record.").wait_for()


def a_secret_is_kept(phone, instrument) -> None:
    phone.goto(f"/stock/{instrument.stock_number}/statements/new/")
    phone.fill("#id_text", SECRET)
    phone.locator("[name=grade][value=told]").check()
    phone.fill("#id_told_by", SELLER)
    phone.get_by_role("button", name="Write it down").click()
    phone.get_by_text("kept to ourselves").first.wait_for()


def told_by_the_draft(desk) -> str:
    return desk.locator("#new-draft").text_content()


def the_bench_ticks_what_it_sees(tablet, instrument) -> None:
    rust = TellTale.objects.get(code="rust-hidden-in-coils")
    tablet.goto(f"/stock/{instrument.stock_number}/tell-tales/")
    row = tablet.locator(f"#tell-tale-{rust.pk}")
    row.get_by_text(rust.text).click()
    row.get_by_text("Add a note or a photograph").click()
    row.get_by_label("Photograph it now").set_input_files(steps.upload("coils.jpg", "brown"))
    tablet.get_by_role("button", name="Save what I see").click()
    tablet.get_by_text(re.compile(f"“{STORY}”: as told → contradicted")).wait_for()
    sighting = instrument.sightings.get()
    assert sighting.photo.caption == rust.text.rstrip(".")
    assert (sighting.seen_by.username, sighting.seen_on) == ("tobias", timezone.localdate())


def the_history_is_issued(desk, instrument) -> HistoryIssue:
    desk.goto(f"/stock/{instrument.stock_number}/history/")
    desk.get_by_role("button", name="Issue its history").click()
    desk.get_by_text("is issued. Print it").wait_for()
    return HistoryIssue.objects.get(instrument=instrument)


def public_words(desk, stranger, instrument, issue) -> dict[str, str]:
    """What anybody may read of it by now: both papers, the page behind the code, the window."""
    papers = {
        name: Reading(steps.printed_at(desk, f"/histories/{issue.number}/{form}.pdf")).text
        for name, form in (("history", "history"), ("card", "short"))
    }
    pages = {}
    for name, shown in (("page", issue), ("window", instrument.listing)):
        assert stranger.goto(shown.get_absolute_url()).status == 200
        pages[name] = stranger.content()
    return papers | pages
