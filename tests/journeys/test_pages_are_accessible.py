"""Every page as somebody meets it who cannot see it well, or holds it in one hand."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.urls import reverse

from tests.access_table import ACCESS, PUBLIC
from tests.access_world import arguments_for, make_world
from tests.test_access import addresses

pytestmark = pytest.mark.django_db(transaction=True)

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
NO_PAGE = {
    "health",
    "logout",
    "history_photo",
    "listing_photo",
    "shop:history_print",
    "shop:listing_sheet",
    "shop:trial_agreement",
    "shop:stock_export",
    "shop:import_template",
    "shop:seller_matches",
    "shop:intake_photos",
    "instruments:date_read",
    "instruments:photo_file",
    "instruments:waiting_photo_file",
    "instruments:document_file",
    "instruments:serial_mark_export",
    "instruments:key_sheet",
}
NARROW = {"width": 320, "height": 700}
PHONE = {"width": 360, "height": 740}


def pages(world) -> dict[str, str]:
    """The address of every page that a browser can be led to, by its name."""
    found = {}
    for name, (method, _) in ACCESS.items():
        if method == "GET" and name not in NO_PAGE:
            found[name] = reverse(name, kwargs=arguments_for(addresses()[name], name, world))
    return found


@pytest.fixture
def world(owner):
    return make_world(owner)


@pytest.fixture
def signed_in(phone, client, owner, live_server):
    client.force_login(owner)
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    phone.context.add_cookies(
        [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
    )
    return phone


def faults_of(page) -> list[str]:
    """What axe finds on the page, and whether it scrolls sideways; nothing where all is well."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}})
    faults = [f"{rule['id']}: {rule['nodes'][0]['html'][:160]}" for rule in found.response["violations"]]
    for viewport in (PHONE, NARROW):
        page.set_viewport_size(viewport)
        if page.evaluate("document.scrollingElement.scrollWidth > window.innerWidth"):
            faults.append(f"scrolls sideways at {viewport['width']} px")
    page.set_viewport_size(PHONE)
    return faults


def is_html(answer) -> bool:
    return answer is not None and "text/html" in answer.headers.get("content-type", "")


def test_every_page_behind_the_login_is_accessible_and_fits_a_phone(signed_in, world):
    wrong = {}
    for name, url in pages(world).items():
        answer = signed_in.goto(url)
        assert is_html(answer), f"{name} is no page"
        assert answer.status < 500
        if faults := faults_of(signed_in):
            wrong[name] = faults
    assert wrong == {}


def test_every_public_page_is_accessible_to_a_stranger(phone, world):
    wrong = {}
    for name, url in pages(world).items():
        if ACCESS[name][1] == PUBLIC:
            phone.goto(url)
            if faults := faults_of(phone):
                wrong[name] = faults
    assert wrong == {}


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


def test_an_empty_shop_is_accessible(signed_in, owner):
    wrong = {}
    for url in ("/", "/stock/", "/bench/", "/people/", "/trials/", "/books/", "/window/"):
        signed_in.goto(url)
        if faults := faults_of(signed_in):
            wrong[url] = faults
    assert wrong == {}


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
