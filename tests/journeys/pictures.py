"""The README's pictures, taken anew from the demo as it runs: not a test, and never part of the suite.

Serve the demo in one terminal (`manage.py demo`), then, with the same WRESTPLANK_DATA:

    python -m tests.journeys.pictures http://127.0.0.1:8000

Every picture of `static/tour/` is written again. Looking at them is left to whoever asked.
"""

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import django

TOUR = Path(__file__).resolve().parents[2] / "static" / "tour"
QUALITY = 82
DESK, PHONE = 1152, 360
PAPER_DOTS_PER_INCH, PAPER_MARGIN, DESK_TOP = 84, 30, "#e7dccb"


@dataclass(frozen=True)
class Shot:
    """The upper `high` pixels of one page, as one person sees it; nobody is a stranger."""

    name: str
    who: str
    address: Callable[[], str]
    high: int
    wide: int = DESK


def shots() -> tuple[Shot, ...]:
    from shop.models import Trial
    from shop.states import PromiseOutcome
    from workorders.models import WorkOrder

    told, order = most_told_of(), WorkOrder.objects.open().order_by("id")
    busiest = max(order, key=lambda each: each.items.count())
    exchanged = Trial.objects.filter(outcome=PromiseOutcome.EXCHANGED).first()
    return (
        Shot("today", "olive", lambda: "/", 608),
        Shot("stock", "olive", lambda: "/stock/", 720),
        Shot("intake-phone", "bram", lambda: "/stock/log/", 900, PHONE),
        Shot("instrument", "olive", told.instrument.get_absolute_url, 1000),
        Shot("bench-phone", "tobias", lambda: "/bench/", 900, PHONE),
        Shot("work", "tobias", busiest.get_absolute_url, 720),
        Shot("touch", "tobias", weigh_off_out_by_friction, 720),
        Shot("listing", "selma", listing_of_the_record, 1000),
        Shot("window", "", lambda: "/window/", 800),
        Shot("trial", "selma", exchanged.get_absolute_url, 640),
    )


def most_told_of():
    from shop.demo.papers import most_told_of

    return most_told_of()


def listing_of_the_record() -> str:
    """The editor of the listing in the window that keeps closest to what the record says."""
    from django.urls import reverse

    from shop.models import Listing
    from shop.wording_problems import unrecorded_cautions

    shown = Listing.objects.in_window().select_related("instrument")
    closest = min(shown, key=lambda listing: (len(unrecorded_cautions(listing)), -len(listing.history_words)))
    return reverse("shop:listing_edit", args=[closest.instrument.stock_number])


def weigh_off_out_by_friction() -> str:
    """Of the weigh-offs whose keys are out by friction alone, the one with the most of them."""
    from django.urls import reverse

    from instruments.models import Weighing
    from instruments.touch import verdict_of

    def stuck(weighing) -> int:
        causes = [key.cause for key in verdict_of(weighing, weighing.instrument).keys if not key.inside]
        return len(causes) if set(causes) == {"friction"} else 0

    worst = max(Weighing.objects.select_related("instrument"), key=stuck)
    return reverse("instruments:weighing_page", args=[worst.instrument.stock_number, worst.pk])


def take_pages(base: str) -> None:
    from playwright.sync_api import sync_playwright

    from tests.browser import CHROMIUM, SWITCHES

    wanted = shots()
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright keeps an event loop in this thread
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        for shot in wanted:
            scale = 2 if shot.wide == PHONE else 1
            viewport = {"width": shot.wide, "height": shot.high}
            context = browser.new_context(base_url=base, viewport=viewport, device_scale_factor=scale)
            page = context.new_page()
            if shot.who:
                sign_in(page, shot.who)
            page.goto(shot.address(), wait_until="networkidle")
            keep(page.screenshot(), shot.name)
            context.close()
        browser.close()


def sign_in(page, username: str) -> None:
    from shop.demo.people import STAFF

    page.goto("/login/")
    page.fill("[name=username]", username)
    page.fill("[name=password]", next(each.password for each in STAFF if each.username == username))
    page.press("[name=password]", "Enter")
    page.get_by_role("heading", name="Today").wait_for()


def take_papers() -> None:
    """The first pages of the sale sheet and of an agreement that was kept, side by side on a desk."""
    from django.utils import timezone
    from PIL import Image

    from shop.demo.papers import example_papers

    papers = dict(example_papers(on=timezone.localdate()))
    sheet = next(pdf for name, pdf in papers.items() if name.startswith("sale-sheet"))
    kept = next(pdf for name, pdf in papers.items() if "agreement" in name and "draft" not in name)
    pages = [first_page(pdf) for pdf in (sheet, kept)]
    width, height = pages[0].size
    desk = Image.new("RGB", (2 * width + 3 * PAPER_MARGIN, height + 2 * PAPER_MARGIN), DESK_TOP)
    for place, page in enumerate(pages):
        desk.paste(page, (PAPER_MARGIN + place * (width + PAPER_MARGIN), PAPER_MARGIN))
    desk.save(TOUR / "papers.webp", quality=QUALITY, method=6)


def first_page(pdf: bytes):
    from PIL import Image

    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf)
        file.flush()
        command = ["pdftoppm", "-png", "-singlefile", "-r", str(PAPER_DOTS_PER_INCH), file.name]
        return Image.open(BytesIO(subprocess.run(command, check=True, capture_output=True).stdout))


def keep(png: bytes, name: str) -> None:
    from PIL import Image

    Image.open(BytesIO(png)).convert("RGB").save(TOUR / f"{name}.webp", quality=QUALITY, method=6)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    take_pages(sys.argv[1])
    take_papers()
