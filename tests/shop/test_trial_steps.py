"""The steps of a home trial on its page, what is written down at each, and where the instrument then is."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.actions.condition_reports import close_report
from instruments.models import ClimateReading, Instrument
from instruments.problems import Blocked
from shop.actions.trial_extensions import extend_trial
from shop.actions.trial_steps import (
    agree_mover,
    record_collection,
    record_delivery,
    record_home_climate,
    survey_access,
)
from shop.actions.trials import keep_trial, return_trial, start_trial
from shop.calc.trial_steps import steps_of
from shop.models import AccessSurvey, MoverBooking, Person, Trial, TrialCollection, TrialDelivery
from shop.states import PaperKind
from shop.trial_life import life_of_trial
from shop.trial_now import what_now
from shop.trial_problems import NO_SHEET, NO_SURVEY, NOT_SIGNED, SHEET_OPEN, delivery_problems, mover_problems
from shop.trial_slips import slip_of
from tests import make
from tests.pictures import upload
from tests.shop.test_promise_race import all_at_once

pytestmark = pytest.mark.django_db
LATER = make.A_DAY + timedelta(days=3)
WAY_IN = {"asked_on": make.A_DAY, "told_by": "Wilf Arden", "floor": 2, "flights": [14, 12], "doors_cm": [82]}
THERE = {"delivered_on": LATER, "received_by": "Wilf Arden"}
FETCHED = {"collected_on": LATER, "mover": "Cobb Carriers", "handed_over_by": "Wilf Arden"}
AIR = {"temperature_c": Decimal("20.5"), "humidity_percent": Decimal(38), "room": "Front room"}


def fresh(trial: Trial) -> Trial:
    return Trial.objects.select_related("instrument", "person", "promise").get(pk=trial.pk)


def place(trial: Trial) -> tuple[str, str]:
    return Instrument.objects.values_list("place", "place_note").get(pk=trial.instrument_id)


def now(trial: Trial, *, on=LATER) -> str:
    button = what_now(life_of_trial(fresh(trial), on=on))
    return button.words if button else "settled"


def mover(trial, by, leg, day):
    booked = {"mover": "Cobb Carriers", "day": day, "amount_minor": 18_000}
    return agree_mover(trial=trial, leg=leg, by=by, on=min(day, make.A_DAY), **booked)


def closed_report(trial, by, occasion, on):
    report = make.make_report(instrument=trial.instrument, by=by, occasion=occasion, on=on)
    make.make_line(report=report, by=by)
    return close_report(report=report, by=by)


def test_a_trial_walks_from_draft_to_settled_one_button_at_a_time(seller):
    trial, seen = make.make_trial(), []
    seen.append(now(trial))
    survey_access(trial=trial, by=seller, on=make.A_DAY, **WAY_IN)
    seen.append(now(trial))
    mover(trial, seller, "out", LATER)
    seen.append(now(trial))
    start_trial(trial=trial, method="card", by=seller, on=make.A_DAY)
    seen.append(now(trial))
    assert place(trial)[0] == "workshop"  # the mover comes in three days
    closed_report(trial, seller, "out_on_trial", make.A_DAY)
    record_delivery(trial=trial, by=seller, on=LATER, **THERE)
    assert place(trial) == ("customer", trial.number)
    mover(fresh(trial), seller, "back", LATER + timedelta(days=9))
    return_trial(trial=fresh(trial), give_back="refund", method="card", by=seller, on=LATER)
    assert place(trial) == ("customer", trial.number)  # fetched nine days later
    seen.append(now(trial))
    back_on = LATER + timedelta(days=9)
    record_collection(trial=trial, by=seller, on=back_on, **(FETCHED | {"collected_on": back_on}))
    assert place(trial) == ("workshop", "back from trial")
    seen.append(now(trial))
    closed_report(trial, seller, "back_from_trial", back_on)
    seen.append(now(trial))
    assert seen == [
        "Ask about the way in",
        "Agree a mover",
        "Start the trial",
        "Put the signed page on file",
        "Write down the collection",
        "Write the report as it came back",
        "settled",
    ]


def test_started_and_taken_the_same_day_it_moves_at_once_and_only_once(seller):
    trial = make.make_running_trial()
    assert place(trial) == ("customer", trial.number)
    moves = trial.instrument.moves.count()
    record_delivery(trial=trial, by=seller, on=make.A_DAY, **(THERE | {"delivered_on": make.A_DAY}))
    assert trial.instrument.moves.count() == moves


def test_a_first_day_still_to_come_moves_nothing_until_it_is_delivered(seller):
    trial = make.make_trial(starts_on=LATER, ends_on=LATER + timedelta(days=42))
    start_trial(trial=trial, method="card", by=seller, on=make.A_DAY)
    assert place(trial)[0] == "workshop"
    record_delivery(trial=trial, by=seller, on=LATER, **THERE)
    assert trial.instrument.moves.first().moved_on == LATER


def test_fetched_before_it_is_ended_it_is_with_us_and_stays_there(seller):
    trial = make.make_running_trial()
    record_collection(trial=trial, by=seller, on=LATER, **FETCHED)
    moves = trial.instrument.moves.count()
    assert place(trial)[0] == "workshop"
    return_trial(trial=fresh(trial), give_back="credit", by=seller, on=LATER)
    assert trial.instrument.moves.count() == moves


def test_what_should_be_on_paper_first_is_cautioned_and_blocks_nothing(seller):
    trial = make.make_running_trial()
    said = delivery_problems(fresh(trial), delivered_on=LATER, on=LATER)
    assert [problem.sentence for problem in said] == [NOT_SIGNED, NO_SHEET, NO_SURVEY]
    assert not any(problem.is_blocker for problem in said)
    survey_access(trial=trial, by=seller, on=make.A_DAY, **WAY_IN)
    closed_report(trial, seller, "out_on_trial", make.A_DAY)
    said = delivery_problems(fresh(trial), delivered_on=LATER, on=LATER)
    assert [problem.sentence for problem in said] == [NOT_SIGNED]
    record_delivery(trial=trial, by=seller, on=LATER, **THERE)


def test_the_start_is_cautioned_without_a_hand_over_sheet(client, seller):
    trial = make.make_trial(on=timezone.localdate())
    client.force_login(seller)
    address = reverse("shop:trial_start", args=[trial.number])
    assert "No hand-over condition report is closed" in client.get(address).content.decode()
    closed_report(trial, seller, "out_on_trial", timezone.localdate())
    assert "No hand-over condition report is closed" not in client.get(address).content.decode()


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ({"delivered_on": LATER + timedelta(days=1)}, "on a day to come"),
        ({"delivered_on": make.A_DAY - timedelta(days=1)}, "The trial began on 21 March 2026"),
    ],
)
def test_a_day_on_which_nothing_can_have_been_delivered_is_refused(seller, facts, sentence):
    trial = make.make_running_trial()
    with pytest.raises(Blocked, match=sentence):
        record_delivery(trial=trial, by=seller, on=LATER, **(THERE | facts))
    assert not TrialDelivery.objects.exists()


def test_each_step_is_refused_where_it_cannot_be(seller):
    drafted, kept = make.make_trial(), make.make_running_trial()
    keep_trial(trial=kept, by=seller, on=make.A_DAY)
    for trial in (drafted, kept):
        with pytest.raises(Blocked, match=r"not started|has ended"):
            record_delivery(trial=trial, by=seller, on=LATER, **THERE)
        with pytest.raises(Blocked, match=r"not started|they keep it"):
            record_collection(trial=trial, by=seller, on=LATER, **FETCHED)
        with pytest.raises(Blocked, match=r"not started|they keep it"):
            mover(trial, seller, "back", LATER)
    with pytest.raises(Blocked, match="not started"):
        record_home_climate(trial=drafted, by=seller, on=LATER, **AIR)
    with pytest.raises(Blocked, match="has ended"):
        survey_access(trial=kept, by=seller, on=make.A_DAY, **WAY_IN)


def test_fetched_before_it_was_delivered_is_refused(seller):
    trial = make.make_running_trial()
    record_delivery(trial=trial, by=seller, on=LATER, **THERE)
    with pytest.raises(Blocked, match="cannot have been fetched before"):
        record_collection(trial=trial, by=seller, on=LATER, **(FETCHED | {"collected_on": make.A_DAY}))


def test_written_again_it_corrects_and_the_first_stays(seller):
    trial = make.make_running_trial()
    first = record_delivery(trial=trial, by=seller, on=LATER, **THERE)
    second = record_delivery(trial=trial, by=seller, on=LATER, **(THERE | {"received_by": "His sister"}))
    assert second.corrects == first
    assert life_of_trial(fresh(trial), on=LATER).delivery == second
    with pytest.raises(IntegrityError), transaction.atomic():
        TrialDelivery.objects.create(trial=trial, recorded_by=seller, **THERE)
    with pytest.raises(DatabaseError), transaction.atomic():
        TrialDelivery.objects.update(received_by="Nobody")


@pytest.mark.django_db(transaction=True)
def test_of_many_who_write_down_one_delivery_at_once_one_is_the_first_and_the_rest_correct_it():
    trial, by = make.make_running_trial(), make.somebody()
    all_at_once([lambda: record_delivery(trial=trial, by=by, on=LATER, **THERE)] * 8)
    assert TrialDelivery.objects.filter(corrects__isnull=True).count() == 1
    assert TrialDelivery.objects.filter(corrected_by__isnull=True).count() == 1
    assert trial.instrument.moves.filter(place="customer").count() == 1


def test_the_air_stands_with_the_instrument_and_is_cautioned_outside_the_band(client, seller):
    trial = make.make_running_trial()
    facts = THERE | {"heating": "underfloor", "room_position": "Front room: inner wall"}
    record_delivery(trial=trial, air=AIR, by=seller, on=LATER, **facts)
    told = AIR | {"humidity_percent": Decimal(52), "told_by": "Wilf Arden"}
    reading = ClimateReading.objects.get()
    assert (reading.whose, reading.instrument, reading.read_on) == ("customer", trial.instrument, LATER)
    client.force_login(seller)
    page = client.get(trial.get_absolute_url()).content.decode()
    assert "wood comes to rest at 7.4 % moisture" in page
    assert "The air is too dry: below the 45 to 60 % that the agreement states." in page
    assert "measured by us" in page
    assert "over underfloor heating" in page
    record_home_climate(trial=trial, by=seller, on=LATER + timedelta(days=5), **told)
    page = client.get(trial.get_absolute_url()).content.decode()
    assert "too dry" not in page
    assert "told by Wilf Arden" in page


def test_the_page_has_one_filled_button_in_each_state(client, seller):
    today = timezone.localdate()
    drafted, late = make.make_trial(on=today), make.make_running_trial()
    out, back = (make.make_running_trial(on=today) for _ in range(2))
    return_trial(trial=back, give_back="credit", by=seller, on=today)
    client.force_login(seller)
    for trial in (drafted, late, out, back):
        page = client.get(trial.get_absolute_url()).content.decode()
        assert page.count('class="button"') == 1, trial
        assert page.count('aria-current="step"') == 1, trial
        assert "What now." in page


def test_overdue_it_says_so_first_and_how_to_reach_them(client, seller):
    trial = make.make_running_trial()
    late_on = trial.ends_on + timedelta(days=6)
    said = what_now(life_of_trial(fresh(trial), on=late_on))
    assert said.why.startswith("It is 6 days past its last day: ask whether they keep it")
    assert (said.words, said.url) == ("Find how to reach Wilf Arden", trial.person.get_absolute_url())
    Person.objects.update(email="wilf@example.org")
    assert what_now(life_of_trial(fresh(trial), on=late_on)).url == "mailto:wilf@example.org"
    Person.objects.update(telephone="01632 (960) 551")
    assert what_now(life_of_trial(fresh(trial), on=late_on)).url == "tel:01632960551"
    client.force_login(seller)
    page = client.get(trial.get_absolute_url()).content.decode()
    for words in ("Ring 01632 (960) 551", "Give more time", "Agree who fetches it", "How it ends"):
        assert words in page
    assert "What now.</strong> Signed" not in page


def test_a_trial_that_ended_long_ago_asks_for_nothing_and_says_what_was_not_written(client, seller):
    trial = make.make_running_trial()
    return_trial(trial=trial, give_back="refund", method="card", by=seller, on=LATER)
    client.force_login(seller)
    page = client.get(trial.get_absolute_url()).content.decode()
    assert "Nothing more:</strong> it is settled." in page
    assert "not written down before it ended; not needed any more" in page
    assert "No report was written as it came back." in page
    assert 'aria-current="step"' not in page
    assert "to take along" not in page


def test_a_report_of_a_late_collection_belongs_to_its_trial(seller):
    trial = make.make_running_trial()
    mover(trial, seller, "back", LATER + timedelta(days=40))
    return_trial(trial=fresh(trial), give_back="refund", method="card", by=seller, on=LATER)
    back_on = LATER + timedelta(days=40)
    assert now(trial, on=back_on) == "Write down the collection"
    record_collection(trial=trial, by=seller, on=back_on, **(FETCHED | {"collected_on": back_on}))
    assert now(trial, on=back_on) == "Write the report as it came back"
    closed_report(trial, seller, "back_from_trial", back_on)
    assert now(trial, on=back_on) == "settled"


def test_a_hand_over_report_left_open_is_to_be_closed_and_its_papers_say_so(client, seller):
    trial = make.make_running_trial()
    report = make.make_report(instrument=trial.instrument, by=seller, occasion="out_on_trial", on=make.A_DAY)
    make.make_line(report=report, by=seller)
    said = delivery_problems(fresh(trial), delivered_on=LATER, on=LATER)
    assert [problem.sentence for problem in said] == [NOT_SIGNED, SHEET_OPEN, NO_SURVEY]
    assert said[1].link == report.get_absolute_url()
    record_delivery(trial=trial, report=report, by=seller, on=LATER, **THERE)
    assert "This condition report is not closed" in str(slip_of(fresh(trial), PaperKind.TRIAL_DELIVERY))
    return_trial(trial=fresh(trial), give_back="refund", method="card", by=seller, on=LATER)
    said = what_now(life_of_trial(fresh(trial), on=LATER))
    assert (said.words, said.url) == ("Close the hand-over report", report.get_absolute_url())
    close_report(report=report, by=seller)
    assert now(trial) == "Write the report as it came back"
    assert "This condition report is not closed" not in str(slip_of(fresh(trial), PaperKind.TRIAL_DELIVERY))


def test_while_its_mover_is_to_come_it_says_who_and_when_and_that_it_is_not_brought(client, seller):
    today = timezone.localdate()
    trial = make.make_trial(on=today)
    survey_access(trial=trial, by=seller, on=today, **(WAY_IN | {"asked_on": today}))
    mover(trial, seller, "out", today + timedelta(days=2))
    start_trial(trial=trial, method="card", by=seller, on=today)
    life = life_of_trial(fresh(trial), on=today)
    signed = replace(life, steps=steps_of(replace(life.known, signed_on=today, handed_over_on=today)))
    day = f"{today + timedelta(days=2):%-d %B %Y}"
    assert what_now(signed).why.startswith(f"Cobb Carriers: brings it on {day}. Then write down the day,")
    client.force_login(seller)
    assert "and not brought yet." in client.get(trial.get_absolute_url()).content.decode()


def test_a_draft_whose_last_day_has_come_is_given_other_days(client, seller):
    trial = make.make_trial()
    said = what_now(life_of_trial(fresh(trial), on=trial.ends_on))
    assert (said.words, said.url) == ("Give it other days", reverse("shop:trial_revise", args=[trial.number]))


def posted(client, name, trial, *more, **typed):
    address = reverse(f"shop:{name}", args=[trial.number, *more])
    return client.post(address, typed | {"form_token": uuid4().hex})


def test_the_forms_write_down_what_was_typed(client, seller):
    today = timezone.localdate()
    trial = make.make_running_trial(on=today)
    client.force_login(seller)
    way_in = {"told_by": "Wilf Arden", "asked_on": today.isoformat(), "floor": "1", "flights": "14, 12"}
    way_in |= {"turns": "2", "landings": "1", "doors_cm": "82 and 78", "parking_m": "55", "surface": "Gravel"}
    assert posted(client, "trial_access", trial, **way_in, file=upload()).status_code == 302
    survey = AccessSurvey.objects.get()
    assert (survey.flights, survey.doors_cm, survey.parking_m) == ([14, 12], [82, 78], 55)
    assert survey.picture.seen_by == "staff"
    page = client.get(reverse("shop:trial_mover", args=[trial.number, "out"])).content.decode()
    assert "26 steps are carried" in page
    assert "55 m away; a quote may assume 40 m" in page
    assert (
        posted(
            client, "trial_mover", trial, "out", mover="Cobb", day=today.isoformat(), amount_minor="180"
        ).status_code
        == 302
    )
    assert MoverBooking.objects.get().amount_minor == 18_000
    there = {"delivered_on": today.isoformat(), "received_by": "Nell", "room": "Hall", "heating": "stove"}
    assert (
        posted(
            client, "trial_delivered", trial, **there, temperature_c="19,5", humidity_percent="50"
        ).status_code
        == 302
    )
    assert TrialDelivery.objects.get().room_position == "Hall"
    fetched = {"collected_on": today.isoformat(), "mover": "Cobb", "handed_over_by": "Nell"}
    assert posted(client, "trial_collected", trial, **fetched).status_code == 302
    assert TrialCollection.objects.get().handed_over_by == "Nell"
    page = client.get(trial.get_absolute_url()).content.decode()
    for words in ("floor 1, 2 flights: 14 + 12 = 26 steps", "82, 78 cm", "Gravel", "received by Nell"):
        assert words in page


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("trial_access", {"flights": "a few"}, "Give the steps of each flight as whole numbers"),
        ("trial_access", {"doors_cm": "0.82"}, "Give the widths in centimetres as whole numbers"),
        ("trial_delivered", {"humidity_percent": "50"}, "Humidity says little without the temperature."),
        ("trial_delivered", {"temperature_c": "20"}, "Temperature says little without the humidity."),
        ("trial_climate", {"humidity_percent": "101"}, "is 100 at most"),
        ("trial_collected", {"collected_on": "2199-01-01"}, "That day has not come yet."),
    ],
)
def test_bad_input_is_refused_beside_its_field_and_kept(client, seller, name, typed, sentence):
    trial = make.make_running_trial(on=timezone.localdate())
    client.force_login(seller)
    page = posted(client, name, trial, **typed, note="Kept <b>words").content.decode()
    assert sentence in page
    assert "Kept &lt;b&gt;words" in page
    assert not AccessSurvey.objects.exists()
    assert not TrialDelivery.objects.exists()


def test_another_way_than_out_and_back_is_no_page(client, seller):
    client.force_login(seller)
    trial = make.make_running_trial()
    assert client.get(reverse("shop:trial_mover", args=[trial.number, "up"])).status_code == 404


def test_the_trial_page_asks_no_more_of_the_database_when_more_is_on_file(
    client, seller, django_assert_max_num_queries
):
    trial = make.make_running_trial()
    client.force_login(seller)
    client.get(trial.get_absolute_url())
    record_delivery(trial=trial, air=AIR, by=seller, on=LATER, **THERE)
    with django_assert_max_num_queries(60) as before:
        client.get(trial.get_absolute_url())
    for _ in range(5):
        survey_access(trial=trial, by=seller, on=make.A_DAY, **WAY_IN)
        record_home_climate(trial=trial, by=seller, on=LATER, **AIR)
        mover(trial, seller, "back", LATER)
    with django_assert_max_num_queries(60) as after:
        client.get(trial.get_absolute_url())
    assert len(after) <= len(before) + 1


def test_a_mover_comes_today_or_later_and_before_its_last_day(client, seller):
    today = timezone.localdate()
    trial = make.make_running_trial(on=today)
    client.force_login(seller)
    before, after = today - timedelta(days=1), trial.ends_on + timedelta(days=1)
    for day, sentence in (
        (before, f"Give today, {today:%-d %B %Y}, or a day to come."),
        (after, f"give a day up to {trial.ends_on:%-d %B %Y}."),
    ):
        page = posted(client, "trial_mover", trial, "out", mover="Cobb", day=day.isoformat())
        assert sentence in page.context["form"].errors["day"][0]
    assert not MoverBooking.objects.exists()
    late = make.make_running_trial(on=today - timedelta(days=60))
    assert mover_problems(late, "out", day=today, on=today) == []  # late as it is, it may go out today


def test_collected_and_not_settled_it_says_so_and_offers_the_settlement(client, seller):
    today = timezone.localdate()
    trial = make.make_running_trial(on=today)
    record_collection(trial=trial, by=seller, on=today, **(FETCHED | {"collected_on": today}))
    client.force_login(seller)
    page = " ".join(client.get(trial.get_absolute_url()).content.decode().split())
    assert f"Collected on {today:%-d %B %Y} by Cobb Carriers." in page
    assert "Settle the return" in page
    assert "Give more time" not in page
    assert "At their home until" not in page
    closed_report(trial, seller, "back_from_trial", today)
    said = what_now(life_of_trial(fresh(trial), on=today))
    assert (said.words, said.url) == ("Settle the return", f"{trial.get_absolute_url()}return/")
    with pytest.raises(Blocked, match="there is nothing to extend"):
        extend_trial(
            trial=trial,
            until=trial.ends_on + timedelta(days=7),
            why="x",
            agreed_on=today,
            by=seller,
            on=today,
        )
