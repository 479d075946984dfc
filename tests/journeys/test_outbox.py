"""A phone in a cellar: what was written without a connection arrives whole, once, under the right name."""

from contextlib import suppress

import pytest
from django.urls import reverse
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import expect

from instruments.models import Finding, Photo, Submission
from tests.browser import PHONE
from tests.make import make_instrument, make_report
from tests.pictures import picture_bytes

COUNT = ".outbox-count"
LEFT_BEHIND = """() => new Promise((resolve) => {
  const opening = indexedDB.open("wrestplank", 1);
  opening.onsuccess = () => {
    const counting = opening.result.transaction("drafts").objectStore("drafts").count();
    counting.onsuccess = async () => resolve([counting.result, (await caches.keys()).length]);
  };
})"""
ON_A_PHONE = {"viewport": PHONE, "has_touch": True, "is_mobile": True}


def photo(name: str, colour: str) -> dict:
    return {"name": name, "mimeType": "image/jpeg", "buffer": picture_bytes(colour=colour)}


@pytest.fixture
def walk_page(open_for, technician):
    page = open_for(technician, **ON_A_PHONE)
    page.goto(front_off(make_report()))
    return page


def front_off(report) -> str:
    return reverse("instruments:condition_station", args=[report.instrument.stock_number, report.pk, "front"])


def find_worn(page, part: str = "hammers"):
    page.locator(f"#part-{part}").get_by_text("Repair", exact=True).click()


def save(page):
    page.get_by_role("button", name="Save and go on").click()


def test_photographs_taken_without_a_connection_outlive_a_reload_and_arrive_once(open_for, technician):
    instrument = make_instrument()
    page = open_for(technician, **ON_A_PHONE)
    page.goto(reverse("instruments:photos", args=[instrument.stock_number]))
    expect(page.locator("#outbox[data-offline=ready]")).to_have_count(1)
    page.context.set_offline(True)
    page.set_input_files("input[multiple]", [photo("a.jpg", "red"), photo("b.jpg", "navy")])
    page.get_by_role("button", name="Add them").click()
    expect(page.get_by_text("Kept on this device")).to_be_visible()
    page.reload()
    expect(page.locator(COUNT)).to_have_text("1 waiting to send")
    assert not Photo.objects.exists()
    page.context.set_offline(False)
    expect(page.locator(COUNT)).to_have_text("1 sent")
    assert sorted(instrument.photos.values_list("original_name", flat=True)) == ["a.jpg", "b.jpg"]
    page.reload()
    expect(page.get_by_text("2 photos added.")).to_be_visible()
    expect(page.locator(COUNT)).to_have_text("")


def test_form_whose_answer_was_lost_is_sent_again_and_kept_once(walk_page):
    def lose_the_answer(route):
        if route.request.method == "POST" and not Finding.objects.exists():
            route.fetch()
            route.abort("connectionreset")
        else:
            route.fallback()

    walk_page.route("**/at/front/**", lose_the_answer)
    find_worn(walk_page)
    save(walk_page)
    kept = walk_page.get_by_text("Kept on this device")
    written = walk_page.get_by_text("Front off: one part written down.")
    expect(kept.or_(written)).to_be_visible()
    assert Finding.objects.count() == 1
    if kept.is_visible():
        with suppress(PlaywrightError):  # it may be on its way by itself already
            walk_page.get_by_role("button", name="Send it now").click(timeout=2_000)
    expect(written).to_be_visible()
    assert (Finding.objects.count(), Submission.objects.count()) == (1, 1)


def test_pages_put_by_on_the_device_do_not_use_up_what_the_person_should_read(open_for, technician):
    page = open_for(technician, **ON_A_PHONE)
    asked = []
    page.on("request", lambda request: asked.append(request) if request.resource_type == "fetch" else None)
    page.goto(front_off(make_report()))
    expect(page.locator("#outbox[data-offline=ready]")).to_have_count(1)
    pages = [request for request in asked if request.url.endswith("/")]
    assert len(pages) > 5
    assert all(request.headers.get("x-puts-by") for request in pages)


def test_signed_out_the_form_waits_for_the_same_person(walk_page, live_server, client, technician, buyer):
    def sign_in(user):
        client.force_login(user)
        value = client.cookies["sessionid"].value
        walk_page.context.add_cookies([{"name": "sessionid", "value": value, "url": live_server.url}])

    walk_page.context.clear_cookies(name="sessionid")
    find_worn(walk_page)
    save(walk_page)
    expect(walk_page.locator(".outbox-note").get_by_role("link", name="Sign in again")).to_be_visible()
    sign_in(buyer)
    walk_page.goto("/")
    walk_page.get_by_text("What is it?").click()
    expect(walk_page.get_by_text("Something of somebody else waits on this device")).to_be_visible()
    assert not Finding.objects.exists()
    sign_in(technician)
    walk_page.goto("/")
    expect(walk_page.locator(COUNT)).to_have_text("1 sent")
    assert Finding.objects.get().found_by == technician


