"""The demo is built once for all of these, inside a transaction that is taken back at the end."""

import hashlib
from io import StringIO

import pytest
from django.contrib.auth.models import AnonymousUser, User
from django.core.management import call_command
from django.db import transaction
from django.db.models import Sum
from django.test import override_settings
from django.utils import timezone

from instruments.calc.compass import is_sharp, parse_keys
from instruments.models import (
    ConditionReport,
    Document,
    Finding,
    Instrument,
    KeyMark,
    Photo,
    Recording,
    Statement,
    Weighing,
)
from instruments.problems import Problem
from instruments.standings import weighed_statements
from instruments.states import Condition, Grade, Stage
from instruments.touch import verdict_of
from instruments.walks import paired, walk_of
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.after_care import care_of
from shop.books import owed_to_us, we_owe
from shop.calc.trial_steps import DONE
from shop.demo.people import STAFF
from shop.listening import by_register, heard_by
from shop.models import CallBack, Enquiry, Listing, Payment, Person, Promise, Sale, Trial
from shop.ownership import stock_only
from shop.person_card import card_of
from shop.problems import listing_problems
from shop.states import ListingState, PromiseKind, PromiseOutcome, TrialState
from shop.tellings import to_tell
from shop.trial_life import TrialLife, life_of_trial
from shop.trial_reports import reports_of_trial
from shop.wishes import who_looks_for
from tests.reading import Reading
from workorders.models import TimeSpent, WorkItem

# Without the mark nobody would set up a test database, and the module's fixture would find another one.
pytestmark = pytest.mark.django_db


def run_demo() -> str:
    told = StringIO()
    call_command("demo", no_serve=True, picture_width=120, stdout=told)
    return told.getvalue()


def no_network(*args):
    raise AssertionError("The demo reached for the network.")


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker, tmp_path_factory):
    """What the command said, and where it was let write."""
    folder = tmp_path_factory.mktemp("demo")
    with (
        pytest.MonkeyPatch.context() as patched,
        django_db_blocker.unblock(),
        override_settings(DATA_DIR=folder, MEDIA_ROOT=folder / "media"),
        transaction.atomic(),
    ):
        patched.setattr("socket.socket.connect", no_network)
        said = run_demo()
        patched.undo()
        yield said, folder
        transaction.set_rollback(True)


@pytest.fixture
def built(demo, settings):
    """The demo, with its own media folder in place of the one each test is given."""
    said, folder = demo
    settings.DATA_DIR, settings.MEDIA_ROOT = folder, folder / "media"
    return said, folder


def blockers(instrument: Instrument) -> list[Problem]:
    return [problem for problem in listing_problems(instrument) if problem.is_blocker]


def drafted() -> list[Instrument]:
    listings = Listing.objects.filter(state=ListingState.DRAFT).select_related("instrument")
    return [listing.instrument for listing in listings]


def in_window() -> list[Instrument]:
    return [listing.instrument for listing in Listing.objects.in_window().select_related("instrument")]


def test_the_books_owe_and_are_owed_what_all_cards_say_together(built):
    on = timezone.localdate()
    cards = [card_of(each, on=on) for each in Person.objects.filter(merged_into__isnull=True)]
    assert owed_to_us(on).all_minor == sum(card.they_owe_minor for card in cards) > 0
    assert we_owe(on).all_minor == sum(card.we_owe_minor + card.credit_minor for card in cards) > 0


def test_there_are_enough_instruments(built):
    assert Instrument.objects.count() >= 26


def test_some_were_just_logged_and_nothing_is_known_of_one(built):
    bare = Instrument.objects.filter(maker="unknown", made="", statements=None, findings=None, photos=None)
    assert bare.exists()


def test_the_bench_has_work_done_work_that_can_start_and_work_that_waits(built):
    open_items, can_start = WorkItem.objects.open(), WorkItem.objects.can_be_done_now()
    assert can_start.exists()
    assert open_items.count() > can_start.count()
    assert TimeSpent.objects.filter(item__order__state="open", cost_minor__gt=0).exists()


def test_one_is_drafted_with_nothing_in_its_way(built):
    assert [] in [blockers(instrument) for instrument in drafted()]


