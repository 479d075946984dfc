import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest
from django.contrib import messages
from django.contrib.auth import hashers
from django.contrib.sessions.models import Session
from django.db import connection
from django.http import HttpResponse
from django.test import Client, RequestFactory
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from shop.actions.sign_in import LIMITS
from shop.log_states import TryKind
from shop.models import LogLine, SignInTry
from shop.security.cookies import Messages
from shop.security.sessions import COOKIE
from tests import make

PASSWORD = "quiet-felt-52"
LIMIT = LIMITS[TryKind.PASSWORD]


def sign_in(client, username="olive", password=PASSWORD, **headers):
    return client.post(reverse("login"), {"username": username, "password": password}, **headers)


def is_in(client) -> bool:
    return client.get(reverse("shop:own_access")).status_code == 200


def told(kind: str) -> list[str]:
    return list(LogLine.objects.filter(kind=kind).order_by("id").values_list("what", flat=True))


def test_who_signs_in_goes_where_they_were_going_and_stands_in_the_log(client, owner):
    answer = client.get(reverse("shop:people"))
    answer = client.post(answer.url, {"username": "olive", "password": PASSWORD, "next": "/people/"})
    assert answer.url == "/people/" and is_in(client)
    assert LogLine.objects.get(kind="in").who == owner


def test_the_session_gets_another_key_by_signing_in(client, owner):
    client.get(reverse("login"))
    client.session.save()
    before = client.session.session_key
    client.cookies["sessionid"] = before
    sign_in(client)
    assert client.session.session_key != before


def test_a_wrong_password_is_told_in_words_and_kept_nowhere(client, owner):
    answer = sign_in(client, password="wrong-canary")
    assert b"do not go together" in answer.content and b"wrong-canary" not in answer.content
    assert b'value="olive"' in answer.content
    assert told("failed") == ["Wrong password"] and not is_in(client)


def test_a_name_that_nobody_has_is_not_written_down(client, owner):
    sign_in(client, username="my-secret-typed-here", password="x")
    assert told("failed") == ["A name that nobody has"]
    stored = f"{list(LogLine.objects.values())} {list(SignInTry.objects.values())}"
    assert "my-secret-typed-here" not in stored


def test_after_so_many_wrong_ones_not_even_the_right_one_is_looked_at(client, owner):
    for number in range(LIMIT.others):
        assert sign_in(client, password="wrong", REMOTE_ADDR=f"192.0.2.{number}").status_code == 200
    assert sign_in(client, REMOTE_ADDR="192.0.2.99").status_code == 429
    assert not is_in(client) and told("paused")


def test_after_a_quarter_of_an_hour_it_is_looked_at_again(client, owner):
    for _ in range(LIMIT.others + 2):
        sign_in(client, password="wrong")
    SignInTry.objects.update(at=timezone.now() - timedelta(minutes=16))
    assert sign_in(client).status_code == 302


def test_a_device_of_their_own_gets_in_while_strangers_try(client, owner):
    sign_in(client)
    client.post(reverse("logout"))
    stranger = Client()
    for _ in range(LIMIT.others + 1):
        answer = sign_in(stranger, password="wrong", REMOTE_ADDR="192.0.2.1")
    assert answer.status_code == 429
    assert sign_in(client).status_code == 302


def test_a_device_that_is_known_has_its_limit_too_and_all_together_are_ten(client, owner):
    sign_in(client)
    for _ in range(LIMIT.known):
        assert sign_in(client, password="wrong").status_code == 200
    assert sign_in(client).status_code == 429
    assert LIMIT.known + LIMIT.others == 10


def test_one_address_cannot_go_through_all_names(client, owner):
    answers = [
        sign_in(client, username=f"name{number}", REMOTE_ADDR="192.0.2.7").status_code
        for number in range(LIMIT.address + 1)
    ]
    assert answers == [200] * LIMIT.address + [429]
    assert sign_in(client, REMOTE_ADDR="192.0.2.8").status_code == 302


def test_a_forged_mark_of_a_device_is_worth_nothing(client, owner):
    client.cookies["known"] = '["olive"]:forged:signature'
    for _ in range(LIMIT.others):
        sign_in(client, password="wrong")
    assert sign_in(client).status_code == 429


@pytest.mark.parametrize(
    "way",
    ["//evil.example/", "/\\evil.example", "https:evil.example", "javascript:alert(1)", "\x08//evil.example"],
)
def test_nobody_is_sent_elsewhere_after_signing_in(client, owner, way):
    answer = client.post(reverse("login"), {"username": "olive", "password": PASSWORD, "next": way})
    assert answer.url == reverse("today")


def test_who_may_not_sign_in_is_out_at_once(client, owner, technician):
    sign_in(client, "tobias")
    assert is_in(client)
    chief = Client()
    chief.force_login(owner)
    chief.post(reverse("shop:staff_let_in", args=[technician.pk]))
    assert not is_in(client)
    assert b"do not go together" in sign_in(client, "tobias").content
    chief.post(reverse("shop:staff_let_in", args=[technician.pk]))
    assert sign_in(client, "tobias").status_code == 302


