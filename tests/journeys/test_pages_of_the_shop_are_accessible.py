"""The pages of people, money and papers, as a phone shows them. The workshop's are in the file beside."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tests.journeys.seen_pages import faults_on, pages_of_the_shop

pytestmark = pytest.mark.django_db(transaction=True)


def an_import(client) -> str:
    """The preview of a stock list with a row that cannot be taken in as it is."""
    headings = client.get("/stock/import/stock.csv").getvalue()
    stock = SimpleUploadedFile("stock.csv", headings + b"Castlemere\r\n")
    return client.post("/stock/import/", {"file": stock}).url


def test_every_page_of_the_shop_is_accessible_and_fits_a_phone(signed_in, client, world):
    found = pages_of_the_shop(client, world) | {"shop:import_preview": an_import(client)}
    assert {"today", "stock", "window", "shop:books", "shop:trial_page"} <= set(found)
    assert not {"health", "listing_photo", "shop:seller_matches", "shop:listing_sheet"} & set(found)
    assert faults_on(signed_in, found) == {}
