"""A bench worked by the keyboard alone, on the narrowest screen."""

from playwright.sync_api import expect

from tests import make
from tests.browser import PHONE

TOO_SMALL = """[...document.querySelectorAll("main .button, main .bench h2 a, main .bench h3 a")]
    .filter((place) => place.getBoundingClientRect().height < 44).map((place) => place.textContent.trim())"""
SIDEWAYS = "document.scrollingElement.scrollWidth > document.documentElement.clientWidth"


def press(page, name: str) -> None:
    """Go on with the tab key until this is reached, then press it."""
    wanted = page.get_by_role("button", name=name).or_(page.get_by_role("link", name=name)).first
    expect(wanted).to_be_visible()
    for _ in range(80):
        page.keyboard.press("Tab")
        if wanted.evaluate("(place) => place === document.activeElement"):
            break
    expect(wanted).to_be_focused()
    page.keyboard.press("Enter")


def test_start_pause_and_finish_by_the_keyboard_alone_at_360_px(open_for, technician):
    item = make.make_item(name="Ease the keys", assigned_to=technician, caution="Lead is a poison.")
    make.make_item(name="Clean out")
    page = open_for(technician, viewport=PHONE)
    page.goto("/bench/")
    press(page, "Start")
    expect(page.get_by_role("heading", name="Ease the keys")).to_be_visible()
    expect(page.locator("[data-elapsed]")).to_have_text("0 min")
    assert page.evaluate(TOO_SMALL) == []
    assert not page.evaluate(SIDEWAYS)
    press(page, "Pause")
    expect(page.get_by_text("“Ease the keys” is paused.")).to_be_visible()
    press(page, "Finish")
    expect(page.get_by_label("What was done")).to_be_visible()
    page.get_by_label("What was done").focus()
    page.keyboard.type("All 85 fall freely.")
    press(page, "It is done")
    expect(page.get_by_text("“Ease the keys” is done.")).to_be_visible()
    item.refresh_from_db()
    assert not item.is_open and page.url.endswith("/bench/")
