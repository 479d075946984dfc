"""Source: schema.org (IndividualProduct, Offer, PropertyValue, item conditions); the rest is our own rule."""

from dataclasses import replace

import pytest

from shop.calc.linked_data import Piece, Property, individual_product

PIECE = Piece(
    name="Halden & Rook upright",
    stock_number="26-014",
    maker="Halden & Rook",
    serial="31 447",
    made="1912",
    price="1395.00",
    currency="GBP",
)


def data(**changes) -> dict:
    return individual_product(replace(PIECE, **changes))


def test_it_is_one_single_product_with_its_serial_number():
    found = data()
    assert (found["@context"], found["@type"]) == ("https://schema.org", "IndividualProduct")
    assert (found["serialNumber"], found["sku"]) == ("31 447", "26-014")


def test_no_trade_number_is_invented():
    assert not {"gtin", "gtin13", "mpn", "productID"} & set(data())


def test_it_is_refurbished_only_where_an_order_of_work_is_closed():
    assert data()["itemCondition"] == "https://schema.org/UsedCondition"
    assert data(is_restored=True)["itemCondition"] == "https://schema.org/RefurbishedCondition"


def test_a_price_is_plain_and_names_its_currency_and_no_tax():
    offer = data()["offers"]
    assert (offer["price"], offer["priceCurrency"]) == ("1395.00", "GBP")
    assert not any("tax" in name.casefold() for name in offer)


@pytest.mark.parametrize("price", ["", "0", "0.00"])
def test_without_a_price_nothing_is_offered(price):
    assert "offers" not in data(price=price)


def test_ivory_without_a_registration_is_not_offered():
    assert "offers" not in data(may_be_offered=False)


@pytest.mark.parametrize("availability", ["InStock", "Reserved", "SoldOut"])
def test_whether_it_can_be_had_is_said_in_schema_words(availability):
    assert data(availability=availability)["offers"]["availability"] == f"https://schema.org/{availability}"


@pytest.mark.parametrize("made", ["1912", "1912-05", "1912-05-03"])
def test_a_plain_date_is_a_production_date(made):
    assert data(made=made)["productionDate"] == made


@pytest.mark.parametrize("made", ["1931?", "1931~", "193X", "1930/1935", "../1975"])
def test_another_date_is_no_production_date_but_a_property_in_edtf(made):
    found = data(made=made)
    assert "productionDate" not in found
    assert {"@type": "PropertyValue", "name": "Made (EDTF)", "value": made} in found["additionalProperty"]


def test_what_is_not_known_has_no_key():
    found = individual_product(Piece("Upright", "26-001"))
    assert set(found) == {"@context", "@type", "name", "sku", "itemCondition"}


def test_what_is_said_stands_with_how_it_is_known():
    said = Property("Owned", "We were told that it stood in a school; we have seen no paper.", "Told")
    (found,) = data(properties=(said,))["additionalProperty"]
    assert (found["name"], found["value"], found["description"]) == ("Owned", said.value, "Told")
