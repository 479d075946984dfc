"""2.2.1 of WCAG 2.2: the end of a session is said beforehand, one press makes it last, nothing typed is lost.

The page's clock is moved on; the server's is not, so a session that has ended is ended by hand.
"""

import pytest
from django.contrib.sessions.models import Session

from shop.models import Person
from tests.journeys import steps

pytestmark = pytest.mark.django_db(transaction=True)
UNTIL_THE_WARNING = "11:55:00"  # of twelve hours without a page
AT_LEAST_SECONDS, AT_LEAST_TIMES = 20, 10  # as the criterion asks


@pytest.fixture
def typing(page, seller):
    """Somebody who is writing a card and leaves the page standing."""
    page.clock.install()
    steps.log_in(page, seller)
    page.goto("/people/new/")
    page.fill("[name=name]", "Nell Sorrel")
    return page


def warning(page):
    return page.get_by_role("dialog", name="You will be signed out at")


def stays(page) -> bool:
    with page.expect_response("**/own/stay/") as answered:
        page.keyboard.press("Enter")
    warning(page).wait_for(state="detached")
    return answered.value.ok


def test_who_types_is_warned_in_time_and_stays_by_one_press_as_often_as_need_be(typing):
    for _ in range(AT_LEAST_TIMES + 1):
        typing.clock.fast_forward(UNTIL_THE_WARNING)
        warning(typing).wait_for()
        typing.clock.run_for(AT_LEAST_SECONDS * 1000)
        assert warning(typing).is_visible()
        assert stays(typing)
    assert typing.evaluate("document.activeElement.name") == "name"
    assert typing.input_value("[name=name]") == "Nell Sorrel"


def test_no_warning_comes_while_pages_are_opened(typing):
    typing.clock.fast_forward("06:00:00")
    typing.goto("/people/new/")
    typing.clock.fast_forward("06:00:00")
    typing.clock.run_for(30_000)
    assert not warning(typing).is_visible()


def test_what_was_typed_is_sent_after_the_session_ended_and_another_began(typing, seller):
    Session.objects.all().delete()
    typing.clock.fast_forward("12:30:00")
    ended = typing.get_by_role("dialog", name="You have been signed out")
    ended.wait_for()
    elsewhere = typing.context.new_page()
    steps.log_in(elsewhere, seller)
    ended.get_by_role("button", name="Go on").click()
    ended.wait_for(state="detached")
    assert typing.input_value("[name=name]") == "Nell Sorrel"
    typing.locator("main form button[type=submit]").last.click()
    typing.wait_for_url("**/people/*/")
    assert Person.objects.filter(name="Nell Sorrel").exists()


def test_nobody_goes_on_with_what_somebody_else_typed(typing, owner):
    Session.objects.all().delete()
    typing.clock.fast_forward("12:30:00")
    elsewhere = typing.context.new_page()
    steps.log_in(elsewhere, owner)
    typing.get_by_role("button", name="Go on").click()
    typing.get_by_text("Somebody else is signed in now.").wait_for()
    assert typing.get_by_role("dialog").is_visible()
