"""static/js/app.js in a real browser, on the smallest page that needs each of its services."""

import re
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parents[2] / "static" / "js" / "app.js"
ADDRESS = "http://shop.test/"


@pytest.fixture
def open_page(browser):
    """Serves the given body under the shop's own security policy and keeps what was posted."""
    context = browser.new_context()

    def open_with(body):
        page = context.new_page()
        page.posted = []
        markup = (
            f'<!doctype html><script src="/app.js" defer></script><body>{body}<div id="said"></div></body>'
        )

        def answer(route, request):
            if request.url.endswith("app.js"):
                return route.fulfill(body=SCRIPT.read_text(), content_type="text/javascript")
            if request.method == "POST":
                page.posted.append(request.post_data)
                if "stay" in request.url:
                    return route.fulfill(status=204)
                return route.fulfill(body="done", content_type="text/html")
            policy = {"Content-Security-Policy": "default-src 'self'; img-src 'self' blob:"}
            return route.fulfill(body=markup, content_type="text/html", headers=policy)

        page.route("**/*", answer)
        page.goto(ADDRESS)
        return page

    yield open_with
    context.close()


ASKING = (
    '<form method="post" action="/away">'
    '<button name="do" value="it" data-confirm="Delete the photo?">Delete</button></form>'
)


def test_a_destructive_form_asks_first(open_page):
    page = open_page(ASKING)
    page.click("text=Delete")
    assert page.inner_text("dialog p") == "Delete the photo?"
    assert page.posted == []


def test_leaving_it_sends_nothing_and_returns_to_the_button(open_page):
    page = open_page(ASKING)
    page.click("text=Delete")
    page.click("text=Leave it as it is")
    assert page.posted == []
    assert page.evaluate("document.activeElement.name") == "do"


def test_a_confirmed_form_is_sent_once_with_its_button(open_page):
    page = open_page(ASKING)
    page.click("text=Delete")
    page.click("dialog button:has-text('Delete')")
    page.wait_for_url("**/away")
    assert page.posted == ["do=it"]


def test_a_second_press_sends_nothing_twice(open_page):
    page = open_page('<form method="post" action="/stay"><button>Log it</button></form>')
    page.dblclick("button")
    page.wait_for_selector("button:disabled")
    assert page.posted == [None]


def test_chosen_photographs_are_shown_and_counted(open_page):
    page = open_page('<form><input type="file" multiple data-max-bytes="10"></form>')
    small = {"name": "front.jpg", "mimeType": "image/jpeg", "buffer": b"12345"}
    large = {"name": "back.jpg", "mimeType": "image/jpeg", "buffer": b"1234567890123"}
    page.set_input_files("input", [small, large])
    assert page.inner_text(".previews-count") == "2 files chosen, 0.0 MB"
    assert page.locator(".previews .out").inner_text() == "back.jpg: too large"


def test_what_was_typed_is_guarded_until_it_is_sent(open_page):
    page = open_page('<form data-guard><input name="maker"></form>')
    page.fill("input", "Castlemere")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto(ADDRESS)
    assert asked == ["beforeunload"]


def test_a_form_of_money_is_held_and_let_go_though_a_box_of_it_is_named_method(open_page):
    page = open_page(
        '<form data-guard method="post"><input name="amount"><input name="method" value="card">'
        '<button type="submit">Paid</button></form>'
    )
    page.evaluate("addEventListener('submit', (event) => event.preventDefault())")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.fill("[name=amount]", "450")
    page.click("button")
    page.wait_for_function("document.querySelector('button').disabled")
    page.goto(ADDRESS)
    assert asked == []


def test_a_chosen_file_that_is_no_picture_is_named_at_once(open_page):
    page = open_page('<form><input type="file" accept="image/jpeg,.heic"></form>')
    page.set_input_files("input", [{"name": "bill.pdf", "mimeType": "application/pdf", "buffer": b"12345"}])
    assert page.locator(".previews .out").inner_text() == "bill.pdf: not a photograph"


def test_an_untouched_form_may_be_left(open_page):
    page = open_page('<form data-guard><input name="maker"></form>')
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto(ADDRESS)
    assert asked == []


def test_a_refused_form_puts_the_reader_at_its_errors(open_page):
    page = open_page('<div class="form-errors"><h2>Not saved yet</h2></div>')
    assert page.evaluate("document.activeElement.className") == "form-errors"


MOST_BYTES = {"app.js": 8_000, "outbox.js": 12_000, "outbox_forms.js": 18_500, "weigh_off.js": 12_500}


@pytest.mark.parametrize("script", sorted(SCRIPT.parent.glob("*.js")), ids=lambda script: script.name)
def test_a_script_stays_small_and_evaluates_nothing(script):
    source = script.read_text()
    assert len(source.encode()) < MOST_BYTES.get(script.name, 8_000)
    assert not re.search(r"\beval\b|new Function|innerHTML|insertAdjacentHTML|document\.write", source)
