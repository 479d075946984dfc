"""Creating forms that arrive twice: one after the other, at the same time, changed, or from somebody else."""

import threading

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, connection
from django.http import HttpResponse
from django.template import engines
from django.test import Client
from django.urls import include, path
from django.views.decorators.http import require_http_methods

from instruments.models import NumberSeries, Submission
from instruments.views.once import answered_before, once

SHELF_PAGE = engines["django"].from_string(
    "{% load forms %}{% include 'includes/messages.html' %}<form method='post'>{% form_token %}"
    "<input name='name' value='{{ name }}'></form>"
)


@require_http_methods(["GET", "POST"])
def shelf_create(request):
    """A page as small as can be that makes one row and goes to it."""
    name = request.POST.get("name", "")
    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if name and (answer := once(request, lambda: f"/shelves/{make_shelf(name)}/")):
            return answer
    return HttpResponse(SHELF_PAGE.render({"name": name}, request))


def make_shelf(name: str) -> int:
    return NumberSeries.objects.create(series=name, year=2026).pk


urlpatterns = [
    path("shelves/create/", shelf_create),
    path("shelves/other/", shelf_create),
    path("", include("shop.urls")),
]
TOKEN = "0f" * 16
FORM = {"form_token": TOKEN, "name": "cellar"}


@pytest.fixture(autouse=True)
def small_site(settings):
    settings.ROOT_URLCONF = __name__


@pytest.fixture
def ada(db):
    return User.objects.create_user("ada", password="quiet-felt-52")


@pytest.fixture
def client(client, ada):
    client.force_login(ada)
    return client


def test_first_sending_acts_and_goes_to_what_was_made(client):
    answer = client.post("/shelves/create/", FORM)
    assert (answer.status_code, answer.url) == (302, f"/shelves/{NumberSeries.objects.get().pk}/")


def test_second_sending_goes_to_the_same_place_and_does_nothing(client):
    first = client.post("/shelves/create/", FORM)
    second = client.post("/shelves/create/", FORM | {"csrfmiddlewaretoken": "another"})
    assert (second.status_code, second.url) == (302, first.url)
    assert NumberSeries.objects.count() == 1


def test_htmx_is_sent_on_as_well(client):
    answer = client.post("/shelves/create/", FORM, headers={"HX-Request": "true"})
    assert answer["HX-Redirect"] == f"/shelves/{NumberSeries.objects.get().pk}/"


def test_changed_form_with_the_same_token_is_refused_in_words(client):
    client.post("/shelves/create/", FORM)
    answer = client.post("/shelves/create/", FORM | {"name": "attic"})
    assert answer.status_code == 409
    assert b"This form was sent before" in answer.content
    assert NumberSeries.objects.count() == 1


def test_same_token_at_another_address_is_refused(client):
    client.post("/shelves/create/", FORM)
    assert client.post("/shelves/other/", FORM).status_code == 409


def test_somebody_else_s_token_is_refused_without_a_hint_of_the_answer(client, db):
    first = client.post("/shelves/create/", FORM)
    client.force_login(User.objects.create_user("wilf"))
    answer = client.post("/shelves/create/", FORM)
    assert answer.status_code == 409
    assert first.url.encode() not in answer.content


def test_changed_file_with_the_same_token_is_refused(client):
    def send(content):
        return client.post("/shelves/create/", FORM | {"photo": SimpleUploadedFile("a.jpg", content)})

    send(b"one")
    assert (send(b"two").status_code, send(b"one").status_code) == (409, 302)


@pytest.mark.parametrize("token", ["", "short", "Z" * 32, TOKEN + "0", "<script>"])
def test_form_without_its_token_saves_nothing_and_keeps_what_was_typed(client, token):
    answer = client.post("/shelves/create/", {"form_token": token, "name": "cellar"})
    assert b"Nothing was saved; send it once more." in answer.content
    assert b"value='cellar'" in answer.content
    assert NumberSeries.objects.count() == 0


def test_form_shown_again_after_an_error_keeps_its_token(client):
    answer = client.post("/shelves/create/", FORM | {"name": ""})
    assert f'<input type="hidden" name="form_token" value="{TOKEN}">'.encode() in answer.content


def test_every_fresh_form_gets_a_token_of_its_own(client):
    assert client.get("/shelves/create/").content != client.get("/shelves/create/").content


def test_act_that_fails_undoes_the_token_so_that_the_form_can_be_sent_again(client, monkeypatch):
    with monkeypatch.context() as broken:
        broken.setattr(NumberSeries.objects, "create", broken_create)
        with pytest.raises(LookupError):
            client.post("/shelves/create/", FORM)
    assert Submission.objects.count() == 0
    assert client.post("/shelves/create/", FORM).status_code == 302


def broken_create(**fields):
    raise LookupError("the act failed half way")


def test_constraint_met_by_the_act_itself_is_not_taken_for_a_repeat(client):
    make_shelf("cellar")
    with pytest.raises(IntegrityError):
        client.post("/shelves/create/", FORM)


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_eight_sendings_at_the_same_time_make_one_row_and_get_one_answer(ada):
    answers, together = [], threading.Barrier(8)

    def send():
        client = Client()
        client.force_login(ada)
        together.wait()
        answers.append(client.post("/shelves/create/", FORM))
        connection.close()

    senders = [threading.Thread(target=send) for _ in range(8)]
    for sender in senders:
        sender.start()
    for sender in senders:
        sender.join()
    assert {answer.status_code for answer in answers} == {302}
    assert {answer.url for answer in answers} == {f"/shelves/{NumberSeries.objects.get().pk}/"}
