"""Buying: private seller, trade, lead and part exchange, each with its paper.

A purchase invoice and the stock book's fields: gov.uk, VAT margin schemes, keeping records (CHECKS 6).
"""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from instruments.models import Instrument
from instruments.problems import Blocked, Refused
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.actions.money import record_purchase
from shop.actions.part_exchange import hand_over, waive_untouched
from shop.actions.photo_links import make_link
from shop.actions.sale_course import ask_repair, bring_back
from shop.actions.sales import sell
from shop.models import Lead, Paper, Payment, Person, Purchase
from shop.untouched import orders_held_up, untouched_problems
from shop.verification import Verification
from tests import make
from tests.pictures import upload
from tests.reading import Reading, printed
from tests.scans import pdf_upload
from workorders.problems import item_problems

pytestmark = pytest.mark.django_db

PIANO = {
    "kind": "upright",
    "maker": "Halden & Rook",
    "keys": "85",
    "serial": "48213",
    "natural_covering": "celluloid",
    "sharp_covering": "stained",
    "place": "seller",
    "bought_on": "2026-03-20",
    "price_minor": "250",
    "right_to_sell": "estate",
    "protected_told": "none",
    "told": "Her uncle bought it new at Wenlow fair.",
    "teller": "last_owner_family",
}
PRIVATE = PIANO | {
    "route": "private",
    "new_name": "Edda Marl",
    "new_address": "Mill House\nMarrowby",
}


def words_of(pdf: bytes) -> str:
    return " ".join(Reading(pdf).text.split())


def send(client, name, *args, **typed):
    return client.post(reverse(name, args=args), {"form_token": uuid4().hex} | typed, follow=True)


def test_one_page_makes_number_purchase_statement_and_paper(client, buyer):
    client.force_login(buyer)
    page = send(client, "shop:purchase_new", **PRIVATE).content.decode()
    purchase = Purchase.objects.get()
    instrument = purchase.instrument
    assert instrument.stock_number in page and purchase.own_number in page
    assert purchase.own_number.startswith("P26-") and purchase.price_minor == 25_000
    assert purchase.right_to_sell == "estate" and not purchase.is_from_trade
    statement = instrument.statements.get()
    assert statement.grade == "told" and statement.told_by == "Edda Marl" and not statement.is_public
    address = reverse("shop:purchase_invoice", args=[instrument.stock_number])
    first = printed(client, address).content
    words = words_of(first)
    for wanted in (
        *(purchase.own_number, "20 March 2026", "Edda Marl", "Mill House Marrowby", instrument.stock_number),
        *("Halden & Rook", "48213", "£250.00", "no other cost added", "executor or administrator"),
        *("no ivory", "Wenlow fair", "Signature", "charge no VAT"),
    ):
        assert wanted in words, wanted
    Person.objects.update(address="Elsewhere")
    assert printed(client, address).content == client.get(address).content == first
    assert Paper.objects.count() == 1


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"new_address": ""}, "The invoice needs the seller’s address"),
        ({"right_to_sell": ""}, "declared over their signature"),
        ({"protected_told": ""}, "is an answer"),
        ({"seller_invoice": "7"}, "A private seller writes no invoice"),
        ({"route": "trade"}, "names their invoice by its number"),
        ({"price_minor": ""}, "is still empty"),
        ({"new_name": ""}, "give the name of somebody new"),
        ({"natural_covering": "ivory"}, "not legal advice"),
        ({"bought_on": "2090-01-01"}, "has not come yet"),
    ],
)
def test_what_is_missing_is_said_and_nothing_is_bought(client, buyer, typed, sentence):
    client.force_login(buyer)
    page = send(client, "shop:purchase_new", **PRIVATE | typed).content.decode()
    assert sentence in page and "Wenlow fair" in page
    assert not Instrument.objects.exists() and not Purchase.objects.exists() and not Person.objects.exists()