@pytest.mark.parametrize(
    "reason",
    [
        "The keys are covered with ivory",
        "What the keys are covered with is not settled",
        "No asking price is set",
    ],
)
def test_one_is_drafted_and_held_back_by_this_alone(built, reason):
    held_back = [
        sentences[0].startswith(reason)
        for instrument in drafted()
        if len(sentences := [problem.sentence for problem in blockers(instrument)]) == 1
    ]
    assert any(held_back)


def test_the_window_shows_at_least_eight_with_photographs_words_and_prices(built):
    shown = in_window()
    assert len(shown) >= 8
    assert all(instrument.photos.public().exists() for instrument in shown)
    assert all(instrument.listing.body and instrument.asking_prices.exists() for instrument in shown)
    assert [problem for instrument in shown for problem in blockers(instrument)] == []


def test_the_window_holds_the_kinds_and_compasses_of_the_trade(built):
    shown = in_window()
    assert {instrument.kind for instrument in shown} == {"upright", "grand", "square"}
    assert {85, 88, 73} <= {instrument.key_count for instrument in shown}
    assert any(instrument.damping == "over" and instrument.kind == "upright" for instrument in shown)


def test_statements_of_the_window_come_in_every_grade(built):
    grades = Statement.objects.filter(instrument__in=in_window()).values_list("grade", flat=True)
    assert set(grades) == set(Grade)


def test_some_statements_are_private_and_some_were_contradicted(built):
    assert Statement.objects.filter(is_public=False).exists()
    assert Statement.objects.filter(grade=Grade.SEEN, supersedes__grade=Grade.TOLD).exists()


def test_what_the_evidence_contradicts_stands_in_no_listing(built):
    contradicted = [
        each.statement.text.rstrip(".")
        for instrument in in_window()
        for each in weighed_statements(instrument)
        if not each.standing.may_be_printed
    ]
    assert contradicted
    printed = "\n".join(Listing.objects.values_list("history_words", flat=True))
    assert not [text for text in contradicted if text in printed]


def test_findings_name_faults_and_what_was_not_examined(built):
    conditions = set(Finding.objects.values_list("condition", flat=True))
    assert conditions == set(Condition)


def test_keys_are_marked_some_are_cleared_and_some_became_work(built):
    assert KeyMark.objects.open().exists()
    assert KeyMark.objects.cleared().exists()
    assert WorkItem.objects.open().filter(mark_links__isnull=False, finding_links__isnull=True).exists()
    assert WorkItem.objects.open().filter(finding_links__isnull=False).exists()


def test_sharps_were_tight_as_found_and_inside_after_work(built):
    before, after = (
        [verdict_of(weighing).summary for weighing in Weighing.objects.filter(stage=stage)]
        for stage in (Stage.AS_FOUND, Stage.AFTER_WORK)
    )
    assert all(summary.sharps_out > summary.naturals_out for summary in before)
    assert sum(summary.out == 0 for summary in after) >= 4


def test_one_weigh_off_was_left_open_in_the_middle_with_a_correction(built):
    (weighing,) = Weighing.objects.open()
    corrected = [row for row in weighing.readings.exclude(replaces=None) if row.corrects(row.replaces)]
    assert (len(weighing.standing_readings()), len(corrected)) == (38, 1)


def test_work_closed_by_weighing_points_at_its_weigh_off(built):
    done = WorkItem.objects.done().filter(task__code="set-touch-weight")
    assert done.exists()
    assert not done.filter(weighing=None).exists()
    assert not done.exclude(override_reason="").exists()


def test_one_is_on_hold(built):
    assert Promise.objects.open().filter(kind=PromiseKind.HOLD).exists()


def lives() -> dict[str, TrialLife]:
    today = timezone.localdate()
    rows = Trial.objects.select_related("instrument", "person", "promise", "credit_terms", "terms")
    return {trial.instrument.maker: life_of_trial(trial, on=today) for trial in rows}


def done(life: TrialLife) -> set[str]:
    return {step.code for step in life.steps if step.standing == DONE}


def test_trials_run_one_is_overdue_and_one_is_drafted(built):
    out, today = Trial.objects.out(), timezone.localdate()
    assert out.count() == 4
    assert out.overdue(on=today).count() == 1
    assert Trial.objects.filter(state=TrialState.DRAFT).exists()


