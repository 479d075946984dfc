from io import BytesIO

import pytest
from django.contrib.auth.models import User
from django.db import OperationalError
from django.http import HttpResponse
from django.urls import include, path
from django.views.decorators.cache import cache_control

from instruments.views.uploads import accepts_uploads
from shop.db.sqlite.gate import DatabaseBusy
from shop.middleware import FORM_LIMIT_BYTES, STRANGERS_LIMIT_BYTES, UPLOAD_LIMIT_BYTES

MEGABYTE = 1024 * 1024


class NeverRead(BytesIO):
    """A body that may not be touched."""

    def read(self, *args):
        raise AssertionError("the body was read")

    readline = read


def plain(request):
    return HttpResponse("here")


@accepts_uploads
def photo_add(request):
    return HttpResponse("here")


@cache_control(private=True, max_age=60)
def picture(request):
    return HttpResponse("here")


def broken(request):
    raise {"busy": DatabaseBusy("for long"), "away": OperationalError("no route to 10.0.0.7")}[
        request.GET["why"]
    ]


urlpatterns = [
    path("plain/", plain),
    path("photos/add/", photo_add),
    path("picture/", picture),
    path("broken/", broken),
    path("", include("shop.urls")),
]
handler500 = "shop.views.errors.server_error"


@pytest.fixture(autouse=True)
def small_site(settings):
    settings.ROOT_URLCONF = __name__


@pytest.fixture
def signed_in(client, db):
    client.force_login(User.objects.create_user("ada"))
    return client


def send(client, address, length):
    """A form whose head announces so many bytes; nobody may ask for the body of a refused one."""
    return client.generic(
        "POST",
        address,
        content_type="multipart/form-data; boundary=x",
        **{"CONTENT_LENGTH": str(length), "wsgi.input": NeverRead()},
    )


@pytest.mark.django_db
def test_stranger_may_send_no_more_than_a_login_form_needs(client):
    answer = send(client, "/photos/add/", STRANGERS_LIMIT_BYTES + 1)
    assert answer.status_code == 413
    assert b"Nothing was changed" in answer.content


def test_signed_in_person_may_not_send_photos_to_a_page_that_takes_none(signed_in):
    assert send(signed_in, "/plain/", FORM_LIMIT_BYTES + 1).status_code == 413


def test_nobody_may_send_more_than_the_most(signed_in):
    assert send(signed_in, "/photos/add/", UPLOAD_LIMIT_BYTES + 1).status_code == 413


@pytest.mark.parametrize(
    ("address", "length"), [("/photos/add/", UPLOAD_LIMIT_BYTES), ("/plain/", FORM_LIMIT_BYTES)]
)
def test_signed_in_person_may_send_up_to_the_limit(signed_in, address, length):
    assert send(signed_in, address, length).status_code == 200


def test_limit_stands_before_whatever_reads_the_body(settings):
    names = [name.rpartition(".")[2] for name in settings.MIDDLEWARE]
    assert names.index("BodyLimit") < names.index("CsrfViewMiddleware")


def test_refusal_wears_the_same_headers_as_every_page(signed_in):
    answer = send(signed_in, "/plain/", FORM_LIMIT_BYTES + 1)
    assert "default-src 'self'" in answer["Content-Security-Policy"]
    assert answer["X-Frame-Options"] == "DENY"


def test_signed_in_page_stays_behind_in_no_browser(signed_in):
    assert signed_in.get("/plain/")["Cache-Control"] == "no-store"


def test_signed_in_picture_keeps_what_its_view_said(signed_in):
    assert signed_in.get("/picture/")["Cache-Control"] in {"max-age=60, private", "private, max-age=60"}


@pytest.mark.django_db
def test_page_for_strangers_may_be_kept(client):
    assert "no-store" not in client.get("/window/", follow=False).get("Cache-Control", "")


@pytest.mark.django_db
def test_pages_may_use_the_camera_and_the_microphone_and_nothing_else(client):
    policy = client.get("/login/")["Permissions-Policy"]
    assert "camera=(self), microphone=(self)" in policy
    assert "geolocation=()" in policy


def test_busy_database_is_told_in_words_and_may_be_tried_again(signed_in):
    answer = signed_in.get("/broken/?why=busy")
    assert (answer.status_code, answer["Retry-After"]) == (503, "5")
    assert b"Too many are saving at once" in answer.content


def test_absent_database_is_told_in_words_without_its_address(signed_in, caplog):
    answer = signed_in.get("/broken/?why=away")
    assert answer.status_code == 503
    assert b"The records cannot be reached" in answer.content
    assert b"10.0.0.7" not in answer.content
    assert "10.0.0.7" in caplog.text


@pytest.mark.django_db
def test_database_that_fails_before_the_view_is_told_in_the_same_words(client, monkeypatch):
    def no_session(*args, **kwargs):
        raise OperationalError("the server closed the connection")

    monkeypatch.setattr("django.contrib.sessions.backends.db.SessionStore.load", no_session)
    client.cookies["sessionid"] = "x" * 32
    client.raise_request_exception = False
    answer = client.get("/plain/")
    assert answer.status_code == 503
    assert b"The records cannot be reached" in answer.content


@pytest.mark.both
@pytest.mark.django_db
def test_an_address_with_a_nul_in_it_is_not_found(client, seller):
    client.force_login(seller)
    assert client.get("/trials/%00/").status_code == 404


@pytest.mark.both
@pytest.mark.django_db
@pytest.mark.parametrize("query", ["%00", "25%00-001", "%0%000", "\0"])
def test_a_nul_in_a_query_is_a_space(client, seller, query):
    client.force_login(seller)
    answer = client.get(f"/stock/?q={query}&state={query}")
    assert answer.status_code == 200 and "\0" not in answer.context["request"].GET["q"]