def test_all_that_is_missing_is_said_at_once(client, buyer):
    client.force_login(buyer)
    typed = PRIVATE | {"natural_covering": "ivory", "maker": "", "price_minor": "", "right_to_sell": ""}
    typed |= {"new_address": "", "keys": "other"}
    page = send(client, "shop:purchase_new", **typed).content.decode()
    for place in (
        *("maker", "price_minor", "right_to_sell", "new_address", "key_count_other", "first_note"),
        "registration",
    ):
        assert f'<a href="#id_{place}">' in page, place
    assert "not legal advice" in page and not Instrument.objects.exists()


def test_the_build_is_folded_until_something_of_it_is_given(client, buyer):
    client.force_login(buyer)
    fold = "<summary>Size, stringing"
    page = client.get(reverse("shop:purchase_new")).content.decode()
    assert f'<details class="data-table">{fold}' in page
    page = send(client, "shop:purchase_new", **PRIVATE | {"maker": "", "height_cm": "1.22"}).content.decode()
    assert f'<details class="data-table" open>{fold}' in page


def test_keys_that_nobody_looked_at_lead_to_what_they_wear(client, buyer):
    client.force_login(buyer)
    page = send(client, "shop:purchase_new", **PRIVATE | {"natural_covering": ""}).content.decode()
    assert '<a href="#id_natural_covering">' in page and not Instrument.objects.exists()


def test_the_series_of_our_invoices_has_no_gaps(client, buyer):
    client.force_login(buyer)
    send(client, "shop:purchase_new", **PRIVATE)
    send(client, "shop:purchase_new", **PRIVATE | {"new_name": "Orla Marl", "natural_covering": "ivory"})
    send(client, "shop:purchase_new", **PRIVATE | {"new_name": "Orla Marl"})
    assert sorted(Purchase.objects.values_list("own_number", flat=True)) == ["P26-001", "P26-002"]


def test_ivory_is_bought_under_the_sellers_registration(client, buyer):
    client.force_login(buyer)
    send(
        client,
        "shop:purchase_new",
        **PRIVATE | {"natural_covering": "ivory", "made": "1912", "made_basis": "document"},
        registration="IV-77-QX",
        registered_on="2026-03-10",
    )
    clearance = Purchase.objects.get().instrument.clearances.get()
    assert clearance.reference == "IV-77-QX" and clearance.in_name_of == "seller"


def test_a_trade_purchase_keeps_their_number_label_and_scan(client, buyer):
    client.force_login(buyer)
    typed = PRIVATE | {"route": "trade", "seller_invoice": "A/77", "scheme_label": "second_hand"}
    send(
        client,
        "shop:purchase_new",
        **typed | {"right_to_sell": "", "protected_told": "", "scan": pdf_upload()},
    )
    purchase = Purchase.objects.get()
    assert purchase.is_from_trade and purchase.invoice_number == "A/77" and not purchase.own_number
    assert purchase.scan.media_type == "application/pdf"
    assert (
        client.get(reverse("shop:purchase_invoice", args=[purchase.instrument.stock_number])).status_code
        == 404
    )


def test_sent_twice_it_buys_once(client, buyer):
    client.force_login(buyer)
    token = uuid4().hex
    for _ in range(2):
        client.post(reverse("shop:purchase_new"), PRIVATE | {"form_token": token})
    assert Purchase.objects.count() == Person.objects.count() == 1


def test_a_lead_becomes_an_instrument_and_its_photographs_move(client, buyer):
    lead = make.make_lead(
        maker="Halden & Rook", kind="upright", key_count=85, story="Never moved.", age_told="1912"
    )
    link = make_link(lead=lead, by=buyer, on=timezone.localdate())
    Client().post(link.get_absolute_url(), {"photos": [upload()]})
    client.force_login(buyer)
    page = client.get(reverse("shop:lead_buy", args=[lead.number])).content.decode()
    assert "Never moved." in page and "Said to be: 1912" in page
    send(client, "shop:lead_buy", lead.number, **PRIVATE)
    lead = Lead.objects.get()
    photo = lead.instrument.photos.get()
    assert (
        lead.state == "bought"
        and not lead.photos.exists()
        and photo.original.storage.exists(photo.original.name)
    )
    assert photo.caption.startswith("Sent by the seller on") and not photo.is_public
    assert Client().get(link.get_absolute_url()).status_code == 404
    again = send(client, "shop:lead_buy", lead.number, **PRIVATE).content.decode()
    assert "has ended: bought" in again and Purchase.objects.count() == 1


