"""While only reading is possible: pages read on, changes are refused in words, and what was typed stays."""

import errno
import html
from io import StringIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.db import OperationalError, ProgrammingError
from django.http import HttpRequest
from django.test import RequestFactory
from django.urls import reverse

from shop import read_only
from shop.models import Person
from shop.not_now import KEPT_BYTES, answer_for_trouble
from tests.journeys.page_forms import forms_on

WHY = "a backup is brought back"


@pytest.fixture(autouse=True)
def data_dir(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return tmp_path


def typed(**fields) -> HttpRequest:
    return RequestFactory().post("/people/new/?from=card", fields)


def sent_again(page: str) -> dict[str, list[str]]:
    (form,) = forms_on(page, "/somewhere/")
    assert form.action == "/people/new/?from=card"
    return form.standing()


def test_switch_is_kept_with_its_words_until_it_is_ended():
    assert read_only.reason() is None
    read_only.begin(f" {WHY}\n")
    assert read_only.reason() == WHY
    read_only.end()
    read_only.end()
    assert read_only.reason() is None


def test_switch_wants_words():
    with pytest.raises(ValueError, match="Say why"):
        read_only.begin(" \n")
    assert read_only.reason() is None


def test_switch_that_cannot_be_read_counts_as_thrown(data_dir):
    (data_dir / "read_only").write_bytes(b"\xff\xfe")
    assert read_only.reason() == read_only.NO_WORDS


def command(*given) -> str:
    out = StringIO()
    call_command("read_only", *given, stdout=out)
    return out.getvalue().strip()


def test_command_throws_the_switch_and_says_how_it_stands():
    assert command() == "Saving is possible."
    assert command("--begin", WHY) == command() == f"Nothing can be saved: {WHY}."
    assert command("--end") == "Saving is possible."
    with pytest.raises(CommandError, match="Say why"):
        command("--begin", "")


@pytest.mark.django_db
def test_pages_read_on_and_say_so(client, seller):
    client.force_login(seller)
    read_only.begin(WHY)
    for address in (reverse("today"), reverse("shop:people"), reverse("window")):
        answer = client.get(address)
        assert answer.status_code == 200
        assert f"nothing can be saved just now: {WHY}." in answer.text


@pytest.mark.django_db
def test_what_changes_is_refused_in_words_and_sent_again_it_is_saved(client, seller):
    client.force_login(seller)
    form = forms_on(client.get(reverse("shop:person_add")).text, reverse("shop:person_add"))[-1]
    fields = form.standing() | {"name": ["Nell “Tarn” <b>"]}
    read_only.begin(WHY)
    refused = client.post(form.action, fields)
    assert (refused.status_code, refused["Retry-After"]) == (503, "60")
    assert f"Nothing can be saved for the moment: {WHY}." in refused.text
    assert not Person.objects.exists()
    (again,) = forms_on(refused.text, form.action)
    read_only.end()
    assert client.post(again.action, again.standing()).status_code == 302
    assert Person.objects.get().name == "Nell “Tarn” <b>"


@pytest.mark.django_db
def test_outbox_of_a_device_keeps_what_is_refused_for_later(client, seller):
    client.force_login(seller)
    read_only.begin(WHY)
    answer = client.post(reverse("shop:person_add"), {"name": "Nell"}, headers={"X-Outbox": str(seller.pk)})
    assert answer["X-Outbox-Answer"] == "later"


@pytest.mark.django_db
@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
def test_nothing_that_may_change_is_let_through(client, method):
    read_only.begin(WHY)
    assert getattr(client, method)(reverse("login")).status_code == 503


TROUBLES = {
    "There is no room left": OSError(errno.ENOSPC, "No space left on device"),
    "The files cannot be reached": OSError(errno.EIO, "Input/output error"),
    "Too many are saving at once": OperationalError("database is locked"),
    "The records cannot be reached": OperationalError("no route to 10.0.0.7"),
}


@pytest.mark.parametrize("words", TROUBLES)
def test_trouble_with_disk_or_database_is_told_apart_and_keeps_what_was_typed(words):
    answer = answer_for_trouble(
        typed(name="Nell", note="one\r\ntwo", csrfmiddlewaretoken="t"), TROUBLES[words]
    )
    assert answer.status_code == 503
    assert words in answer.text and "10.0.0.7" not in answer.text
    assert sent_again(answer.text) == {
        "name": ["Nell"],
        "note": ["one\r\ntwo"],
        "csrfmiddlewaretoken": ["t"],
    }


@pytest.mark.parametrize(
    "cause", [Exception("database or disk is full"), type("DiskFull", (Exception,), {"sqlstate": "53100"})()]
)
def test_database_on_a_full_disk_is_told_as_such(cause):
    error = OperationalError("as Django wraps it")
    error.__cause__ = cause
    assert "There is no room left" in answer_for_trouble(typed(name="Nell"), error).text


def test_fault_of_our_own_is_not_put_on_the_disk():
    for error in (OSError(errno.ENOENT, "No such file"), ProgrammingError("no such table"), KeyError("x")):
        assert answer_for_trouble(typed(name="Nell"), error) is None


def test_records_changed_underneath_are_no_fault_while_only_reading_is_possible():
    read_only.begin(WHY)
    answer = answer_for_trouble(RequestFactory().get("/"), ProgrammingError("no such table"))
    assert answer.status_code == 503 and WHY in answer.text


def test_password_is_never_put_into_a_page():
    answer = answer_for_trouble(typed(username="nell", password="quiet-felt-52"), OperationalError())
    assert "quiet-felt-52" not in answer.text and "<form" not in answer.text


def test_files_are_to_be_chosen_again():
    request = typed(name="Nell", photo=SimpleUploadedFile("soundboard.jpg", b"x"))
    answer = answer_for_trouble(request, OperationalError())
    assert "Only the files have to be chosen again" in html.unescape(answer.text)
    assert "<form" not in answer.text


def test_long_form_is_not_read_to_be_shown():
    request = RequestFactory().generic("POST", "/", CONTENT_LENGTH=str(KEPT_BYTES + 1))
    answer = answer_for_trouble(request, OperationalError())
    assert "go back, where what you typed should still be" in answer.text
