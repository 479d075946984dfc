"""What htmx puts in place of a part: the focus is not lost with it, and what happened is said aloud.

WCAG 2.2, success criteria 2.4.3 (focus order) and 4.1.3 (status messages). Every story is invented.
"""

import pytest
from django.utils import timezone

from instruments.actions.search import refresh_search_text
from tests import make
from tests.journeys import steps
from tests.journeys.keyboard import Keyboard

pytestmark = pytest.mark.django_db(transaction=True)
DESK = {"width": 1280, "height": 900}
HAS_A_PLACE = "document.activeElement !== document.body && document.activeElement.isConnected"
SAID = "document.getElementById('said').textContent.trim()"


@pytest.fixture
def keyboard(open_for):
    def open_one(user, url: str) -> Keyboard:
        page = open_for(user, viewport=DESK)
        page.goto(url)
        return Keyboard(page)

    return open_one


def settled(page, act) -> None:
    """Do `act`, and come back when what it brought stands in its place and was said."""
    page.evaluate(
        "() => { window.settled = new Promise((done, fail) => {"
        " addEventListener('htmx:afterSettle', () => done(true), {once: true});"
        " setTimeout(() => fail('nothing was swapped'), 8000); }); }"
    )
    act()
    assert page.evaluate("window.settled")
    page.wait_for_timeout(200)  # what is said is written a moment later, so that a reader notices


def test_the_stock_list_narrows_while_one_types(keyboard, seller):
    for maker in ("Castlemere", "Quillon"):
        refresh_search_text(make.make_instrument(maker=maker))
    keys = keyboard(seller, "/stock/")
    keys.reach(keys.page.locator("main [name=q]"))
    settled(keys.page, lambda: keys.page.keyboard.type("Quillon"))
    assert keys.page.evaluate("document.activeElement.name") == "q"
    assert keys.page.evaluate(SAID) == "One instrument."


def test_photographs_are_moved_taken_away_and_brought_back(keyboard, buyer):
    instrument = make.make_instrument()
    for colour in ("sienna", "navy", "olive"):
        make.make_photo(instrument=instrument, colour=colour)
    keys = keyboard(buyer, f"/stock/{instrument.stock_number}/photos/")
    page = keys.page
    for name in ("toward the back", "Put away", "Bring back"):
        keys.reach(page.locator("#photo-grid button:enabled", has_text=name).first)
        settled(page, lambda: keys.press("Enter"))
        assert page.evaluate("document.activeElement.closest('#photo-grid') !== null"), name
        assert page.evaluate(SAID), name


def test_a_photograph_is_described(keyboard, buyer):
    photo = make.make_photo(instrument=make.make_instrument())
    keys = keyboard(buyer, f"/stock/{photo.instrument.stock_number}/photos/")
    page = keys.page
    keys.reach(page.locator("#photo-grid summary").first)
    keys.press("Enter")
    keys.type_in(f"photo-{photo.pk}-caption", "The frame from above")
    settled(page, lambda: keys.button("Save", leads_on=False))
    assert page.evaluate(HAS_A_PLACE) and page.evaluate(SAID)


def test_somebody_is_found_by_name(keyboard, seller):
    make.make_person(name="Nell Sorrel")
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    keys = keyboard(seller, f"/stock/{instrument.stock_number}/trial/")
    keys.reach(keys.page.locator("[data-finds]").first)
    settled(keys.page, lambda: keys.page.keyboard.type("Sorrel"))
    assert "finds" in keys.page.evaluate("Object.keys(document.activeElement.dataset)")
    assert keys.page.evaluate(SAID)


def test_photographs_of_an_intake_are_counted(keyboard, buyer):
    keys = keyboard(buyer, "/stock/log/")
    keys.reach(keys.page.locator("#id_photos"))
    settled(keys.page, lambda: keys.page.set_input_files("#id_photos", [steps.upload("front.jpg", "peru")]))
    assert keys.page.evaluate(HAS_A_PLACE)
    assert keys.page.evaluate(SAID)


def test_what_an_ending_comes_to_is_said_and_leaves_the_field_alone(keyboard, seller):
    trial = make.make_running_trial(on=timezone.localdate())
    keys = keyboard(seller, f"/trials/{trial.number}/return/")
    keys.reach(keys.page.locator("[name=deduction_minor]"))
    settled(keys.page, lambda: keys.page.keyboard.type("40"))
    assert keys.page.evaluate("document.activeElement.name") == "deduction_minor"
    assert keys.page.locator("#comes-to[role=status]").count() == 1
