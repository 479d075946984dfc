"""From the purchase to the exchange, pressed through by four people in a real browser."""

import pytest
from django.utils import timezone
from PIL import Image

from instruments.models import Instrument
from shop.actions.ledger import credit_of, still_to_pay
from shop.models import Payment, Person, Sale, ShopProfile, Trial
from tests import make
from tests.journeys import steps
from tests.reading import Reading
from workorders.actions.bench import set_rate
from workorders.actions.tasks import load_tasks
from workorders.currency import in_words
from workorders.models import WorkItem

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def desk(open_page):
    return open_page(viewport=steps.SALES_DESK)


@pytest.fixture
def tablet(open_page):
    return open_page(viewport=steps.TECHNICIANS_TABLET, has_touch=True)


@pytest.fixture
def other_piano(db):
    """A dearer one that nobody has been promised."""
    instrument = make.make_instrument(maker="Castlemere", key_count=88, stock_number="25-900")
    make.make_price(instrument=instrument, amount_minor=240_000)
    return instrument


def test_from_the_purchase_to_both_papers_and_the_exchange(
    phone, tablet, desk, open_page, buyer, technician, seller, owner, other_piano
):
    load_tasks()
    set_rate(person=None, per_hour_minor=2_800, since=timezone.localdate(), by=owner)
    ShopProfile.objects.create(pk=1, name="Larkrow Pianos", address="3 Larkrow, Kettlebeck")
    steps.log_in(phone, buyer)
    instrument = steps.log_instrument(phone, maker="Halden & Rook", made="about 1912", price="180")
    the_record_holds_what_was_logged(phone, instrument)
    steps.settle_coverings(phone, instrument)

    steps.log_in(tablet, technician)
    the_bench_does_it_in_order(tablet, instrument)
    cost_is_the_owners_to_see(tablet, open_page, owner, instrument)

    steps.log_in(desk, seller)
    steps.set_price(desk, instrument, "1,800")
    steps.show_photos(desk, instrument)
    steps.publish(desk, instrument)
    the_sheet_says_what_can_be_stood_behind(desk, instrument)
    stranger = open_page(viewport={"width": 360, "height": 740})
    a_stranger_sees_it_without_cost_or_seller(stranger, instrument)

    trial_url = steps.draft_trial(desk, instrument, name="Nell Sorrel", pay_now="1,000")
    assert "Draft, not signed" in Reading(steps.pdf_at(desk, f"{trial_url}agreement.pdf")).text
    steps.start_trial(desk, trial_url)
    the_agreement_names_both_and_the_three_endings(desk, trial_url)
    nobody_else_gets_it(desk, stranger, instrument)

    steps.exchange(desk, trial_url, other_piano)
    desk.get_by_text("£1,400.00 is still to pay.").wait_for()
    assert still_to_pay(Sale.objects.get().promise) == 140_000
    desk.goto(f"/people/{Person.objects.get(name='Nell Sorrel').pk}/")
    desk.get_by_text("Credit used for sale of").wait_for()


def the_record_holds_what_was_logged(phone, instrument: Instrument) -> None:
    assert phone.get_by_text("the top three notes were not made").first.is_visible()
    upright = instrument.photos.get(original_name="front.jpg")
    assert (upright.width, upright.height) == (480, 640)
    with upright.page.open("rb") as made:
        assert dict(Image.open(made).getexif()) == {}


def the_bench_does_it_in_order(tablet, instrument: Instrument) -> None:
    steps.open_order(tablet, instrument, "lubricate-action", "set-touch-weight")
    touch = WorkItem.objects.get(task__code="set-touch-weight")
    tablet.goto(f"/items/{touch.pk}/")
    tablet.get_by_text("Lubricate the action first").first.wait_for()
    lubricate = WorkItem.objects.get(task__code="lubricate-action")
    steps.write_down_time(tablet, lubricate, "1 h 30")
    steps.write_down_part(tablet, lubricate, "Dry lubricant", "4.50")
    steps.finish(tablet, lubricate, result="Pins, bushings and springs; every note returns briskly")
    tablet.wait_for_url("**/orders/**")
    steps.weigh_off(tablet, instrument, heavy_key=40)
    steps.finish(tablet, touch, result="Weighed off throughout")
    tablet.get_by_text("C4").first.wait_for()
    assert WorkItem.objects.get(pk=touch.pk).is_open
    steps.weigh_off(tablet, instrument)
    steps.finish(tablet, touch, result="Weighed off throughout")
    tablet.wait_for_url("**/orders/**")
    assert not WorkItem.objects.open().exists()


