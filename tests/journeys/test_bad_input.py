"""Every form of every page gets nonsense: it answers in words, keeps what was typed and changes nothing."""

import re
from itertools import product
from types import SimpleNamespace
from urllib.parse import quote

import pytest
from django.contrib.auth.models import Group
from django.test import Client
from django.urls import reverse

from tests import make
from tests.access_table import ACCESS
from tests.access_world import arguments_for
from tests.journeys import nonsense
from tests.journeys.form_walk import every_form, make_walk, page_addresses
from tests.journeys.page_forms import Form
from tests.sampling import sampled
from tests.test_access import addresses

TURNS = 2
# Every field of these takes any words, so nonsense is taken as somebody's text, and rightly.
ANY_WORDS_WILL_DO = {
    "/sales/S#-#/reminders/",  # only why they are reminded no more
    "/trials/T#-#/deductions/#/back/",  # only why it is taken back
    "/stock/#-#/listing/",  # the shop's own words; a loaded one is cautioned, not refused
    "/orders/W#-#/give-up/",  # only why
    "/orders/W#-#/reopen/",  # only why
    "/items/#/leave/",  # only why it is left undone
    "/stock/#-#/evidence/#/retract/",  # only why it no longer speaks
    "/commissions/Q#-#/withdraw/",  # only why
    "/commissions/Q#-#/#/cancel/",  # only why
    "/items/#/reopen/",  # only why
    "/taken-in/R#-#/back/",  # only whom it was handed to, and a note
    "/bench/outside/O#-#/cancel/",  # only why
    "/proposals/#/decline/",  # only why not
    "/stock/#-#/as-it-came/",  # only why it need not stay as it came
    "/sale-or-return/R#-#/back/",  # only why it went back
    "/wanted/#/close/",  # only how it ended
    "/sales/S#-#/notice/back/",  # only why
}
# These want a file, which the walk does not bring.
WANT_A_FILE = {
    "/stock/#-#/photos/",
    "/stock/#-#/sound/",
    "/stock/#-#/sound/#/replace/",
    "/stock/#-#/documents/",
    "/stock/import/",
    "/marks/import/",
    "/offered/L#-#/photos/",
    "/trials/T#-#/signed-paper/",
}
# Refused for what is on file, and rightly: nothing owed yet, nothing changed, the same found twice.
WANT_ANOTHER_STATE = {
    "/sale-or-return/R#-#/pay/",  # nothing is owed before it is sold
    "/terms/agreements/",  # the same clauses are no new version
    "/terms/credit/",  # what changes is shown first, and put in force by a second press
    "/stock/#-#/purchase/pay/",  # the seller is paid in full
    "/call-backs/CB#-#/confirm/",  # it is not closed yet
    "/items/#/found/",  # the same was found before
    "/items/#/waive/",  # wants an item that was measured and missed
    "/sales/S#-#/repair/",  # a repair is asked for already
    "/visits/V#-#/move/",  # it is booked for that day and that person
    "/trials/T#-#/keep/",  # a deduction agreed stands against it
    "/bench/stores/#/count/",  # as many as there are is no difference
    "/bench/outside/O#-#/promise/",  # the day that was promised before
    "/bench/outside/O#-#/back/",  # it has not been taken there yet
    "/own/password/",  # wants the present password
    "/own/e-mail/",  # the same
    "/own/second-step/",  # wants the code that a telephone shows
    "/own/second-step/off/",  # wants the present password
    "/login/new/",  # wants a password that is good enough, twice, and the link it came by
}
# These answer by going back to their page with a word of what became of it.
GO_BACK = {"/bench/pause/"}
# A stranger's sending that was refused leaves a row: so many in so short a time are counted.
A_REFUSAL_IS_COUNTED = {"/send/#/"}
ROWS_CHANGED = "rows changed although the form was shown again"
# Good in every field is too much for these: one field speaks against another.
ONE_OR_THE_OTHER = {
    "/trials/T#-#/trial_delivery/sign/",  # drawn on the screen, or a photograph of the paper
    "/sales/S#-#/stages/",  # the stages come to the price
    "/stock/#-#/sell/",  # agreed in the shop, there is no day on which cancelling was explained
    "/sales/S#-#/agreed/",  # the same
    "/sales/S#-#/notice/",  # what may be said depends on the kind of right
    "/commissions/Q#-#/quote/",  # a touch is so many grams lighter, or three weights
    "/items/#/part/",  # a part comes from the stores, or has a name
    "/bench/tasks/lubricate-action/parts/",  # the same
}
# Sent twice these only say the same again, so they need no mark of their own.
SAY_THE_SAME_AGAIN = {"/terms/"}


@pytest.fixture(scope="module")
def walked(standing):
    """One of everything, its owner, and every form of it; each sending is undone."""
    owner = make.make_user("olive", "Olive Tarn", Group.objects.get(name="Owner"))
    walk, client = make_walk(owner), Client()
    client.force_login(owner)
    forms = every_form(client, walk, methods=("get", "post"))
    return SimpleNamespace(walk=walk, cookies=client.cookies, forms=forms)


@pytest.fixture
def walk(walked):
    return walked.walk


@pytest.fixture
def forms(walked) -> list[Form]:
    return [form for form in walked.forms if form.method == "post" and sampled([where(form)])]