def test_the_owner_cannot_lock_themselves_out(client, owner):
    client.force_login(owner)
    client.post(reverse("shop:staff_let_in", args=[owner.pk]))
    owner.refresh_from_db()
    assert owner.is_active


def test_a_session_ends_when_nobody_opens_a_page(client, owner, time_machine):
    start = timezone.now().replace(hour=8, minute=0)
    time_machine.move_to(start, tick=False)
    sign_in(client)
    for hours in (11, 22, 33):
        time_machine.move_to(start + timedelta(hours=hours), tick=False)
        assert is_in(client)
    time_machine.move_to(start + timedelta(hours=45, minutes=2), tick=False)
    assert not is_in(client) and Session.objects.count() == 0


def test_a_session_ends_after_seven_days_however_busy(client, owner, time_machine):
    start = timezone.now().replace(hour=8, minute=0)
    time_machine.move_to(start, tick=False)
    sign_in(client)
    for hours in range(6, 7 * 24, 6):
        time_machine.move_to(start + timedelta(hours=hours), tick=False)
        assert is_in(client)
    time_machine.move_to(start + timedelta(days=7, minutes=1), tick=False)
    assert not is_in(client)


def test_a_session_without_the_mark_of_its_last_page_is_nothing(client, owner):
    sign_in(client)
    thief = Client()
    thief.cookies["sessionid"] = client.cookies["sessionid"].value
    assert not is_in(thief)


def test_the_mark_of_another_session_does_not_help(client, owner, technician):
    sign_in(client)
    other = Client()
    sign_in(other, "tobias")
    thief = Client()
    thief.cookies["sessionid"] = client.cookies["sessionid"].value
    thief.cookies[COOKIE] = other.cookies[COOKIE].value
    assert not is_in(thief)


def test_reading_a_page_writes_nothing(client, owner, time_machine):
    time_machine.move_to("2026-03-02 08:00Z", tick=False)
    sign_in(client)
    time_machine.move_to("2026-03-02 09:00Z", tick=False)
    with CaptureQueriesContext(connection) as asked:
        assert is_in(client)
    assert not [each["sql"] for each in asked if not each["sql"].lstrip("(").startswith("SELECT")]


def test_cookies_are_kept_from_scripts_and_other_sites(client, owner):
    sign_in(client)
    for name in ("sessionid", COOKIE, "known"):
        assert client.cookies[name]["httponly"] and client.cookies[name]["samesite"] == "Lax"
    assert client.cookies["known"]["path"] == "/login/"


def test_nobody_stays_in_after_signing_out(client, owner):
    sign_in(client)
    old = client.cookies["sessionid"].value
    client.post(reverse("logout"))
    client.cookies["sessionid"] = old
    assert not is_in(client)
    assert LogLine.objects.get(kind="out").who == owner


def test_signing_out_needs_no_session(client, db):
    assert client.post(reverse("logout")).status_code == 200
    assert not LogLine.objects.exists()


def test_hidden_names_take_no_longer_than_known_ones_would_tell(client, owner):
    """Both are hashed once: counted here, measured by the board (bar 26)."""
    hashed = []
    with pytest.MonkeyPatch.context() as patch:
        kind = type(hashers.get_hasher())
        encode = kind.encode
        patch.setattr(kind, "encode", lambda self, *a, **k: hashed.append(1) or encode(self, *a, **k))
        sign_in(client, password="wrong")
        existing = len(hashed)
        sign_in(client, username="nobody", password="wrong")
    assert (existing, len(hashed) - existing) == (1, 1)


def test_somebody_made_by_the_command_signs_in(client, db):
    make.make_user("ines")
    assert sign_in(client, "ines").status_code == 302


def test_behind_https_cookies_are_called_so_that_no_other_host_can_set_them(client, owner, settings):
    settings.SESSION_COOKIE_SECURE = settings.CSRF_COOKIE_SECURE = True
    settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME = "__Host-sessionid", "__Host-csrftoken"
    client.get(reverse("login"), secure=True)
    typed = {"username": owner.username, "password": PASSWORD}
    assert client.post(reverse("login"), typed, secure=True).status_code == 302
    request = RequestFactory().get("/", secure=True)
    request.session = {}
    kept = Messages(request)
    kept.add(messages.INFO, "Saved.")
    answer = HttpResponse()
    kept.update(answer)
    client.cookies |= answer.cookies
    assert set(client.cookies) == {
        *("__Host-sessionid", "__Host-csrftoken", "__Host-seen", "__Host-messages"),
        "__Secure-known",
    }
    for name, cookie in client.cookies.items():
        assert cookie["secure"] and not cookie["domain"]
        assert cookie["path"] == ("/login/" if name == "__Secure-known" else "/")
    assert client.get(reverse("today"), secure=True).status_code == 200


def test_settings_of_a_shop_behind_https_name_them_so(tmp_path):
    asked = "from shop import settings; print(settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME)"
    told = subprocess.run(
        [sys.executable, "-c", asked],
        env=os.environ | {"WRESTPLANK_HTTPS": "yes", "WRESTPLANK_DATA": str(tmp_path)},
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout.split() == ["__Host-sessionid", "__Host-csrftoken"]