# Part exchange. CHECKS section 6 test 8: sell A (bought 1,800) for 4,200, allow 900 for B -> cash 3,300.


@pytest.fixture
def sale(owner):
    instrument = make.make_instrument(maker="Dornstrand")
    make.make_purchase(instrument=instrument, price_minor=180_000, bought_on=make.A_DAY)
    person = make.make_person(name="Annis Fothergale", address="Rose Bank, Hexmoor")
    return sell(instrument=instrument, person=person, price_minor=420_000, by=owner, on=make.A_DAY)


def exchange(client, sale, **typed):
    return send(client, "shop:sale_part_exchange", sale.number, **PIANO | {"price_minor": "900"} | typed)


def test_the_allowance_is_purchase_price_and_value_toward_the_sale(client, owner, sale):
    client.force_login(owner)
    page = exchange(client, sale).content.decode()
    purchase = Purchase.objects.get(route="part_exchange")
    assert purchase.price_minor == 90_000 and purchase.seller == sale.person
    assert purchase.allowed_against == sale.promise and purchase.own_number == "P26-001"
    assert still_to_pay(sale.promise) == 330_000 and sale.price_minor == 420_000
    paid = Payment.objects.get()
    assert paid.amount_minor == 90_000 and paid.method == "exchange"
    assert paid.amount_minor == value_in(sale.promise) + credit_of(sale.person)
    assert "Part exchange" in page and purchase.own_number in page and "£3,300.00 is still to pay" in page
    words = words_of(
        printed(client, reverse("shop:purchase_invoice", args=[purchase.instrument.stock_number])).content
    )
    assert sale.number in words and "£4,200.00" in words and "£900.00" in words
    assert list(Verification().faults()) == []


def test_a_share_for_carriage_that_its_page_does_not_ask_for_is_not_taken(client, owner, sale):
    client.force_login(owner)
    exchange(client, sale, extras_minor="100")
    assert Purchase.objects.get(route="part_exchange").extras_minor == 0


def test_no_more_is_allowed_than_is_still_to_pay(client, owner, sale):
    client.force_login(owner)
    page = exchange(client, sale, price_minor="4300").content.decode()
    assert "more than is still to pay" in page
    assert not Payment.objects.exists() and Instrument.objects.count() == 1


def test_whoever_sells_writes_it_and_no_other_cost_is_shown(client, seller, technician, sale):
    client.force_login(seller)
    page = reverse("shop:sale_part_exchange", args=[sale.number])
    assert page in client.get(sale.get_absolute_url()).content.decode()
    assert "1,800" not in client.get(page).content.decode()
    answer = exchange(client, sale, price_minor="950").content.decode()
    purchase = Purchase.objects.get(route="part_exchange")
    assert purchase.price_minor == 95_000 and purchase.recorded_by == seller
    assert "1,800" not in answer
    assert "950.00" not in client.get(purchase.instrument.get_absolute_url()).content.decode()
    paper = reverse("shop:purchase_invoice", args=[purchase.instrument.stock_number])
    assert paper in answer and client.get(paper).status_code == 200
    for other in (sale.instrument.stock_number, make.make_instrument().stock_number, "26-987"):
        assert client.get(reverse("shop:purchase_invoice", args=[other])).status_code == 403
    client.force_login(technician)
    assert client.get(page).status_code == client.get(paper).status_code == 403


def test_the_allowance_is_not_altered_afterwards(client, owner, sale):
    client.force_login(owner)
    exchange(client, sale)
    instrument = Purchase.objects.get(route="part_exchange").instrument
    with pytest.raises(Refused, match="neither changes afterwards"):
        record_purchase(instrument=instrument, route="part_exchange", price_minor=50_000, by=owner)


