import pytest

from shop.actions.money import add_cost
from shop.models import ShopProfile
from shop.states import TaxScheme
from tests import make

pytestmark = pytest.mark.django_db


def page_of(client, user, instrument) -> str:
    client.force_login(user)
    return client.get(instrument.get_absolute_url()).content.decode()


def test_a_bare_instrument_has_a_whole_page(client, owner):
    page = page_of(client, owner, make.make_instrument(maker="unknown", key_count=88))
    assert "Maker unknown" in page
    assert "88 keys, A0 to C8" in page


def test_the_page_says_what_stands_between_it_and_the_window(client, seller):
    page = page_of(client, seller, make.make_instrument())
    assert "2 things stand between this piano and the window." in page
    assert "No asking price is set." in page


def test_the_absent_top_notes_of_85_are_drawn_as_absent(client, owner):
    page = page_of(client, owner, make.make_instrument(key_count=85))
    assert "the top three notes were not made" in page


def test_cost_and_seller_are_for_those_whose_work_needs_them(client, owner, technician):
    instrument = make.make_instrument()
    make.make_purchase(instrument=instrument, price_minor=123_456, seller=make.make_person(name="Ada Quill"))
    assert "£1,234.56" in page_of(client, owner, instrument)
    technicians_page = page_of(client, technician, instrument)
    assert "£1,234.56" not in technicians_page
    assert "Ada Quill" not in technicians_page


def test_true_cost_and_margin_are_sums(client, owner):
    instrument = make.make_instrument()
    make.make_purchase(instrument=instrument, price_minor=60_000)
    make.make_price(instrument=instrument, amount_minor=125_000)
    add_cost(instrument=instrument, kind="transport", amount_minor=15_000, by=owner, on=make.A_DAY)
    page = page_of(client, owner, instrument)
    # VAT on the margin of 650.00 is 108.33; 1,250.00 - 108.33 - 750.00 = 391.67
    assert "£750.00" in page
    assert "£108.33" in page
    assert "£391.67" in page


def test_what_happened_is_told_with_who_did_it(client, owner):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument, by=owner)
    assert "Asking price £1,800.00" in page_of(client, owner, instrument)


def test_an_unknown_stock_number_is_a_friendly_404(client, owner):
    client.force_login(owner)
    assert client.get("/stock/99-999/").status_code == 404


def test_the_page_asks_the_database_no_more_for_many_rows(client, owner, django_assert_max_num_queries):
    instrument = make.make_instrument()
    client.force_login(owner)
    client.get(instrument.get_absolute_url())
    with django_assert_max_num_queries(107) as before:
        client.get(instrument.get_absolute_url())
    order = make.make_order(instrument=instrument)
    for number in range(6):
        make.make_item(order=order, name=f"Item {number}")
        make.make_statement(instrument=instrument, text=f"Story {number}")
        make.make_price(instrument=instrument)
    with django_assert_max_num_queries(107) as after:
        client.get(instrument.get_absolute_url())
    assert (
        len(after) - len(before) <= 8
    )  # a price asked brings its tax along, an order each rule that may hold it up


def test_who_has_it_is_named_to_those_who_may_see_people(client, seller, technician):
    instrument = make.make_instrument()
    make.make_running_trial(instrument=instrument, person=make.make_person(name="Ada Quill"))
    assert "It is promised to Ada Quill." in page_of(client, seller, instrument)
    technicians_page = page_of(client, technician, instrument)
    assert "is out on home trial until" in technicians_page
    assert "Ada Quill" not in technicians_page


@pytest.mark.parametrize(
    ("scheme", "tax", "margin"),
    [("margin", "£250.00", "£1,250.00"), ("standard", "£300.00", "£1,200.00"), ("none", None, "£1,500.00")],
)
def test_margin_is_what_the_shops_own_tax_leaves(client, owner, scheme, tax, margin):
    """£1,800 asked, £300 paid, at 20 %: a sixth of the margin, or a sixth of the price (gov.uk)."""
    ShopProfile(pk=1, tax_scheme=scheme).save()
    instrument = make.make_instrument()
    make.make_price(instrument=instrument, amount_minor=180_000)
    make.make_purchase(instrument=instrument, price_minor=30_000)
    page = page_of(client, owner, instrument)
    assert f'<td class="money">{margin}</td>' in page
    words = TaxScheme(scheme).label
    assert (words in page) == (tax is not None)
    assert tax is None or f'<td class="money">{tax}</td>' in page
