"""What the server tells the outbox of a device, and whose draft it takes."""

import pytest
from django.urls import reverse

from instruments.models import Finding
from tests.make import make_report

pytestmark = pytest.mark.django_db
TOKEN = "ab" * 16


def front_off(report) -> str:
    return reverse("instruments:condition_station", args=[report.instrument.stock_number, report.pk, "front"])


@pytest.fixture
def walk(client, technician):
    """Sends one walk-round as the outbox does."""
    client.force_login(technician)
    address = front_off(make_report())

    def send(sender=technician, **fields):
        sent = {"form_token": TOKEN, "hammers-condition": "repair"} | fields
        return client.post(address, sent, headers={"X-Outbox": str(sender.pk)})

    return send


def test_saved_form_is_answered_with_its_address_instead_of_a_redirect(walk, client):
    answer = walk()
    assert (answer.status_code, answer["X-Outbox-Answer"], "Location" in answer) == (200, "done", False)
    assert client.get(answer["X-Outbox-Location"]).status_code == 200


def test_what_the_person_should_read_is_not_used_up(walk, client):
    page = client.get(walk()["X-Outbox-Location"])
    assert [str(message) for message in page.context["messages"]]


def test_page_put_by_on_the_device_leaves_the_words_to_the_page_that_is_read(walk, client):
    address = walk()["X-Outbox-Location"]
    said = b"one part written down"
    assert said not in client.get(address, headers={"X-Puts-By": "yes"}).content
    assert said in client.get(address).content


def test_draft_sent_twice_is_kept_once_and_answered_alike(walk):
    first, second = walk(), walk()
    assert first["X-Outbox-Location"] == second["X-Outbox-Location"]
    assert Finding.objects.count() == 1


def test_refused_form_comes_back_as_a_page_with_its_sentences(walk):
    answer = walk(**{"action-note": "rail loose"})
    assert (answer.status_code, answer["X-Outbox-Answer"]) == (200, "refused")
    assert b"form-errors" in answer.content


def test_signed_out_device_is_told_to_sign_in(walk, client):
    client.logout()
    answer = walk()
    assert (answer.status_code, answer["X-Outbox-Answer"]) == (401, "sign-in")


def test_draft_of_one_person_is_not_taken_under_the_name_of_another(walk, buyer):
    answer = walk(sender=buyer)
    assert (answer.status_code, answer["X-Outbox-Answer"]) == (401, "sign-in")
    assert not Finding.objects.exists()


def test_page_that_fails_is_to_be_tried_again(walk, monkeypatch, client):
    client.raise_request_exception = False
    monkeypatch.setattr("instruments.views.findings.answered_before", lambda request: 1 / 0)
    assert walk()["X-Outbox-Answer"] == "later"


def test_ordinary_forms_are_redirected_as_ever(client, technician):
    client.force_login(technician)
    address = front_off(make_report())
    answer = client.post(address, {"form_token": TOKEN, "hammers-condition": "repair"})
    assert answer.status_code == 302 and "X-Outbox-Answer" not in answer


def test_script_for_pages_without_a_connection_may_watch_over_all_of_them(client):
    answer = client.get("/offline-worker.js")
    assert answer["Content-Type"].startswith("text/javascript")
    assert b"respondWith" in answer.content