def cost_is_the_owners_to_see(tablet, open_page, owner, instrument: Instrument) -> None:
    costs = ("£180.00", "£42.00", "£4.50", "£226.50")  # bought, 1 h 30 at £28, the part, and all of it
    tablet.goto(instrument.get_absolute_url())
    assert "£" not in tablet.inner_text("main")
    owners = open_page(viewport=steps.SALES_DESK)
    steps.log_in(owners, owner)
    owners.goto(instrument.get_absolute_url())
    assert [amount for amount in costs if amount not in owners.inner_text("#money")] == []


def the_sheet_says_what_can_be_stood_behind(desk, instrument: Instrument) -> None:
    sheet = Reading(steps.pdf_at(desk, f"/stock/{instrument.stock_number}/sale-sheet.pdf"))
    for words in (
        "Halden & Rook",
        "£1,800",
        "bout 1912",
        "from a date mark inside",
        "the top three notes were not made",
        "Set the touch weight: Weighed off throughout",
    ):
        assert words in sheet.text
    assert "Canary Seller" not in sheet.text


def a_stranger_sees_it_without_cost_or_seller(stranger, instrument: Instrument) -> None:
    stranger.goto("/window/")
    stranger.get_by_role("heading", name="Halden & Rook").click()
    stranger.get_by_text("from a date mark inside").first.wait_for()
    page = stranger.content()
    assert "Canary Seller" not in page
    assert "£180" not in page.replace("£1,800", "")


def the_agreement_names_both_and_the_three_endings(desk, trial_url: str) -> None:
    paper = Reading(steps.pdf_at(desk, f"{trial_url}agreement.pdf"))
    trial = Trial.objects.get(number=trial_url.rstrip("/").rsplit("/", 1)[-1])
    both_parties = ("Larkrow Pianos", "3 Larkrow", "Nell Sorrel", "Salt Lane")
    figures = ("31447", "£1,000.00", "£800.00", f"{trial.ends_on:%-d %B %Y}")
    credit_rule = ("Part-exchange credit", "set against the marked price of the other instrument")
    for words in both_parties + figures + credit_rule:
        assert words in paper.text
    for ending in ("Keep it", "Exchange it", "Return it"):
        assert ending.lower() in paper.text.lower()
    assert 1 <= paper.page_count <= 2


def nobody_else_gets_it(desk, stranger, instrument: Instrument) -> None:
    stranger.goto("/window/")
    assert stranger.get_by_text("Halden & Rook").count() == 0
    second = steps.draft_trial(desk, instrument, name="Wilf Arden", pay_now="0")
    desk.goto(f"{second}start/")
    desk.get_by_role("button", name="Paid and signed: start").click()
    desk.get_by_text("It is promised to Nell Sorrel.").first.wait_for()
    assert Payment.objects.count() == 1


@pytest.fixture
def running(db, seller):
    return make.make_running_trial(person=make.make_person(name="Nell Sorrel"), on=timezone.localdate())


def test_an_exchange_for_a_cheaper_one_leaves_credit_on_the_account(desk, seller, running, other_piano):
    steps.log_in(desk, seller)
    steps.exchange(desk, f"/trials/{running.number}/", other_piano, "1,200")
    desk.get_by_text("£600.00 is left in credit.").wait_for()
    desk.goto(running.person.get_absolute_url())
    desk.get_by_text("Has £600.00 in credit with us.").wait_for()
    assert credit_of(running.person) == 60_000


def test_the_account_page_says_what_the_ledger_holds(desk, seller, running, other_piano):
    steps.log_in(desk, seller)
    steps.exchange(desk, f"/trials/{running.number}/", other_piano, "1,200")
    desk.goto(running.person.get_absolute_url())
    lines = desk.locator("#account tbody tr")
    assert lines.last.locator("td").last.inner_text() == in_words(credit_of(running.person))
    paid = sum(Payment.objects.values_list("amount_minor", flat=True))
    assert lines.first.locator("td[data-label=Paid]").inner_text() == in_words(paid)
    assert still_to_pay(Sale.objects.get().promise) == 0


def test_a_trial_that_is_kept_becomes_the_sale(desk, seller, running):
    steps.log_in(desk, seller)
    desk.goto(f"/trials/{running.number}/keep/")
    desk.get_by_role("button", name="Make it a sale").click()
    desk.get_by_text("Paid in full.").wait_for()
    assert Sale.objects.get().instrument == running.instrument


def test_a_damaged_return_gives_back_what_is_left(desk, seller, running):
    steps.log_in(desk, seller)
    desk.goto(f"/trials/{running.number}/return/")
    desk.fill("[name=deduction_minor]", "40")
    desk.fill("[name=note]", "A castor broken on the stairs, agreed")
    desk.select_option("[name=agreed_how]", "signed")
    desk.get_by_role("button", name="End the trial").click()
    desk.get_by_text("A castor broken on the stairs, agreed").wait_for()
    assert sum(Payment.objects.values_list("amount_minor", flat=True)) == 4_000