@pytest.fixture
def signed_in(db, client, walked, monkeypatch):
    """Who holds the cookies of those pages, on which their marks depend."""
    client.cookies = walked.cookies.copy()
    client.raise_request_exception = False
    # The test client copies the context of every template; these tests post a thousand times.
    monkeypatch.setattr("django.test.client.store_rendered_templates", lambda *args, **kwargs: None)
    return client


def test_nonsense_in_every_field_is_answered_in_words(signed_in, forms):
    faults, took_it = [], set()
    for form, turn in product(forms, range(TURNS)):
        sending = nonsense.send(
            signed_in, form, nonsense.nonsense_everywhere(form, nonsense.EVERYTHING, turn)
        )
        if taken(sending):
            took_it.add(where(form))
        counted = {ROWS_CHANGED} if where(form) in A_REFUSAL_IS_COUNTED else set()
        faults += [(where(form), turn, fault) for fault in sending.complaints() if fault not in counted]
    assert not faults, listed(faults)
    assert took_it - A_REFUSAL_IS_COUNTED == set(sampled(ANY_WORDS_WILL_DO))


def test_one_bad_field_among_good_ones_is_answered_in_words(signed_in, forms):
    faults = []
    for form in forms:
        for place, name in enumerate(nonsense.telling_names(form)):
            for text in nonsense.some_in_turn(nonsense.ONE_AT_A_TIME, place):
                sent = nonsense.all_good(form) | {name: [text]}
                sending = nonsense.send(signed_in, form, sent)
                if not sending.was_taken:
                    faults += [(where(form), name, text[:20], fault) for fault in sending.complaints()]
    assert not faults, listed(faults)


def test_the_good_stand_and_without_their_marks_nothing_is_changed(signed_in, forms):
    what_the_one_bad_field_stands_among_is_good(signed_in, forms)
    a_form_that_lost_its_mark_changes_nothing(signed_in, forms)
    a_form_without_the_csrf_token_is_refused(signed_in, forms)


def what_the_one_bad_field_stands_among_is_good(client, forms: list[Form]) -> None:
    refused, may_be_refused = {}, WANT_A_FILE | ONE_OR_THE_OTHER | WANT_ANOTHER_STATE
    for form in forms:
        sending = nonsense.send(client, form, nonsense.all_good(form))
        if not sending.was_taken:
            refused[where(form)] = (sending.status, nonsense.sentences(sending.page))
    unforeseen = [(place, *told) for place, told in refused.items() if place not in may_be_refused]
    assert not unforeseen, listed(unforeseen)
    assert set(sampled(may_be_refused)) - refused.keys() == set()


def a_form_that_lost_its_mark_changes_nothing(client, forms: list[Form]) -> None:
    faults = []
    for form in forms:
        sent = nonsense.all_good(form)
        if "form_token" in sent and where(form) not in SAY_THE_SAME_AGAIN:
            sending = nonsense.send(client, form, sent | {"form_token": [""]})
            faults += [(where(form), fault) for fault in sending.complaints()]
            if taken(sending):
                faults.append((where(form), "it was taken without its mark"))
    assert not faults, listed(faults)


def a_form_without_the_csrf_token_is_refused(client, forms: list[Form]) -> None:
    client.handler.enforce_csrf_checks = True
    answers = set()
    for form in forms:
        sent = nonsense.all_good(form)
        sent.pop("csrfmiddlewaretoken")
        sending = nonsense.send(client, form, sent)
        answers.add((sending.status, sending.rows_changed))
    assert answers == {(403, False)}


def test_nonsense_in_a_query_is_answered(signed_in, walked):
    asked = {form.action.split("?")[0]: form.names for form in walked.forms if form.method == "get"}
    faults = []
    for address in sampled(page_addresses(walked.walk)):
        names = {*asked.get(address, []), "page", "state", "sort", "q", "next"}
        for turn in range(2):
            query = "&".join(
                f"{name}={quote(text, errors='surrogatepass')}"
                for name, text in zip(sorted(names), nonsense.for_a_query(turn), strict=False)
            )
            status = signed_in.get(f"{address}?{query}").status_code
            if status >= 500:
                faults.append((address, query, status))
    assert not faults, listed(faults)


def test_nonsense_in_an_address_is_not_found(signed_in, walk):
    faults = []
    for turn, (name, (method, _)) in enumerate(ACCESS.items()):
        ask = signed_in.get if method == "GET" else signed_in.post
        for wrong in wrong_addresses(name, walk, nonsense.some_in_turn(nonsense.IN_AN_ADDRESS, turn, 3)):
            if (status := ask(wrong).status_code) not in {302, 404, 405}:
                faults.append((wrong, status))
    assert not faults, listed(faults)


def wrong_addresses(name: str, walk, texts: list[str]):
    """The address of that name with one of its arguments turned to nonsense."""
    entry = addresses()[name]
    arguments = arguments_for(entry, name, walk)
    if arguments:
        right = reverse(name, kwargs=arguments)
        for value, text in product(arguments.values(), texts):
            wrong = right.replace(f"/{value}/", f"/{quote(text, safe='%')}/", 1)
            if wrong != right:
                yield wrong


def taken(sending: nonsense.Sending) -> bool:
    went_back = where(sending.form) in GO_BACK and not sending.rows_changed
    return sending.was_taken and not went_back


def where(form: Form) -> str:
    return re.sub(r"\d+", "#", re.sub(r"(?<=^/send/)[^/]+", "#", form.action))


def listed(faults: list) -> str:
    return "\n".join(["", *map(str, dict.fromkeys(faults))])
