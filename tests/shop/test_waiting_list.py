"""A hold that is extended in writing, and who waits behind it."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.problems import Refused
from shop.actions.promises import extend_hold, place_hold, release_hold
from shop.actions.waiting_list import join_waiting_list
from shop.models import Paper, Promise, WaitingPlace
from shop.person_papers import papers_of
from shop.waiting import holds_ending, their_turn
from tests import make
from tests.reading import Reading, printed
from tests.shop.test_promise_race import all_at_once

pytestmark = pytest.mark.django_db


@pytest.fixture
def hold(seller):
    on = timezone.localdate()
    return place_hold(
        instrument=make.make_instrument(),
        person=make.make_person(),
        until=on + timedelta(days=7),
        by=seller,
        on=on,
    )


def post(client, name, key, **sent):
    return client.post(reverse(f"shop:{name}", args=[key]), {"form_token": uuid4().hex, **sent}, follow=True)


def test_a_hold_is_extended_in_writing_and_the_record_keeps_the_earlier_day(client, seller, hold):
    client.force_login(seller)
    later = hold.until + timedelta(days=7)
    assert post(client, "hold_extend", hold.pk, until=later.isoformat()).status_code == 200
    assert Promise.objects.get().until == hold.until
    post(client, "hold_extend", hold.pk, until=later.isoformat(), why="Her letter of today")
    now, before = Promise.objects.get().history.all()[:2]
    assert (now.until, before.until) == (later, hold.until)
    assert "Her letter of today" in now.history_change_reason


def test_each_extension_has_a_paper_of_its_own_and_the_first_stays_as_printed(client, seller, hold):
    client.force_login(seller)
    address = reverse("shop:hold_paper", args=[hold.pk])
    first = printed(client, address).content
    before, later = hold.until, hold.until + timedelta(days=7)
    page = post(client, "hold_extend", hold.pk, until=later.isoformat(), why="Her letter").content.decode()
    assert f"{address}?extension=1" in page and "HD" in page
    text = " ".join(Reading(printed(client, f"{address}?extension=1").content).text.split())
    assert "extended" in text and "Her letter" in text
    assert f"holds it for you until {later:%-d %B %Y}" in text or f"for you until {later:%-d %B %Y}" in text
    assert f"Instead of {before:%-d %B %Y}" in text
    assert client.get(address).content == first
    assert [client.get(f"{address}?extension={wrong}").status_code for wrong in ("2", "x", "")] == [404] * 3
    assert set(papers_of(hold.person)) == set(Paper.objects.all()) and Paper.objects.count() == 2


@pytest.mark.parametrize("days", [0, -1, 93])
def test_it_is_extended_to_a_later_day_and_not_for_ever(client, seller, hold, days):
    client.force_login(seller)
    day = hold.until + timedelta(days=days)
    answer = post(client, "hold_extend", hold.pk, until=day.isoformat(), why="A letter")
    assert "until" in answer.context["form"].errors
    assert Promise.objects.get().until == hold.until


def test_what_has_ended_is_not_extended(seller, hold):
    release_hold(promise=hold, by=seller, on=hold.until)
    with pytest.raises(Refused, match="ended before"):
        extend_hold(promise=hold, until=hold.until + timedelta(days=1), why="A letter", by=seller)


def test_past_its_day_a_hold_stays_until_a_person_ends_it_and_today_leads_there(hold):
    (line,) = holds_ending(hold.until + timedelta(days=1)).lines
    assert line.is_late
    assert line.url == reverse("shop:hold_release", args=[hold.pk])
    assert Promise.objects.open().exists()


def test_the_second_is_told_who_has_it_until_when_and_may_wait(client, seller, hold):
    client.force_login(seller)
    second, number = make.make_person(name="Ida Waites"), hold.instrument.stock_number
    refused = post(
        client, "hold_place", number, person=second.pk, until=hold.until.isoformat(), method="card"
    )
    words = refused.content.decode()
    assert f"on hold until {hold.until:%-d %B %Y}" in words
    assert f"promised to {hold.person}" in words
    assert reverse("shop:waiting_join", args=[number]) in words
    answer = post(client, "waiting_join", number, person=second.pk, note="At the price on the card")
    assert "Ida Waites is on the waiting list" in answer.content.decode()
    assert "waits for it already" in post(client, "waiting_join", number, person=second.pk).content.decode()
    assert WaitingPlace.objects.count() == 1


def test_whose_turn_it_is_goes_by_the_order_of_joining_and_promises_nothing(client, seller, hold):
    client.force_login(seller)
    first, second = (make.make_person(name=name) for name in ("Ida Waites", "Otto Nextley"))
    for person in (first, second):
        join_waiting_list(instrument=hold.instrument, person=person, by=seller, on=hold.opened_on)
    assert their_turn() == []
    release_hold(promise=hold, by=seller, on=hold.opened_on)
    assert [line.words.endswith("Ida Waites is next") for line in their_turn()[0].lines] == [True]
    assert not Promise.objects.open().exists()
    post(client, "waiting_leave", WaitingPlace.objects.first().pk)
    assert "Otto Nextley" in their_turn()[0].lines[0].words
    place_hold(instrument=hold.instrument, person=second, until=hold.until, by=seller, on=hold.opened_on)
    assert [place.outcome for place in WaitingPlace.objects.all()] == ["left", "served"]
    assert their_turn() == []


def test_nobody_waits_for_what_is_free_or_theirs(seller, hold):
    with pytest.raises(Refused, match="promised to"):
        join_waiting_list(instrument=hold.instrument, person=hold.person, by=seller, on=hold.opened_on)
    with pytest.raises(Refused, match="Nobody has it"):
        join_waiting_list(instrument=make.make_instrument(), person=hold.person, by=seller, on=hold.opened_on)


def test_the_database_keeps_a_person_to_one_open_place(seller, hold):
    place = {"instrument": hold.instrument, "person": make.make_person(name="Ida"), "since": hold.opened_on}
    WaitingPlace.objects.create(**place, added_by=seller)
    with pytest.raises(IntegrityError), transaction.atomic():
        WaitingPlace.objects.create(**place, added_by=seller)


@pytest.mark.django_db(transaction=True)
def test_of_many_who_hold_one_instrument_one_gets_it_and_the_others_can_wait_once_each():
    instrument, by, on = make.make_instrument(), make.somebody(), make.A_DAY
    people = [make.make_person(name=f"Caller {n}") for n in range(6)]
    answers = all_at_once(
        [
            lambda person=person: place_hold(
                instrument=instrument, person=person, until=on + timedelta(days=7), by=by, on=on
            )
            for person in people
        ]
    )
    winner = Promise.objects.get().person
    assert sum(isinstance(answer, Refused) for answer in answers) == 5
    losers = [person for person in people if person != winner]
    joined = all_at_once(
        [
            lambda person=person: join_waiting_list(instrument=instrument, person=person, by=by, on=on)
            for person in losers + losers[:1]
        ]
    )
    assert sum(isinstance(answer, Refused) for answer in joined) == 1
    assert WaitingPlace.objects.count() == 5
