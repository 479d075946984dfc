"""What the server writes says what happened and nothing about anybody. Canaries are words to look for."""

import io
import json
import logging
from contextlib import contextmanager
from urllib.parse import urlencode

import pytest
from django.db import IntegrityError
from django.urls import reverse

from shop.models import Person
from shop.request_log import OneLine, logging_settings
from tests import make

pytestmark = pytest.mark.django_db
CANARIES = {
    "name": "Canaria Goldfinch",
    "address": "7 Canary Wharfside",
    "telephone": "07700 900461",
    "email": "canaria@goldfinch.example",
    "password": "canary-sang-at-dawn-9",
}


@contextmanager
def written(formatter: logging.Formatter):
    """All that is logged at any level, as the handler of the settings would write it."""
    told = io.StringIO()
    handler = logging.StreamHandler(told)
    handler.setFormatter(formatter)
    names = ["", *logging_settings()["loggers"]]
    before = {name: logging.getLogger(name).level for name in names}
    for name in names:
        logging.getLogger(name).addHandler(handler)
        logging.getLogger(name).setLevel(logging.INFO)
    try:
        yield told
    finally:
        for name, level in before.items():
            logging.getLogger(name).removeHandler(handler)
            logging.getLogger(name).setLevel(level)


def sing(client, seller, monkeypatch) -> str:
    """Every canary comes by: typed, searched for, in an address, in a fault. Gives the token of a link."""
    client.raise_request_exception = False
    client.post(reverse("login"), {"username": CANARIES["email"], "password": CANARIES["password"]})
    client.force_login(seller)
    client.post(reverse("shop:person_add"), CANARIES)
    person = make.make_person(**{key: CANARIES[key] for key in ("name", "address", "telephone", "email")})
    client.get(person.get_absolute_url())
    client.post(reverse("shop:people"), {"q": CANARIES["name"]})
    client.get(f"/{CANARIES['name']}/")
    token = "c4n4ry" * 7
    client.get(reverse("photo_send", args=[token]))

    def refuse(*args, **kwargs):
        raise IntegrityError(
            f"DETAIL: Key (email)=({CANARIES['email']}) already exists, {CANARIES}, {token}."
        )

    monkeypatch.setattr(Person, "get_absolute_url", refuse)
    client.get(reverse("shop:people"))
    log = logging.getLogger("shop.anything")
    log.warning("Refused to %s, %d times, of %s", CANARIES["name"], 3, token)
    try:
        refuse()
    except IntegrityError:
        log.exception("It broke.")
    return token


def test_no_word_about_anybody_is_written(client, seller, monkeypatch):
    with written(OneLine()) as told:
        token = sing(client, seller, monkeypatch)
    text = told.getvalue()
    assert [word for word in (*CANARIES.values(), token) if word in text] == []
    lines = [json.loads(line) for line in text.splitlines()]
    assert any(line["event"] == "Refused to …, 3 times, of …" for line in lines)
    assert any(line.get("fault") == "IntegrityError" and line["Traceback"] for line in lines)


def test_an_ordinary_log_would_have_told(client, seller, monkeypatch):
    """What the test above is worth."""
    with written(logging.Formatter()) as told:
        token = sing(client, seller, monkeypatch)
    assert {word for word in (*CANARIES.values(), token) if word in told.getvalue()} >= {
        CANARIES["name"],
        CANARIES["email"],
        CANARIES["password"],
        token,
    }


def test_each_request_is_one_line_with_who_by_number(client, seller):
    client.force_login(seller)
    with written(OneLine()) as told:
        answer = client.get(reverse("today"), headers={"X-Request-ID": "0123456789abcdef" * 2})
    (line,) = [json.loads(line) for line in told.getvalue().splitlines()]
    assert line["request"] == answer["X-Request-ID"] == "0123456789abcdef" * 2
    assert (line["page"], line["method"], line["status"], line["who"]) == ("today", "GET", 200, seller.pk)
    assert line["node"] and line["ms"] >= 0 and line["at"].endswith("+00:00")


def test_strangers_cannot_write_into_the_log_by_the_number_of_their_request(client):
    with written(OneLine()) as told:
        answer = client.get("/healthz", headers={"X-Request-ID": "canary"})
    assert "canary" not in told.getvalue() and len(answer["X-Request-ID"]) == 32
    assert json.loads(told.getvalue())["who"] is None


def test_file_of_ours_is_named(client):
    with written(OneLine()) as told:
        logging.getLogger("shop.media").error(
            "%s is missing, says %s", f"photos/{'0f' * 16}.jpg", "photos/Mary.jpg"
        )
    assert json.loads(told.getvalue())["event"] == f"photos/{'0f' * 16}.jpg is missing, says …"


@pytest.mark.parametrize(
    ("kind", "asked"),
    [
        ("DisallowedHost", {"method": "get", "headers": {"Host": "canary.invalid"}}),
        ("TooManyFieldsSent", {"method": "post", "data": {f"canary{number}": "" for number in range(2_001)}}),
    ],
)
def test_a_refused_request_is_one_line_without_a_trail(client, kind, asked):
    asked |= {"content_type": "application/x-www-form-urlencoded"} if "data" in asked else {}
    if "data" in asked:
        asked["data"] = urlencode(asked["data"])
    with written(OneLine()) as told:
        answer = getattr(client, asked.pop("method"))("/login/", **asked)
    assert answer.status_code == 400 and "canary" not in told.getvalue()
    (line,) = [each for each in map(json.loads, told.getvalue().splitlines()) if "refusal" in each]
    assert (line["refusal"], line["level"]) == (kind, "warning") and "Traceback" not in line


def test_a_true_fault_keeps_its_trail(client, seller, monkeypatch):
    client.force_login(seller)
    client.raise_request_exception = False
    monkeypatch.setattr(Person, "objects", None)
    with written(OneLine()) as told:
        assert client.get(reverse("shop:people")).status_code == 500
    (line,) = [each for each in map(json.loads, told.getvalue().splitlines()) if each["level"] == "error"]
    assert line["fault"] == "AttributeError" and line["Traceback"]
