"""Pins typed at the bench: a figure, Enter, the next box, on a narrow phone."""

from decimal import Decimal

from django.conf import settings

from instruments.models import PinSurvey
from tests.make import make_instrument


def test_pins_are_typed_with_figures_and_enter_alone(phone, client, live_server, technician):
    client.force_login(technician)
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    phone.context.add_cookies(
        [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
    )
    phone.goto(f"/stock/{make_instrument(by=technician).stock_number}/pins/new/")
    phone.get_by_label("C4 string 2").focus()
    for typed in ("9.5", "8,7", "7"):
        phone.keyboard.type(typed)
        phone.keyboard.press("Enter")
    phone.keyboard.press("Shift+Enter")
    assert phone.evaluate("document.activeElement.value") == "7"
    phone.get_by_role("button", name="Save the pins").click()
    phone.locator(".messages", has_text="Survey of 3 pins saved.").wait_for()
    assert PinSurvey.objects.get().torques_nm() == {
        (40, 2): Decimal("9.5"),
        (40, 3): Decimal("8.7"),
        (41, 1): Decimal(7),
    }
