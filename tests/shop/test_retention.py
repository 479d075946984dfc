"""What has passed its time goes without anybody asking, as the file says that people may read."""

import json
from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.utils import timezone

from shop import retention_periods
from shop.actions.over_time import past_their_length
from shop.models import Lead, LeadPhoto, ShopProfile, Telling, WaitingPlace, Wanted
from shop.person_rows import ROWS
from shop.retention_periods import PERIODS_FILE, period_faults
from shop.retention_periods import retention_periods as periods
from tests import make

pytestmark = pytest.mark.django_db
CALLER = {"caller": "Edda Marl", "telephone": "01632 960 123", "email": "edda@marl.example"}
TOLD = {"story": "Edda Marl says it was her aunt’s", "access": "two flights, at Edda’s"}


@pytest.fixture
def over(owner):
    """Of each kind one row that ended long ago, and one that ended yesterday."""
    today = timezone.localdate()
    for ended in (today - timedelta(days=1_000), today - timedelta(days=1)):
        lead = make.make_lead(by=owner, **CALLER, **TOLD)
        make.make_lead_photo(lead=lead, by=owner)
        Lead.objects.filter(pk=lead.pk).update(state="declined", decision="too far", decided_on=ended)
        wish = make.make_wanted(by=owner, person=make.make_person(), note="Edda wants it")
        Telling.objects.create(
            wanted=wish, instrument=make.make_instrument(), recipient="edda@marl.example", state="by_hand"
        )
        Wanted.objects.filter(pk=wish.pk).update(closed_on=ended, closed_why="found one")
        WaitingPlace.objects.create(
            instrument=make.make_instrument(),
            person=make.make_person(),
            since=ended,
            added_by=owner,
            outcome="left",
            closed_on=ended,
        )
    return owner


def run(*given) -> str:
    said = StringIO()
    call_command("retention", *given, stdout=said)
    return said.getvalue()


def counts() -> list[int]:
    return [each.objects.count() for each in (LeadPhoto, Wanted, Telling, WaitingPlace)]


def test_the_old_goes_whole_and_the_new_stays_as_it_is(over):
    assert counts() == [2, 2, 2, 2]
    said = run()
    assert counts() == [1, 1, 1, 1]
    old, new = Lead.objects.order_by("pk")
    (rows,) = (rows for rows in ROWS if rows.model is Lead)
    assert {getattr(old, name) for name in rows.words} <= {"", "[erased]"}
    assert (old.maker, old.caller, new.caller) == ("Halden & Rook", "[erased]", "Edda Marl")
    assert "Edda" not in str(list(old.history.values())) and "Edda" in str(list(new.history.values()))
    assert said.count("is erased") == 3


def test_a_dry_run_says_the_same_and_changes_nothing(over):
    said = run("--dry-run")
    assert counts() == [2, 2, 2, 2] and said.count("would be erased now") == 3


def test_run_again_there_is_nothing_left_to_do(over):
    run()
    assert past_their_length(on=timezone.localdate()) == []
    assert "Nothing has passed its day" in run()


def test_what_is_open_or_was_bought_has_no_day(owner):
    make.make_lead(by=owner, **CALLER)
    make.make_wanted(by=owner)
    assert past_their_length(on=timezone.localdate() + timedelta(days=9_999)) == []


def test_a_length_counts_from_the_end_to_the_day(over):
    on = timezone.localdate() - timedelta(days=1)
    year = periods()["wishes"]
    assert year.words == "12 months"
    assert not year.is_over(on, on + timedelta(days=364)) and year.is_over(on, on + timedelta(days=367))


def test_the_page_shows_every_line_of_the_file_with_the_lengths_of_the_terms(client, owner):
    ShopProfile.objects.update_or_create(pk=1, defaults={"keep_years": 7, "enquiry_months": 1})
    client.force_login(owner)
    page = client.get("/people/kept/").content.decode()
    for period in periods().values():
        assert period.what in page and period.source.replace("'", "&#x27;") in page
    assert "7 years" in page and "1 month after" in page


def test_the_file_is_whole_and_a_broken_one_is_named(monkeypatch, tmp_path):
    assert period_faults() == []
    broken = json.loads(PERIODS_FILE.read_text())
    broken["periods"][2] |= {"length": 0, "source": " "}
    (tmp_path / "retention.json").write_text(json.dumps(broken))
    monkeypatch.setattr(retention_periods, "PERIODS_FILE", tmp_path / "retention.json")
    assert len(period_faults()) == 2
