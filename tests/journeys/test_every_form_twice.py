"""Every form of every page, filled in well and pressed twice: done once, and answered both times alike."""

import pytest
from django.db import transaction

from tests.journeys import nonsense
from tests.journeys.form_walk import every_form, make_walk
from tests.journeys.page_forms import Form

pytestmark = pytest.mark.django_db
# Without a memory of its own: sent again it writes the same once more, and the record shows both.
SAY_THE_SAME_AGAIN = {"/terms/"}


@pytest.fixture
def walk(owner):
    return make_walk(owner)


@pytest.fixture
def signed_in(client, owner, monkeypatch):
    client.force_login(owner)
    client.raise_request_exception = False
    monkeypatch.setattr("django.test.client.store_rendered_templates", lambda *args, **kwargs: None)
    return client


def pressed_twice(client, form: Form) -> list[tuple[int, str, tuple[int, ...]]]:
    """Each answer with how many rows there are then; afterwards all is as it was."""
    sent = nonsense.all_good(form)
    with transaction.atomic():
        told = []
        for _ in range(2):
            answer = client.post(form.action, sent)
            told.append((answer.status_code, answer.get("Location", ""), nonsense.row_counts()))
        transaction.set_rollback(True)
    return told


def test_form_pressed_twice_is_done_once_and_answered_alike(signed_in, walk):
    marked = [form for form in every_form(signed_in, walk) if "form_token" in form.standing()]
    told = {form.action: pressed_twice(signed_in, form) for form in marked}
    done = {action: presses for action, presses in told.items() if presses[0][0] == 302}
    twice = {action for action, (first, second) in done.items() if first != second}
    assert len(done) > 100
    assert twice <= SAY_THE_SAME_AGAIN