def test_refused_form_shows_the_shop_s_own_words_and_goes_when_it_is_mended(walk_page):
    find_worn(walk_page, "centres")
    walk_page.fill("#id_centres-keys", "200")
    find_worn(walk_page)
    save(walk_page)
    expect(walk_page.locator(".form-errors")).to_be_visible()
    expect(walk_page.locator("#part-hammers input[value=repair]")).to_be_checked()
    station = walk_page.url
    walk_page.goto("/stock/")
    walk_page.goto(station)  # what was ticked and refused is there when one comes back
    expect(walk_page.locator("#part-hammers input[value=repair]")).to_be_checked()
    walk_page.fill("#id_centres-keys", "20")
    save(walk_page)
    expect(walk_page.get_by_text("Front off: two parts written down.")).to_be_visible()
    expect(walk_page.locator(COUNT)).to_have_text("")
    assert Finding.objects.count() == 2


def test_what_was_left_unfinished_is_offered_back_with_its_photographs(open_for, buyer):
    page = open_for(buyer, **ON_A_PHONE)
    page.goto("/stock/log/")
    page.context.set_offline(True)
    page.get_by_label("Maker", exact=True).fill("Halden & Rook")
    page.set_input_files("#id_photos", [photo("a.jpg", "red")])
    expect(page.locator("form[data-kept]")).to_have_count(1)
    page.context.set_offline(False)
    page.goto("/")
    expect(page.locator(COUNT)).to_have_text("1 left unfinished")
    page.goto("/stock/log/")
    page.get_by_role("button", name="Take it up again").click()
    expect(page.get_by_label("Maker", exact=True)).to_have_value("Halden & Rook")
    expect(page.get_by_text("1 kept.")).to_be_visible()


def test_words_typed_the_moment_before_a_page_is_left_are_offered_back(walk_page):
    find_worn(walk_page)
    walk_page.fill("#id_hammers-note", "Deep cuts in the treble")
    # At once: no pause in typing, no leaving of the field, and nothing put away before the page is gone.
    walk_page.evaluate("""() => {
      IDBObjectStore.prototype.put = () => { throw new Error("too late"); };
      document.querySelector(".walk-stations a:not([aria-current])").click();
    }""")
    expect(walk_page.locator(COUNT)).to_have_text("1 left unfinished")
    walk_page.go_back()
    expect(walk_page.get_by_text("It stands below again, not saved yet.")).to_be_visible()
    expect(walk_page.locator("#id_hammers-note")).to_have_value("Deep cuts in the treble")
    expect(walk_page.locator("#part-hammers input[value=repair]")).to_be_checked()


def test_two_tabs_send_what_each_of_them_wrote_and_nothing_twice(walk_page):
    other = walk_page.context.new_page()
    other.goto(walk_page.url)
    walk_page.context.set_offline(True)
    for tab, part in ((walk_page, "hammers"), (other, "centres")):
        find_worn(tab, part)
        save(tab)
        expect(tab.get_by_text("Kept on this device")).to_be_visible()
    expect(walk_page.locator(COUNT)).to_have_text("2 waiting to send")
    walk_page.context.set_offline(False)
    for tab in (walk_page, other):
        expect(tab.get_by_text("Kept on this device")).to_have_count(0)
    walk_page.goto("/")
    expect(walk_page.locator(COUNT)).to_have_text("")
    assert (Finding.objects.count(), Submission.objects.count()) == (2, 2)


def test_signing_out_asks_about_what_was_not_sent_and_leaves_nothing_behind(walk_page):
    walk_page.context.set_offline(True)
    find_worn(walk_page)
    save(walk_page)
    expect(walk_page.get_by_text("Kept on this device")).to_be_visible()
    walk_page.route("**/at/front/**", lambda route: route.abort())
    walk_page.context.set_offline(False)
    walk_page.get_by_role("button", name="Sign out").click()
    expect(
        walk_page.get_by_text("1 form has not been sent from this device. Sign out and lose it?")
    ).to_be_visible()
    walk_page.get_by_role("button", name="Sign out and throw away").click()
    expect(walk_page.get_by_role("heading", name="Signed out")).to_be_visible()
    assert walk_page.evaluate(LEFT_BEHIND) == [0, 0]
    assert not Finding.objects.exists()


def test_browser_that_keeps_nothing_sends_the_plain_form(open_for, technician):
    page = open_for(technician, **ON_A_PHONE)
    page.add_init_script("Object.defineProperty(window, 'indexedDB', { value: undefined })")
    page.goto(front_off(make_report()))
    find_worn(page)
    save(page)
    expect(page.get_by_text("Front off: one part written down.")).to_be_visible()
    assert Finding.objects.count() == 1


def test_form_taken_back_before_it_went_is_sent_as_it_was_mended(walk_page):
    walk_page.context.set_offline(True)
    find_worn(walk_page)
    save(walk_page)
    walk_page.locator(".outbox-note").get_by_role("button", name="Change it").click()
    find_worn(walk_page, "centres")
    walk_page.context.set_offline(False)
    save(walk_page)
    expect(walk_page.get_by_text("Front off: two parts written down.")).to_be_visible()
    assert (Finding.objects.count(), Submission.objects.count()) == (2, 1)
