"""Rows and their history, saved in words put together once: the same as Django and its history say."""

import pytest
from django.db import IntegrityError, connection, models, transaction
from django.db.models import F, Value
from django.db.models.functions import Concat
from simple_history.models import HistoricalRecords
from simple_history.signals import post_create_historical_record

from instruments.actions.history import save_tracked
from instruments.models import Instrument, Submission
from instruments.models.saving import KeptHistory, SavedInWords
from shop.models import LogLine
from tests.make import make_instrument, make_item
from workorders.models import WorkItem

PLAIN_UPDATE, PLAIN_INSERT = models.Model._do_update, models.Model._do_insert
KEYS = {"id", "history_id", "history_date"}


def columns(row) -> dict:
    return {name: value for name, value in row.__dict__.items() if name not in KEYS | {"_state"}}


@pytest.fixture
def as_django_does(monkeypatch):
    """Puts Django's own way in place of ours when it is called."""

    def change():
        monkeypatch.setattr(SavedInWords, "_do_update", PLAIN_UPDATE)
        monkeypatch.setattr(SavedInWords, "_do_insert", PLAIN_INSERT)
        monkeypatch.setattr(
            KeptHistory, "create_historical_record", HistoricalRecords.create_historical_record
        )

    return change


def test_a_change_and_its_history_are_written_as_django_writes_them(owner, as_django_does):
    item = make_item(keys="1–3", figure_name="the weight", figure_unit="g")
    item.result = "Eased, and 100% even."
    kept = []
    for change in (lambda: None, as_django_does):
        change()
        save_tracked(item, by=owner, why="It was eased.")
        kept.append((columns(WorkItem.objects.get(pk=item.pk)), columns(item.history.first())))
    assert kept[0] == kept[1]
    assert kept[0][1]["history_change_reason"] == "It was eased."
    assert (kept[0][1]["history_user_id"], kept[0][1]["history_type"]) == (owner.pk, "~")
    assert kept[0][1]["result"] == "Eased, and 100% even."


def test_a_new_row_and_its_history_are_written_as_django_writes_them(owner, as_django_does):
    ours = Instrument.objects.get(pk=make_instrument(by=owner).pk)
    as_django_does()
    theirs = Instrument.objects.get(pk=make_instrument(by=owner).pk)
    kept = [(columns(each), columns(each.history.first())) for each in (ours, theirs)]
    for row, told in kept:
        for names in (row, told):
            assert names.pop("stock_number")
            assert names.pop("logged_at")
        row.pop("search_text")
    assert kept[0] == kept[1]
    assert ours.history.count() == theirs.history.count() == 1


def test_only_the_named_columns_are_written(owner):
    item = make_item()
    WorkItem.objects.filter(pk=item.pk).update(note="Meanwhile")
    item.note, item.result = "Stale", "Done"
    save_tracked(item, by=owner, why="Done", update_fields=["result"])
    found = WorkItem.objects.get(pk=item.pk)
    assert (found.note, found.result) == ("Meanwhile", "Done")


def test_a_new_row_knows_its_key_and_a_second_save_changes_it(owner):
    row = Submission.objects.create(token="one", by=owner, fingerprint="x")
    assert Submission.objects.get(token="one").pk == row.pk
    row.url = "/somewhere/"
    row.save()
    assert Submission.objects.get().url == "/somewhere/"


def test_what_is_worked_out_by_the_database_goes_the_long_way(owner):
    row = Submission.objects.create(token="one", by=owner, fingerprint=Value("x"))
    row.url = Concat(F("token"), Value("/"))
    row.save()
    assert Submission.objects.values_list("url", "fingerprint").get() == ("one/", "x")


def test_a_row_that_is_gone_is_not_taken_for_saved(owner):
    item = make_item()
    WorkItem.objects.filter(pk=item.pk).delete()
    with transaction.atomic(), pytest.raises(Exception, match="did not affect any rows"):
        item.save(update_fields=["result"])


def test_a_refused_row_refuses_its_transaction(owner):
    Submission.objects.create(token="one", by=owner, fingerprint="x")
    with pytest.raises(IntegrityError), transaction.atomic():
        with pytest.raises(IntegrityError):
            Submission.objects.create(token="one", by=owner, fingerprint="x")
        assert connection.needs_rollback
        raise IntegrityError


def test_whoever_listens_to_histories_still_hears(owner):
    heard, item = [], make_item()

    def listen(instance, history_instance, **_):
        heard.append((instance.pk, history_instance.history_change_reason))

    post_create_historical_record.connect(listen)
    try:
        save_tracked(item, by=owner, why="Heard")
    finally:
        post_create_historical_record.disconnect(listen)
    assert heard == [(item.pk, "Heard")]


def test_the_words_of_a_row_are_put_together_once(owner, django_assert_num_queries):
    LogLine.objects.create(what="first")
    with django_assert_num_queries(1) as asked:
        line = LogLine.objects.create(what="second")
    assert line.pk
    assert asked.captured_queries[0]["sql"].startswith('INSERT INTO "shop_logline"')
