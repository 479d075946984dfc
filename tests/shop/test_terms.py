"""Clauses that the shop changes, versions of them in force, and agreements that keep the words they had."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.problems import Blocked
from shop.actions.agreements import terms_of, trial_agreement_of
from shop.actions.terms import load_clauses, put_in_force, save_clause
from shop.models import AgreementClause, TermsVersion
from shop.terms_problems import SILENCE_BUYS
from shop.trial_days import days_of
from shop.verification import Verification
from tests import make
from tests.reading import Reading


@pytest.fixture
def clauses(db):
    load_clauses()
    return {clause.code: clause for clause in AgreementClause.objects.all()}


def sent(**fields) -> dict:
    return fields | {"form_token": uuid4().hex}


def change(clause, by, **fields):
    for name, value in fields.items():
        setattr(clause, name, value)
    return save_clause(clause=clause, by=by)


def test_shipped_terms_are_in_force_after_the_first_loading_and_a_second_changes_nothing(clauses):
    assert load_clauses() == []
    assert TermsVersion.objects.get().label == "2026-2"


def test_loading_leaves_alone_what_the_shop_changed(clauses, owner):
    change(clauses["climate"], owner, text="Keep it at 50 %.")
    load_clauses()
    clauses["climate"].refresh_from_db()
    assert clauses["climate"].text == "Keep it at 50 %."


def test_changed_words_reach_agreements_only_once_in_force(clauses, owner):
    trial = make.make_trial(by=owner)
    change(clauses["climate"], owner, text="Keep it cool in $place, near $price.")
    draft = Reading(trial_agreement_of(trial, on=make.A_DAY, is_draft=True))
    assert "Keep it cool" not in draft.text
    put_in_force(keeping_is_buying=False, by=owner, on=date(2026, 11, 3))
    draft = Reading(trial_agreement_of(trial, on=make.A_DAY, is_draft=True))
    assert "Keep it cool in" in draft.text
    assert "terms 2026-3" in draft.text


def test_a_started_trial_keeps_the_version_it_was_started_with(clauses, owner):
    trial = make.make_running_trial(by=owner)
    before = terms_of(trial)
    change(clauses["title"], owner, text="Quite other words.")
    put_in_force(keeping_is_buying=True, by=owner, on=date(2026, 11, 3))
    trial.refresh_from_db()
    assert terms_of(trial) == before
    assert trial.terms.label == "2026-2"
    assert "Quite other words" not in Reading(trial_agreement_of(trial, on=make.A_DAY, is_draft=True)).text


def test_nothing_new_is_not_put_in_force_again(clauses, owner):
    with pytest.raises(Blocked, match="Nothing has changed"):
        put_in_force(keeping_is_buying=False, by=owner, on=make.A_DAY)
    assert TermsVersion.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"text": "By the end of $lastday."}, r"cannot fill in \$lastday"),
        ({"text": "It ends some day."}, "has to name the last day"),
        ({"text": "x", "in_use": False}, "No clause says what keeping it past the last day means"),
    ],
)
def test_terms_that_do_not_settle_silence_are_refused(clauses, owner, fields, sentence):
    change(clauses["silence"], owner, **fields)
    with pytest.raises(Blocked, match=sentence):
        put_in_force(keeping_is_buying=False, by=owner, on=make.A_DAY)


def test_a_version_cannot_be_changed_and_verify_finds_one_that_was(clauses, owner):
    version = TermsVersion.objects.get()
    with pytest.raises(DatabaseError), transaction.atomic():
        TermsVersion.objects.filter(pk=version.pk).update(label="2026-9")
    assert list(Verification().faults()) == []
    TermsVersion.objects.create(
        label="2026-8", words=version.words, sha256="0" * 64, in_force_from=make.A_DAY, put_in_force_by=owner
    )
    assert [fault for fault in Verification().faults() if "its words are not those" in fault]


def test_silence_follows_the_terms_of_the_trial(clauses, owner):
    # Sale of Goods Act 1979 s 18 rule 4(b): goods kept past the fixed time pass, unless agreed otherwise.
    kept_ours = make.make_running_trial(by=owner)
    assert days_of(kept_ours).bought_by_silence_on is None
    put_in_force(keeping_is_buying=True, by=owner, on=date(2026, 11, 3))
    bought = make.make_running_trial(by=owner)
    assert days_of(bought).bought_by_silence_on == bought.ends_on
    agreement = Reading(trial_agreement_of(bought, on=make.A_DAY, is_draft=True)).text
    assert "you have bought it at the end of that day" in agreement
    assert "you have not bought it" not in agreement


def test_what_is_agreed_at_a_distance_carries_the_right_to_cancel_and_its_form(clauses, owner):
    # Consumer Contracts Regulations 2013 reg 30(3): the end of 14 days after the day the goods came.
    trial = make.make_running_trial(by=owner, agreed_where="distance")
    agreement = Reading(trial_agreement_of(trial, on=make.A_DAY, is_draft=True)).text
    assert "Your right to cancel" in agreement
    assert "Cancellation form" in agreement
    assert days_of(trial).may_cancel_until == trial.promise.opened_on + timedelta(days=14)
    across_the_counter = make.make_running_trial(by=owner)
    assert days_of(across_the_counter).may_cancel_until is None
    assert (
        "Cancellation form"
        not in Reading(trial_agreement_of(across_the_counter, on=make.A_DAY, is_draft=True)).text
    )


def test_owner_changes_a_clause_and_puts_it_in_force_on_the_page(clauses, client, owner):
    client.force_login(owner)
    address = clauses["climate"].get_absolute_url()
    air = {"heading": "Air", "when": "always", "position": 5, "in_use": "on"}
    wrong = client.post(address, sent(text="At $warmth.", **air))
    assert "cannot fill in $warmth" in wrong.content.decode()
    assert "At $warmth." in wrong.content.decode()
    client.post(address, sent(text="At $humidity.", **air))
    page = client.get(reverse("shop:terms_page")).content.decode()
    assert "The clauses differ from what is in force" in page
    answer = client.post(reverse("shop:terms_page"), sent(keeping_is_buying="no", note="shorter"))
    assert answer.status_code == 302
    version = TermsVersion.objects.first()
    assert version.note == "shorter"
    shown = client.get(version.get_absolute_url()).content.decode()
    assert "At $humidity." in shown
    assert version.sha256 in shown


def test_a_second_clause_of_the_same_heading_is_refused_beside_its_field(clauses, client, owner):
    client.force_login(owner)
    typed = sent(heading="Climate", text="x", when="always", position=5)
    answer = client.post(reverse("shop:clause_add"), typed)
    assert "A clause of that heading is there already" in answer.content.decode()
    assert AgreementClause.objects.count() == len(clauses)


def test_the_page_warns_of_silence_that_buys_and_of_hire_and_credit(clauses, client, owner):
    put_in_force(keeping_is_buying=True, by=owner, on=make.A_DAY)
    client.force_login(owner)
    page = client.get(reverse("shop:terms_page")).content.decode()
    assert "may be regulated hire" in page
    assert "a consumer may dispute a purchase by silence as an unfair term" in page


def test_silence_that_buys_is_warned_of_before_and_after_it_is_chosen_and_at_each_start(
    clauses, client, owner
):
    """Sale of Goods Act 1979, s. 18 rule 4; Consumer Contracts Regulations 2013, reg 39 (from memory)."""
    client.force_login(owner)
    page = reverse("shop:terms_page")
    trial = make.make_trial(on=timezone.localdate())
    start = reverse("shop:trial_start", args=[trial.number])
    assert "reg 39" in client.get(page).content.decode()
    assert "reg 39" not in client.get(start).content.decode()
    said = client.post(page, {"keeping_is_buying": "yes", "form_token": uuid4().hex}, follow=True)
    assert [str(each) for each in said.context["messages"]][-1] == SILENCE_BUYS
    assert "reg 39" in client.get(start).content.decode()