def test_trials_stand_at_every_step(built):
    """The next step of each: common practice of the trade, no source."""
    now = {maker: life.now and life.now.code for maker, life in lives().items()}
    assert now == {
        "Brandlesome": "mover",  # drafted
        "Quarle & Daughters": "delivered",  # agreed, the mover comes in two days
        "Pellow & Garth": "chosen",
        "Ulverdene": "chosen",
        "Castlemere": "chosen",  # overdue, and nothing was written down
        "Nordlycke": None,
        "Ebbsworth & Tice": None,
        "Orrin Vale": None,
        "Tarnbrook": "settled",  # exchanged for a dearer one, which is not paid in full
        "Halden & Rook": "settled",  # kept, and not paid in full
    }


def test_one_is_agreed_and_waits_for_its_mover(built):
    life = lives()["Quarle & Daughters"]
    assert {"access", "mover", "started", "signed", "handed_over"} <= done(life)
    assert life.mover.day > timezone.localdate()
    assert life.trial.instrument.place == "showroom"


def test_one_stands_with_them_in_air_that_is_too_dry(built):
    life = lives()["Pellow & Garth"]
    assert {"delivered", "signed", "handed_over"} <= done(life)
    assert (life.trial.instrument.place, life.trial.instrument.place_note) == ("customer", life.trial.number)
    assert [climate.told_by for climate in life.climates] == ["Leonie Marchbank", ""]
    assert any("too dry" in caution for caution in life.air_cautions)


def test_one_was_extended_in_writing_and_follows_another_on_a_scale_by_months(built):
    trial = lives()["Ulverdene"].trial
    extension = trial.extensions.get()
    assert extension.ended_before < timezone.localdate() < trial.ends_on == extension.until
    assert trial.exchanged_from.outcome == PromiseOutcome.EXCHANGED
    rule = trial.credit_terms.rule
    assert (len(rule.scale), rule.expires_after_months) == (2, 24)


def test_trials_that_came_back_were_fetched_and_compared(built):
    for maker in ("Tarnbrook", "Orrin Vale", "Ebbsworth & Tice", "Nordlycke"):
        assert {"delivered", "collected", "compared"} <= done(lives()[maker]), maker


def test_a_trial_was_kept_and_is_partly_paid(built):
    sale = Sale.objects.get(from_trial__outcome=PromiseOutcome.KEPT)
    assert sale.instrument == sale.from_trial.instrument
    assert 0 < still_to_pay(sale.promise) < sale.price_minor


def test_trials_were_exchanged_for_a_dearer_and_for_a_cheaper(built):
    sales = Sale.objects.filter(from_trial__outcome=PromiseOutcome.EXCHANGED)
    dearer, cheaper = sorted(sales, key=lambda sale: sale.from_trial.price_minor - sale.price_minor)
    assert dearer.price_minor > dearer.from_trial.price_minor
    assert still_to_pay(dearer.promise) > 0
    assert cheaper.price_minor < cheaper.from_trial.pay_now_minor
    assert still_to_pay(cheaper.promise) == 0
    assert credit_of(cheaper.person) > 0


def test_a_trial_was_returned_less_an_agreed_deduction(built):
    trial = Trial.objects.get(outcome=PromiseOutcome.RETURNED)
    lines = list(trial.promise.deductions.values_list("amount_minor", flat=True))
    assert len(lines) == 3
    assert value_in(trial.promise) == sum(lines) < trial.pay_now_minor


def test_one_is_sold_and_paid_for(built):
    sales = Sale.objects.filter(from_trial=None)
    assert [sale for sale in sales if still_to_pay(sale.promise) == 0]


def test_all_money_paid_toward_a_price_is_in_promises_or_in_credit(built):
    paid = Payment.objects.toward_price().aggregate(sum=Sum("amount_minor"))["sum"]
    promised = sum(value_in(promise) for promise in Promise.objects.all())
    credit = sum(credit_of(person) for person in Person.objects.all())
    assert paid == promised + credit
    assert all(credit_of(person) >= 0 for person in Person.objects.all())


def test_every_picture_says_that_it_is_a_drawing(built):
    assert Photo.objects.exists()
    assert not Photo.objects.exclude(caption__startswith="Drawing").exists()


def test_three_are_heard_and_every_recording_says_that_it_is_synthesised(built):
    recordings = Recording.objects.all()
    assert {each.instrument.listing.state for each in recordings} == {"published"}
    assert all(each.remark.startswith("Synthesised by the program") for each in recordings)
    assert [each for each in recordings if each.unheard] == []
    assert len(by_register(heard_by(AnonymousUser()))) == 3


