"""The pages ask the database no more of a full shop than of a small one: the number of queries is here."""

import subprocess
import sys

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from instruments.models import Instrument
from tests.bench.filling import fill
from tests.trust.board import TREE

pytestmark = [pytest.mark.django_db, pytest.mark.both]

# Session, user, rights and the shop's own name are five of each.
QUERIES = {
    "/stock/": 8,
    "/stock/?state=all&sort=dearest": 8,
    "/stock/?state=sold": 8,
    "/people/": 7,
    "/offered/": 7,
    "/books/receipts/": 10,
    "/books/lines/": 10,
}
OF_STRANGERS = {"/window/": 6, "/window/?order=dearest&height_from=100": 7}


def asked(client, path: str) -> int:
    client.get(path)  # what is kept for the process is kept from here on
    with CaptureQueriesContext(
        connection,
    ) as captured:
        assert client.get(path).status_code == 200
    return len([each for each in captured if not each["sql"].startswith(("SAVEPOINT", "RELEASE"))])


@pytest.mark.parametrize("size", [20, 60])
def test_the_number_of_queries_is_the_same_at_every_size(client, size, django_user_model):
    fill(size)
    assert {path: asked(client, path) for path in OF_STRANGERS} == OF_STRANGERS
    client.force_login(django_user_model.objects.get(username="olive"))
    assert {path: asked(client, path) for path in QUERIES} == QUERIES
    number = Instrument.objects.values_list("stock_number", flat=True)[0]
    assert asked(client, f"/stock/{number}/") <= 120


def test_what_serves_pages_has_not_read_in_what_only_spreadsheets_and_sounds_need():
    """numpy by itself is thirty megabytes in each process, and half a second before the first answer."""
    told = (
        "import sys, django; django.setup(); import shop.urls;"
        "print([each for each in ('numpy', 'openpyxl', 'av', 'boto3') if each in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", told], cwd=TREE, capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
