"""Pages as somebody meets them who cannot see them well, or holds them in one hand.

Every page behind the login is looked at in the two files beside; here are the rest of the states.
"""

import pytest

from tests.access_table import ACCESS, PUBLIC
from tests.journeys.eye import faults_by_eye
from tests.journeys.seen_pages import faults_of, faults_on, pages

pytestmark = pytest.mark.django_db(transaction=True)


def test_every_public_page_is_accessible_to_a_stranger(phone, stranger, world):
    found = pages(stranger, world, [name for name, (_, right) in ACCESS.items() if right == PUBLIC])
    assert {"login", "window", "listing_public", "history_public", "photo_send", "listen"} < set(found)
    assert {"ask", "ask_about", "ask_kept", "ask_thanks", "tell_no_more"} < set(found)
    assert faults_on(phone, found) == {}


def test_a_form_with_errors_is_accessible_and_tells_its_errors(signed_in, world):
    wrong = {}
    number = world.instrument.stock_number
    for url in ("/stock/log/", f"/stock/{number}/cost/", f"/stock/{number}/trial/", "/people/new/"):
        signed_in.goto(url)
        signed_in.evaluate("document.querySelectorAll('form').forEach(form => { form.noValidate = true })")
        signed_in.locator("main form:has([name=form_token]) button[type=submit]").last.click()
        signed_in.locator("[aria-invalid=true], .wrong").first.wait_for()
        if faults := faults_of(signed_in):
            wrong[url] = faults
    assert wrong == {}


def test_an_empty_shop_is_accessible(signed_in):
    addresses = ("/", "/stock/", "/bench/", "/people/", "/trials/", "/books/", "/window/")
    assert faults_on(signed_in, {address: address for address in addresses}) == {}


def test_the_keyboard_alone_reaches_the_page_and_its_first_link(signed_in, world):
    signed_in.goto(world.instrument.get_absolute_url())
    signed_in.keyboard.press("Tab")
    assert signed_in.evaluate("document.activeElement.className") == "skip"
    signed_in.keyboard.press("Enter")
    assert signed_in.evaluate("document.activeElement.id") == "content"
    signed_in.keyboard.press("Tab")
    outline = signed_in.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline != "none"


def test_a_bad_word_in_the_check_is_noticed(phone, live_server):
    """The check itself bites: an image without words is found."""
    phone.goto("/login/")
    phone.evaluate("document.querySelector('main').append(new Image())")
    assert any(fault.startswith("image-alt") for fault in faults_of(phone))


def test_targets_too_small_to_hit_are_noticed(phone, live_server):
    phone.goto("/login/")
    phone.evaluate(
        "() => { for (const name of ['One', 'Two']) { const button = document.createElement('button');"
        " button.textContent = name; button.style.cssText = 'all:unset;width:12px;height:12px;font-size:4px';"
        " button.tabIndex = 0; document.querySelector('main').append(button); } }"
    )
    assert any(fault.startswith("target-size") for fault in faults_of(phone))


def test_words_too_wide_once_they_are_spaced_out_are_noticed(phone, live_server):
    phone.goto("/login/")
    phone.evaluate(
        "() => { const line = document.createElement('p'); line.textContent = 'n'.repeat(33);"
        " line.style.cssText = 'white-space:nowrap;font-size:16px';"
        " document.querySelector('main').append(line); }"
    )
    assert faults_of(phone) == ["scrolls sideways with its letters spaced out"]


def test_a_line_too_wide_for_a_phone_is_noticed(phone, live_server):
    phone.goto("/login/")
    phone.evaluate("document.querySelector('h1').style.cssText = 'white-space:nowrap;width:330px'")
    assert "scrolls sideways at 320 px" in faults_of(phone)


POOR = {
    "edge too faint": '<label>Maker <input name="maker" style="border: 1px solid #ddd4c0"></label>',
    "chosen too faintly": '<label><input type="checkbox" style="accent-color: #eee"> Lid open</label>',
    "icon too faint": '<p style="color: #ccc"><svg class="icon" width="20" height="20"></svg> Print</p>',
    "too faint in a drawing": '<svg class="drawing" width="40" height="40"><circle cx="9" cy="9" r="8"'
    ' fill="#eeeae0"><title>A4, 52 g</title></circle></svg>',
    "nothing marks the focus": '<button style="outline: none">Log it</button>',
    "the focus is marked too faintly": '<button style="outline: 2px solid #ddd">Log it</button>',
    "a link among words is not underlined": '<p>Read <a href="/a" style="text-decoration: none">it</a>.</p>',
    "a link underlined too faintly": '<p>Read <a href="/a" style="text-decoration-color: #ddd">it</a>.</p>',
    "a status without a word": '<p><span class="mark done">  </span></p>',
    "a status by its colour alone": '<p class="out" style="font-weight: 400">Overdue</p>',
    "an empty heading": "<h2> </h2>",
    "a heading twice": "<h2>Papers</h2><h2>Papers</h2>",
    "an empty label": "<label></label>",
    "a field without a label": '<input name="maker">',
    "a label twice (Note)": '<label>Note <input name="a"></label><label>Note <input name="b"></label>',
    "a button's name twice (Go)": '<form action="/a"><button>Go</button></form>'
    '<form action="/b"><button>Go</button></form>',
    "not one heading of the page": "<h1>Another</h1>",
}


# The policy lets no page bring its own styles: a script's are set one by one.
PUT_IN = """(poor) => {
  const main = document.querySelector("main");
  main.insertAdjacentHTML("beforeend", poor.replaceAll("style=", "data-look="));
  for (const each of main.querySelectorAll("[data-look]")) each.style.cssText = each.dataset.look;
}"""


@pytest.mark.parametrize("fault", POOR)
def test_what_the_eye_would_stumble_over_is_noticed(phone, live_server, fault):
    """The eye itself bites (1.4.1, 1.4.11 and 2.4.6 of WCAG 2.2)."""
    phone.goto("/login/")
    assert faults_by_eye(phone) == []
    phone.evaluate(PUT_IN, POOR[fault])
    assert [each for each in faults_by_eye(phone) if each.startswith(fault)]
