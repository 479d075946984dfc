"""The drawn keyboard under a thumb and from the keyboard alone, on a narrow phone."""

import pytest
from django.conf import settings

from tests.make import make_instrument


@pytest.fixture
def at_the_keys(phone, client, live_server, technician):
    """The keys page of an instrument, opened by a technician on a phone of 360 px."""
    client.force_login(technician)
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    phone.context.add_cookies(
        [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
    )
    piano = make_instrument(by=technician)
    phone.goto(f"/stock/{piano.stock_number}/keys/")
    return phone, piano


def focused(page) -> str:
    return page.evaluate("document.activeElement.dataset.name")


def marked(piano) -> list[int]:
    return [mark.key for mark in piano.key_marks.open()]


def test_keys_are_pressed_by_arrows_alone_and_a_run_by_shift(at_the_keys):
    page, piano = at_the_keys
    page.get_by_role("radio", name="Sticks").focus()
    page.keyboard.press("Space")
    page.get_by_role("checkbox", name="A0, key 1", exact=True).focus()
    for key, name in (("End", "A7"), ("Home", "A0"), ("ArrowUp", "A1"), ("ArrowRight", "A♯1")):
        page.keyboard.press(key)
        assert focused(page) == name
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowLeft")
    assert page.locator("[data-key-said]").inner_text() == "3 keys pressed: A♯1, B1, C2"
    page.keyboard.press("Home")
    page.keyboard.press("Space")
    assert page.locator("[data-key-strip] input[tabindex='0']").count() == 1
    page.get_by_role("button", name="Mark these keys").press("Enter")
    page.locator(".messages", has_text="Sticks: A0, A♯1–C2.").wait_for()
    assert marked(piano) == [1, 14, 15, 16]


def test_keys_are_pressed_by_touch_and_the_page_stays_still(at_the_keys):
    page, piano = at_the_keys
    page.locator("label[for=fault-buzzes]").tap()
    page.get_by_role("link", name="C4").tap()
    for key in (40, 41):
        page.locator(f"#key-{key}").tap()
    page.locator("#key-40").tap()
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    box = page.locator("#key-42").bounding_box()
    assert box["width"] >= 44 and box["height"] >= 44
    page.get_by_role("button", name="Mark these keys").tap()
    page.locator(".messages", has_text="Buzzes: C♯4.").wait_for()
    assert marked(piano) == [41]
