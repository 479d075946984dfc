"""The life line without a mouse, on paper, and as it is read. Every story here is invented."""

import pytest

from tests import make
from tests.browser import PHONE

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize(
    ("viewport", "drawing"),
    [(PHONE, ".life-upright"), ({"width": 1440, "height": 900}, ".life-wide")],
    ids=["phone", "desk"],
)
def test_each_bar_is_reached_by_keyboard_and_opens_its_row_of_the_table(open_for, owner, viewport, drawing):
    statement = make.make_statement(text="It stood in a school", dated="1921/1950")
    make.make_statement(instrument=statement.instrument, text="Then in a chapel", dated="1955")
    page = open_for(owner, viewport=viewport)
    page.goto(f"{statement.instrument.get_absolute_url()}#life")
    page.locator(f"{drawing}").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") == "#life-1"
    row = page.locator("#life-1")
    assert not row.is_visible()
    page.keyboard.press("Enter")
    row.get_by_text("Then in a chapel").wait_for()


def test_its_table_is_printed_though_nobody_opened_it(open_for, owner):
    statement = make.make_statement(text="It stood in a school", dated="1921/1950")
    page = open_for(owner, viewport={"width": 1440, "height": 900})
    page.goto(statement.instrument.get_absolute_url())
    assert not page.locator("#life-0").is_visible()
    page.emulate_media(media="print")
    assert page.locator("#life-0").is_visible()
    assert page.locator(".life svg").first.is_visible()


GAPS = """() => [...document.querySelectorAll(".life-wide svg text:has(+ text)")]
  .map((text) => [text.getBoundingClientRect(), text.nextElementSibling.getBoundingClientRect()])
  .filter(([one, next]) => Math.abs(one.bottom - next.bottom) < 2 && next.left > one.left)
  .map(([one, next]) => next.left - one.right)"""


def test_what_is_said_and_how_it_is_known_stand_apart(open_for, owner):
    statement = make.make_statement(
        text="“H & R 5/12” is pencilled on the bass side of key 1", dated="1912-05"
    )
    make.make_statement(instrument=statement.instrument, text="It illuminated William’s will", dated="1931")
    page = open_for(owner, viewport={"width": 1440, "height": 900})
    page.goto(statement.instrument.get_absolute_url())
    gaps = page.evaluate(GAPS)
    assert len(gaps) >= 2
    assert min(gaps) > 2
