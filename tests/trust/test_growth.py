"""The pages ask the database no more of a full shop than of a small one: the number of queries is here."""

import subprocess
import sys
from contextlib import nullcontext
from copy import copy
from types import SimpleNamespace

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from instruments.models import Finding, Instrument, Photo, Statement
from shop.models import AskingPrice
from tests.bench.filling import fill
from tests.bench.whole_tables import read_whole, read_whole_without
from tests.trust.board import TREE
from workorders.models import TimeSpent, WorkItem

pytestmark = [pytest.mark.django_db, pytest.mark.both]

# Session, user, rights and the shop's own name are four of each.
QUERIES = {
    "/": 6,
    "/books/": 7,
    "/stock/": 7,
    "/stock/?state=all&sort=dearest": 7,
    "/stock/?state=sold": 7,
    "/people/": 6,
    "/offered/": 6,
    "/books/receipts/": 9,
    "/books/lines/": 9,
}
# The instrument itself, and four in which all is asked together that its page tells.
OF_AN_INSTRUMENT = 9
OF_STRANGERS = {"/window/": 6, "/window/?order=dearest&height_from=100": 8}


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
    for instrument in (Instrument.objects.order_by("id")[0], Instrument.objects.order_by("-id")[0]):
        assert asked(client, instrument.get_absolute_url()) == OF_AN_INSTRUMENT


def test_the_page_of_an_instrument_asks_no_more_as_its_story_grows(client, django_user_model):
    """With fifty of whatever its page tells, it asks as often as with a few; whoever looks."""
    fill(3)
    instrument = Instrument.objects.order_by("-id")[0]
    path, counts = instrument.get_absolute_url(), {}
    for username in ("olive", "tobias"):
        client.force_login(django_user_model.objects.get(username=username))
        counts[username] = asked(client, path)
    assert counts == {"olive": OF_AN_INSTRUMENT, "tobias": OF_AN_INSTRUMENT}
    add_to_its_story(instrument, 50)
    for username, count in counts.items():
        client.force_login(django_user_model.objects.get(username=username))
        assert asked(client, path) == count, username
    page = client.get(path).content.decode()
    assert "Told once more, 49" in page and page.count("<img ") > 50


def test_a_query_that_lost_its_index_is_seen_to_read_a_whole_table(monkeypatch):
    fill(40)
    monkeypatch.setattr("tests.bench.whole_tables.LARGE", 20)
    shop = SimpleNamespace(open=nullcontext)
    asked = [("its page", 'SELECT * FROM "instruments_statement" WHERE "instrument_id" = 7')]
    lost = "instruments_statement", "instrument_id"
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":  # which would read so few rows whole, index or not
            cursor.execute("SET LOCAL enable_seqscan = off")
    assert read_whole(shop, asked) == []
    assert read_whole_without(shop, asked, {}, *lost) == ["its page: instruments_statement"]
    assert read_whole(shop, asked) == []


def add_to_its_story(instrument: Instrument, count: int) -> None:
    """Photographs, statements, findings, prices, work with time spent, and changes that were made."""
    first = {
        model: model.objects.filter(**{whose: instrument}).order_by("-id")[0]
        for model, whose in (
            (Photo, "instrument"),
            (Statement, "instrument"),
            (Finding, "instrument"),
            (AskingPrice, "instrument"),
            (WorkItem, "order__instrument"),
            (TimeSpent, "item__order__instrument"),
        )
    }
    words = {Statement: "text", AskingPrice: "reason", WorkItem: "note"}
    for model, row in first.items():
        for place in range(count):
            more = copy(row)
            more.pk, more._state.adding = None, True
            if model in words:
                setattr(more, words[model], f"Told once more, {place}")
            if model is Photo:
                more.sha256 = f"{place:064d}"
            model._base_manager.bulk_create([more])
    when, change = timezone.now(), Instrument.history.model
    tracked = [field.attname for field in change.tracked_fields]
    whole = {name: getattr(instrument, name) for name in tracked}
    changes = (
        change(**whole, history_date=when, history_type="~", history_change_reason=f"Put right, {place}")
        for place in range(count)
    )
    change.objects.bulk_create(changes)


def test_what_serves_pages_has_not_read_in_what_only_spreadsheets_and_sounds_need():
    """numpy by itself is thirty megabytes in each process, and half a second before the first answer."""
    told = (
        "import sys, django; django.setup(); import shop.urls;"
        "print([each for each in ('numpy', 'openpyxl', 'av', 'boto3') if each in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", told], cwd=TREE, capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