def test_papers_are_on_file_as_pictures_and_as_a_pdf_and_bear_on_statements(built):
    kept = list(Document.objects.all())
    assert {each.media_type for each in kept} == {"image/jpeg", "image/png", "application/pdf"}
    assert {each.seen_by for each in kept} == {"staff", "owner"}
    assert all(each.evidence.exists() for each in kept)
    for each in kept:
        with each.file.open("rb") as file:
            assert hashlib.sha256(file.read()).hexdigest() == each.sha256


def test_the_records_carry_the_days_they_tell_of(built):
    first = Instrument.objects.order_by("logged_at").first()
    assert (timezone.now() - first.logged_at).days > 365
    stock = stock_only(Instrument.objects).order_by("logged_at")
    numbers = list(stock.values_list("stock_number", flat=True))
    assert numbers == sorted(numbers)
    assert not WorkItem.history.filter(history_date__gt=timezone.now()).exists()


def test_everybody_can_log_in_as_printed(built):
    said, _ = built
    for person in STAFF:
        assert f"{person.username:8}{person.password}" in said
        assert User.objects.get(username=person.username).check_password(person.password)


def test_the_example_papers_open(built):
    _, folder = built
    read = {path.name: Reading(path.read_bytes()).text for path in sorted((folder / "papers").iterdir())}
    kept, draft, sheet = sorted(read, key=lambda name: ("sale" in name, "draft" in name))
    assert "Halden & Rook" in read[sheet]
    assert "Tom and Greta Aylward" in read[draft]
    assert "Ida Pennock" in read[kept]


def test_it_writes_nothing_but_media_and_papers(built):
    _, folder = built
    assert {path.name for path in folder.iterdir()} == {"media", "papers"}


def test_a_second_time_the_demo_is_left_as_it_is(built):
    before = [Instrument.objects.count(), Payment.objects.count(), WorkItem.history.count()]
    assert "The demo is here already" in run_demo()
    assert [Instrument.objects.count(), Payment.objects.count(), WorkItem.history.count()] == before


def test_a_returned_piano_was_looked_over_out_and_back_with_photographs_in_pairs(built):
    trial = Trial.objects.get(outcome=PromiseOutcome.RETURNED)
    out, back = (walk_of(report) for report in reports_of_trial(trial))
    parts = paired(out, back)
    assert [each.part.value for each in parts if each.pair.change == "worse"] == [
        "fall",
        "centres",
        "key_tops",
    ]
    assert any(each.is_photographed_twice for each in parts)


def test_one_walk_is_still_open_and_two_people_have_written_in_it(built):
    (report,) = ConditionReport.objects.open()
    assert len({finding.found_by for finding in walk_of(report).findings}) == 2


def test_a_finding_of_sharps_holds_no_natural(demo):
    finding = Finding.objects.exclude(keys="").get(note__startswith="Sharps stick")
    piano = finding.instrument
    assert all(map(is_sharp, parse_keys(finding.keys, piano.first_key, piano.key_count)))


def test_a_piano_sold_has_two_tunings_done_and_one_due_with_its_call_backs(built):
    sale = Sale.objects.get(instrument__maker="Quarle & Daughters")
    standing = care_of(sale)
    assert standing.included_done == 2 and standing.included_left == 1 and standing.waits
    closed, still_open = CallBack.objects.exclude(closed_on=None), CallBack.objects.open()
    assert closed.get().judgements.get().verdict == "guarantee" and still_open.exists()
    assert "at our cost" in closed.get().answers.get().words
    assert sale.papers.filter(kind="guarantee").exists()


def test_strangers_ask_in_each_state_and_one_waits_to_be_told(built):
    rows = Enquiry.objects.with_answers()
    assert rows.doubtful().count() == 1 and rows.filter(outcome="silent").exists()
    waiting = rows.open().real()
    late = waiting.filter(is_answered=False, answer_by__lt=timezone.localdate())
    assert late.exists() and waiting.filter(is_answered=True).exists()
    assert waiting.filter(answers__how="advice", handler=None).exists()
    assert {each.wanted.person.name for each in to_tell()} == {"Isolde Hartwell"}
    assert who_looks_for(Instrument.objects.get(maker="Nordlycke"))