def test_it_stays_as_it_came_until_the_buyers_days_are_over(client, owner, sale):
    """CRA 2015 s. 22(3): 30 days beginning with the first day after; s. 20(12): in its original state."""
    client.force_login(owner)
    exchange(client, sale)
    instrument = Purchase.objects.get(route="part_exchange").instrument
    item = make.make_item(order=make.make_order(instrument=instrument))
    assert "days to reject begin when" in untouched_problems(instrument)[0].sentence
    assert any("stay as it came" in problem.sentence for problem in item_problems(item))
    assert list(orders_held_up()) == [item.order_id]
    with pytest.raises(Blocked, match="stay as it came"):
        sell(instrument=instrument, person=make.make_person(name="B"), price_minor=1, by=owner, on=make.A_DAY)
    handed = make.A_DAY + timedelta(days=4)
    hand_over(sale=sale, handed_over_on=handed, by=owner)
    assert untouched_problems(instrument, on=handed + timedelta(days=30))
    assert untouched_problems(instrument, on=handed + timedelta(days=31)) == []


def test_many_orders_agree_with_one(client, owner, sale):
    client.force_login(owner)
    exchange(client, sale)
    instrument = Purchase.objects.get(route="part_exchange").instrument
    make.make_order(instrument=instrument)
    today = timezone.localdate()
    for ago, held in ((29, True), (30, True), (31, False)):
        hand_over(sale=sale, handed_over_on=today - timedelta(days=ago), by=owner)
        assert bool(untouched_problems(instrument)) == orders_held_up().exists() == held, ago


def test_a_repair_asked_for_keeps_it_longer_and_many_agree_with_one(client, owner, sale):
    """CRA 2015 s. 22(6) to (8): the days to reject stand still, and seven are left at least."""
    client.force_login(owner)
    exchange(client, sale)
    instrument = Purchase.objects.get(route="part_exchange").instrument
    make.make_order(instrument=instrument)
    today = timezone.localdate()
    hand_over(sale=sale, handed_over_on=today - timedelta(days=31), by=owner)
    assert untouched_problems(instrument) == [] and not orders_held_up().exists()
    asked = ask_repair(sale=sale, asked_on=today - timedelta(days=9), what="A string", by=owner)
    assert "stand still" in untouched_problems(instrument)[0].sentence and orders_held_up().exists()
    bring_back(asked=asked, back_on=today - timedelta(days=7), put_right=True, by=owner)
    assert bool(untouched_problems(instrument)) == orders_held_up().exists() is True
    assert untouched_problems(instrument, on=today + timedelta(days=3)) == []


def test_only_the_owner_waives_it_and_says_why(client, owner, buyer, sale):
    client.force_login(owner)
    exchange(client, sale)
    instrument = Purchase.objects.get(route="part_exchange").instrument
    make.make_order(instrument=instrument)
    with pytest.raises(Refused):
        waive_untouched(instrument=instrument, reason="x", by=buyer)
    page = send(client, "shop:untouched_waive", instrument.stock_number, reason="").content.decode()
    assert "original state" in page and untouched_problems(instrument)
    send(client, "shop:untouched_waive", instrument.stock_number, reason="The buyer is a school.")
    assert untouched_problems(instrument) == [] and not orders_held_up().exists()


def test_a_part_exchange_without_its_payment_is_found(owner, sale):
    make.make_purchase(
        instrument=make.make_instrument(),
        route="part_exchange",
        allowed_against=sale.promise,
        price_minor=500,
    )
    assert any("no payment of its allowance" in fault for fault in Verification().faults())


def test_an_address_missing_on_a_card_is_written_where_the_invoice_asks_for_it(client, buyer):
    person = make.make_person(name="Annis Fothergale", address="")
    client.force_login(buyer)
    typed = PRIVATE | {"person": person.pk, "new_name": "", "new_address": ""}
    page = send(client, "shop:purchase_new", **typed).content.decode()
    assert "The invoice needs Annis Fothergale’s address. Write it here; it goes on their card." in page
    assert not Purchase.objects.exists()
    send(client, "shop:purchase_new", **typed | {"new_address": "Rose Bank, Hexmoor"})
    person.refresh_from_db()
    assert Purchase.objects.get().seller == person
    assert person.address == "Rose Bank, Hexmoor"
