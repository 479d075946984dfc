"""What people do in the shop, step by step, with the words they see on the pages."""

import re
from io import BytesIO

from PIL import Image, ImageDraw

from instruments.models import Instrument
from tests.pictures import picture_bytes

TECHNICIANS_TABLET = {"width": 820, "height": 1180}
SALES_DESK = {"width": 1440, "height": 900}
PASSWORD = "quiet-felt-52"


def log_in(page, user) -> None:
    page.goto("/login/")
    page.fill("[name=username]", user.username)
    page.fill("[name=password]", PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("heading", name="Today").wait_for()


def upload(name: str, colour: str, kind: str = "JPEG") -> dict:
    return {
        "name": name,
        "mimeType": f"image/{kind.lower()}",
        "buffer": picture_bytes(colour=colour, kind=kind, size=(800, 600)),
    }


def no_photo(name: str) -> dict:
    return {"name": name, "mimeType": "image/jpeg", "buffer": b"not a picture at all"}


def sideways_photo_with_a_place(name: str) -> dict:
    """As a phone held upright sends it: stored lying, with the turn and the place in its EXIF."""
    picture = Image.new("RGB", (640, 480), "peru")
    ImageDraw.Draw(picture).rectangle((0, 0, 120, 480), fill="black")
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825)[1] = "N"
    target = BytesIO()
    picture.save(target, "JPEG", exif=exif)
    return {"name": name, "mimeType": "image/jpeg", "buffer": target.getvalue()}


def log_instrument(page, *, maker: str, made: str, price: str) -> Instrument:
    """The buyer's page on a phone, with photographs straight from the camera and one file that is none."""
    page.goto("/stock/log/")
    page.get_by_label("Upright").check()
    page.get_by_label("Maker", exact=True).fill(maker)
    page.get_by_label("85, A0 to A7").check()
    page.set_input_files(
        "#id_photos",
        [
            sideways_photo_with_a_place("front.jpg"),
            upload("serial.png", "navy", "PNG"),
            no_photo("note.jpg"),
        ],
    )
    page.get_by_text("2 kept.").wait_for()
    page.locator("#intake-photos").get_by_text("note.jpg").wait_for()
    page.fill("#id_serial", "31447")
    page.fill("#id_made", made)
    page.get_by_text("Understood as").wait_for()
    page.locator("[name=made_basis]").select_option("mark")
    page.fill("#id_seller_name", "Canary Seller")
    page.fill("#id_price_minor", price)
    page.fill("#id_history", "It stood in my aunt's parlour from new.")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Logged as").first.wait_for()
    return Instrument.objects.latest("id")


def settle_coverings(page, instrument) -> None:
    page.goto(f"/stock/{instrument.stock_number}/identity/")
    page.locator("[name=natural_covering][value=celluloid]").check()
    page.locator("[name=sharp_covering][value=stained]").check()
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url(re.compile(rf"/stock/{instrument.stock_number}/"))


def open_order(page, instrument, *codes: str) -> None:
    page.goto(f"/stock/{instrument.stock_number}/orders/open/")
    page.fill("[name=title]", "Touch before the window")
    for code in codes:
        page.locator(f"#task-{code}").check()
    page.get_by_role("button", name="Open the order").click()
    page.get_by_role("heading", name="Touch before the window").wait_for()


def weigh_off(page, instrument, *, heavy_key: int | None = None) -> None:
    """Every key pasted: on the curve, but for one if told so."""
    lines = [
        f"{key} {60 if key == heavy_key else 50} {20 if key == heavy_key else 26}"
        for key in range(1, instrument.key_count + 1)
    ]
    page.goto(f"/stock/{instrument.stock_number}/weigh-off/")
    page.locator("[name=stage][value=after_work]").check()
    page.fill("[name=pasted]", "\n".join(lines))
    page.get_by_role("button", name="Save the weigh-off").click()
    page.wait_for_url(re.compile(r"/weigh-off/\d+/"))


def finish(page, item, *, result: str) -> None:
    page.goto(f"/items/{item.pk}/close/")
    page.fill("[name=result]", result)
    page.get_by_role("button", name="It is done").click()


def write_down_time(page, item, time: str) -> None:
    page.goto(f"/items/{item.pk}/time/")
    page.fill("[name=minutes]", time)
    page.get_by_role("button", name="Write it down").click()
    page.wait_for_url(f"**/items/{item.pk}/")


def write_down_part(page, item, name: str, cost: str) -> None:
    page.goto(f"/items/{item.pk}/part/")
    page.fill("[name=name]", name)
    page.fill("[name=cost_minor]", cost)
    page.get_by_role("button", name="Write it down").click()
    page.wait_for_url(f"**/items/{item.pk}/")


def set_price(page, instrument, amount: str) -> None:
    page.goto(f"/stock/{instrument.stock_number}/price/")
    page.fill("[name=amount_minor]", amount)
    page.get_by_role("button", name="Save").click()
    page.get_by_text("Asking price set.").wait_for()


def show_photos(page, instrument) -> None:
    """Mark every photograph as one that the public may see."""
    for photo in instrument.photos.kept():
        page.goto(f"/stock/{instrument.stock_number}/photos/")
        card = page.locator(f"#photo-{photo.pk}")
        card.get_by_text("Describe").click()
        card.get_by_label("may be shown to the public").check()
        card.get_by_role("button", name="Save").click()
        page.locator(f"#photo-{photo.pk}").get_by_text("Public", exact=True).wait_for()


def publish(page, instrument) -> None:
    page.goto(f"/stock/{instrument.stock_number}/listing/")
    page.get_by_role("button", name="Draft the listing").click()
    page.get_by_role("button", name="Publish", exact=True).click()
    page.get_by_text("It is in the window.").wait_for()


def draft_trial(page, instrument, *, name: str, pay_now: str) -> str:
    """Fill in the agreement for somebody new; the trial's own address."""
    page.goto(f"/stock/{instrument.stock_number}/trial/")
    page.fill("[name=new_name]", name)
    page.fill("[name=new_address]", "4 Salt Lane\nPenhallow")
    page.fill("[name=pay_now_minor]", pay_now)
    page.fill("[name=address]", "4 Salt Lane\nPenhallow")
    page.get_by_role("button", name="Draft the agreement").click()
    page.wait_for_url(re.compile(r"/trials/T[\d-]+/$"))
    return page.url


def start_trial(page, trial_url: str) -> None:
    page.goto(f"{trial_url}start/")
    page.get_by_role("button", name="Paid and signed: start").click()
    page.get_by_text("is out on home trial").first.wait_for()


def exchange(page, trial_url: str, other, price: str = "") -> None:
    page.goto(f"{trial_url}exchange/")
    page.check(f"[name=other][value='{other.pk}']")
    page.fill("[name=other_price_minor]", price)
    page.get_by_role("button", name="Exchange", exact=True).click()
    page.wait_for_url("**/sales/**")


def printed_at(page, url: str) -> bytes:
    """What the button that prints a paper shows."""
    (token,) = (each["value"] for each in page.context.cookies() if each["name"] == "csrftoken")
    answer = page.request.post(url, form={"csrfmiddlewaretoken": token})
    assert answer.headers["content-type"] == "application/pdf"
    return answer.body()


def pdf_at(page, url: str) -> bytes:
    answer = page.request.get(url)
    assert answer.status == 200
    assert answer.headers["content-type"] == "application/pdf"
    return answer.body()
