"""What is asked together is answered as each question is by itself, in one query."""

from decimal import Decimal

import pytest
from django.db import connection
from django.db.models import Avg, Count, Exists, Max, OuterRef
from django.test.utils import CaptureQueriesContext

from instruments.models import Finding, Instrument, Photo, Statement
from instruments.models.together import answer, asking, together
from instruments.models.worded import ASKED, of_one
from shop.models import CostLine, Listing, Purchase, ShopProfile
from tests.bench.filling import fill
from workorders.models import WorkItem, WorkOrder

pytestmark = [pytest.mark.django_db, pytest.mark.both]


def questions() -> list:
    done = Max("items__closed_at")
    photos = Photo.objects.filter(instrument=OuterRef("pk"))
    return [
        Instrument.objects.order_by("-id")[:5],
        Instrument.objects.annotate(seen=Exists(photos)).order_by("stock_number"),
        Instrument.objects.values("kind").annotate(mean=Avg("height_cm"), count=Count("id")).order_by("kind"),
        Instrument.objects.none(),
        Instrument.objects.filter(pk=-1),
        Statement.objects.select_related("instrument", "recorded_by").order_by("-id")[:7],
        Finding.objects.values_list("signs", "recorded_at", "part").order_by("id"),
        Purchase.objects.values_list("bought_on", flat=True).order_by("id"),
        Purchase.objects.select_related("seller").order_by("id"),
        CostLine.objects.order_by("id"),
        Listing.objects.select_related("instrument").order_by("id"),
        ShopProfile.objects.all(),
        WorkOrder.objects.annotate(last=done).order_by("id"),
        WorkItem.objects.select_related("order", "task", "assigned_to").order_by("rank", "id"),
        Instrument.history.order_by("-history_id")[:3],
    ]


def said(rows) -> list:
    return [_told(row) if hasattr(row, "_state") else row for row in rows]


def _told(row) -> tuple:
    own = {name: value for name, value in vars(row).items() if name != "_state"}
    joined = {name: vars(each)["id"] for name, each in row._state.fields_cache.items() if each is not None}
    return type(row), own, joined


@pytest.fixture
def shop():
    fill(12)
    profile = ShopProfile.current()
    profile.reserve_percent = Decimal("2.50")
    profile.save()
    Instrument.objects.latest("id").save()


def test_answers_are_those_of_each_question_by_itself(shop):
    with CaptureQueriesContext(connection) as captured:
        answer(asked := questions())
    assert len(captured) == 1
    alone = questions()
    assert [said(each) for each in asked] == [said(each) for each in alone]
    assert [place for place, rows in enumerate(alone) if not rows] == [3, 4]
    kinds = {type(value) for rows in alone for row in said(rows) if type(row) is tuple for value in _all(row)}
    assert {"date", "datetime", "Decimal", "bool"} <= {kind.__name__ for kind in kinds}


def _all(row: tuple) -> list:
    return [*row[1].values()] if len(row) == 3 and isinstance(row[1], dict) else [*row]


def test_an_answered_question_is_not_put_again(shop):
    rows = Instrument.objects.order_by("-id")
    answer([rows])
    with CaptureQueriesContext(connection) as captured:
        assert rows.first() == next(iter(rows))
        assert (rows.exists(), rows.count()) == (True, 12)
    assert len(captured) == 0


@asking
def first_and_its_photos(order: str):
    (instruments,) = yield (Instrument.objects.order_by(order)[:1],)
    (photos,) = yield (Photo.objects.filter(instrument=instruments[0]).order_by("id"),)
    return instruments[0], list(photos)


def test_functions_take_turns_and_ask_what_is_alike_once(shop):
    with CaptureQueriesContext(connection) as captured:
        found = together(
            first_and_its_photos.later("id"),
            first_and_its_photos.later("-id"),
            first_and_its_photos.later("id"),
        )
    assert len(captured) == 2
    assert (
        captured[1]["sql"].count("json_agg" if connection.vendor == "postgresql" else "json_group_array") == 2
    )
    alone = [first_and_its_photos("id"), first_and_its_photos("-id")]
    assert found == [*alone, alone[0]]
    assert alone[0] != alone[1] and alone[0][1]


def test_one_that_has_nothing_to_ask_just_answers():
    @asking
    def told(words):
        return words
        yield ()

    assert told("quiet") == "quiet"


@of_one
def words_of_one():
    return WorkOrder.objects.filter(instrument=ASKED).select_related("instrument").order_by("id")


@of_one
def no_words():
    return WorkOrder.objects.none()


def test_what_was_put_into_words_before_is_asked_beside_what_was_not(shop):
    first, second = (order.instrument_id for order in WorkOrder.objects.order_by("id")[:2])
    words_of_one(first)  # put into words now
    worded = [words_of_one(first), words_of_one(second), words_of_one(2**70), no_words(first)]
    plain = Instrument.objects.filter(pk=first)
    with CaptureQueriesContext(connection) as captured:
        answer([*worded, plain])
    assert len(captured) == 1
    alone = [WorkOrder.objects.filter(instrument=key).order_by("id") for key in (first, second)]
    expected = [said(each.select_related("instrument")) for each in alone]
    assert [said(each) for each in worded] == [*expected, [], []]
    assert said(plain) == said([alone[0][0].instrument])
    assert (worded[0].first(), worded[2].first(), bool(worded[3])) == (alone[0][0], None, False)


def test_one_that_was_not_answered_is_not_taken_for_empty():
    with pytest.raises(TypeError):
        bool(words_of_one(1))
