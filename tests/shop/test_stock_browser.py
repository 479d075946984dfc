"""What a phone adds to the stock pages: photos sent as they are taken, dates read as they are typed."""

import pytest
from django.conf import settings

from instruments.actions.intake import create_instrument
from instruments.models import Instrument
from tests.make import A_DAY, make_instrument, make_person
from tests.pictures import picture_bytes


@pytest.fixture
def signed_in(phone, client, live_server):
    def sign_in(user):
        client.force_login(user)
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        phone.context.add_cookies(
            [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
        )
        return phone

    return sign_in


def photo(name: str, colour: str, kind: str = "JPEG") -> dict:
    return {
        "name": name,
        "mimeType": f"image/{kind.lower()}",
        "buffer": picture_bytes(colour=colour, kind=kind),
    }


def test_a_buyer_logs_an_instrument_on_a_phone(signed_in, buyer):
    make_person(name="Wilf Arden", address="3 Mill Lane")
    page = signed_in(buyer)
    page.goto("/stock/log/")
    page.get_by_label("Upright").check()
    page.get_by_label("Maker", exact=True).fill("Halden & Rook")
    page.get_by_label("85, A0 to A7").check()
    page.set_input_files("#id_photos", [photo("a.jpg", "red"), photo("b.png", "navy", "PNG")])
    page.get_by_text("2 kept.").wait_for()
    page.set_input_files("#id_photos_camera", [photo("c.gif", "tan", "GIF")])
    page.locator("#intake-photos").get_by_text("c.gif is a GIF").wait_for()
    page.fill("#id_made", "about 1912")
    page.get_by_text("Understood as about 1912").wait_for()
    page.locator("#id_seller_name").press_sequentially("wil")
    page.get_by_text("3 Mill Lane").click()
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Logged as").first.wait_for()
    logged = Instrument.objects.get()
    assert (logged.made, logged.photos.count(), logged.purchases.get().seller.name) == (
        "1912~",
        2,
        "Wilf Arden",
    )


def test_the_list_follows_what_is_typed(signed_in, technician):
    create_instrument(by=technician, on=A_DAY, kind="upright", maker="Castlemere")
    create_instrument(by=technician, on=A_DAY, kind="upright", maker="Orrin Vale")
    page = signed_in(technician)
    page.goto("/stock/")
    page.locator("#id_q").press_sequentially("castle")
    page.locator("#results").get_by_text("One instrument.").wait_for()
    assert "q=castle" in page.url


def test_another_order_swaps_the_list_and_leaves_the_rest(signed_in, technician):
    create_instrument(by=technician, on=A_DAY, kind="upright", maker="Castlemere")
    create_instrument(by=technician, on=A_DAY, kind="upright", maker="Orrin Vale")
    page = signed_in(technician)
    page.goto("/stock/")
    page.evaluate("() => addEventListener('htmx:beforeHistorySave', () => { window.copied = true; })")
    page.locator("#id_sort").focus()
    page.keyboard.press("ArrowDown")
    page.locator("#said").get_by_text("2 instruments.").wait_for(state="attached")
    assert page.locator(".row-name").all_inner_texts() == ["Castlemere", "Orrin Vale"]
    assert page.evaluate("document.activeElement.id") == "id_sort"
    assert page.get_by_label("Choose 26-00").count() == 2
    assert not page.evaluate("window.copied"), "a copy of the page is made, to be thrown away"


def test_a_list_that_is_refused_stays(signed_in, technician):
    create_instrument(by=technician, on=A_DAY, kind="upright", maker="Castlemere")
    page = signed_in(technician)
    page.goto("/stock/")
    page.route("**/stock/?*", lambda route: route.fulfill(status=403, body=""))
    page.select_option("#id_sort", "maker")
    page.locator("#said").get_by_text("That was refused").wait_for(state="attached")
    assert page.locator(".row-name").all_inner_texts() == ["Castlemere"]


def test_enter_goes_to_the_next_weight(signed_in, technician):
    page = signed_in(technician)
    page.goto(f"/stock/{make_instrument().stock_number}/weigh-off/")
    page.get_by_text("Or all on this page").click()
    page.focus("#down1")
    page.keyboard.type("52\n28\n")
    assert page.evaluate("document.activeElement.id") == "down2"


@pytest.mark.parametrize(
    "path",
    [
        "/stock/?kind=upright",
        "/stock/log/",
        "/stock/import/",
        "/stock/{}/identity/",
        "/stock/{}/walk-round/",
        "/stock/{}/statements/new/",
        "/stock/{}/photos/",
        "/stock/{}/move/",
        "/stock/{}/weigh-off/",
    ],
)
def test_no_page_scrolls_sideways_on_a_phone(signed_in, owner, path):
    page = signed_in(owner)
    page.goto(path.format(make_instrument(made="1910/1914").stock_number))
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
