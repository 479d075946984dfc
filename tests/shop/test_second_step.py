import re
from base64 import b32decode
from datetime import UTC, datetime, timedelta

import pytest
import zxingcpp
from django.test import Client
from django.urls import reverse
from django_otp.oath import TOTP
from django_otp.plugins.otp_totp.models import TOTPDevice
from PIL import Image, ImageDraw

from shop.actions.second_step import lay_down, set_up, take_code
from shop.actions.sign_in import LIMITS
from shop.log_states import TryKind
from shop.models import LogLine, RecoveryCode
from shop.second_step import Square, address_for_apps, is_wanted_of, new_device

PASSWORD = "quiet-felt-52"
# RFC 6238, appendix B, for SHA-1: the key "12345678901234567890", eight figures, steps of 30 seconds.
VECTORS = [
    (59, 94287082),
    (1111111109, 7081804),
    (1111111111, 14050471),
    (1234567890, 89005924),
    (2000000000, 69279037),
    (20000000000, 65353130),
]
KEY = b"12345678901234567890".hex()


@pytest.mark.parametrize(("seconds", "code"), VECTORS)
def test_codes_are_those_of_the_standard(seconds, code):
    totp = TOTP(bytes.fromhex(KEY), digits=8)
    totp.time = seconds
    assert totp.token() == code


def code_of(key: str, at: datetime) -> str:
    totp = TOTP(bytes.fromhex(key))
    totp.time = at.timestamp()
    return f"{totp.token():06}"


NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def clock(time_machine):
    time_machine.move_to(NOW, tick=False)
    return time_machine


@pytest.fixture
def codes(owner, clock):
    return set_up(user=owner, key=KEY, code=code_of(KEY, NOW))


@pytest.fixture
def later(clock, codes):
    """Half a minute on: the code of setting up is used."""
    clock.move_to(NOW + timedelta(seconds=40), tick=False)
    return NOW + timedelta(seconds=40)


@pytest.mark.parametrize(("seconds_on", "is_good"), [(30, True), (59, True), (29, False), (61, False)])
def test_a_code_is_good_only_while_it_is_shown(owner, clock, codes, seconds_on, is_good):
    """The code of the half minute after setting up, given a little before, within and a little after it."""
    code = code_of(KEY, NOW + timedelta(seconds=30))
    clock.move_to(NOW + timedelta(seconds=seconds_on), tick=False)
    assert take_code(user=owner, code=code) is is_good


def half_way(client):
    answer = client.post(reverse("login"), {"username": "olive", "password": PASSWORD, "next": "/people/"})
    assert answer.url == reverse("login_code")
    return client


def give(client, code: str):
    return client.post(reverse("login_code"), {"code": code})


def is_in(client) -> bool:
    return client.get(reverse("shop:own_access")).status_code == 200


def test_page_gives_a_key_as_square_and_letters_and_keeps_it_by_a_right_code(client, owner, clock):
    client.force_login(owner)
    page = client.get(reverse("shop:second_step")).content.decode()
    signed = re.search(r'name="key" value="([^"]+)"', page)[1]
    letters = re.search(r'class="serial break">([A-Z2-7 ]+)<', page)[1].replace(" ", "")
    key = b32decode(letters).hex()
    assert not TOTPDevice.objects.exists()
    answer = client.post(
        reverse("shop:second_step"), {"key": signed, "code": code_of(key, NOW), "present": PASSWORD}
    )
    shown = re.findall(r'<li class="serial">([a-z2-9-]+)</li>', answer.content.decode())
    assert len(set(shown)) == 10 and RecoveryCode.objects.count() == 10
    assert TOTPDevice.objects.get().user == owner
    assert not any(code in str(list(RecoveryCode.objects.values())) for code in shown)


def test_a_wrong_code_keeps_nothing_and_the_same_key(client, owner, clock):
    client.force_login(owner)
    page = client.get(reverse("shop:second_step")).content.decode()
    signed = re.search(r'name="key" value="([^"]+)"', page)[1]
    letters = re.search(r'class="serial break">([A-Z2-7 ]+)<', page)[1]
    again = client.post(
        reverse("shop:second_step"), {"key": signed, "code": "000000", "present": PASSWORD}
    ).content.decode()
    assert "not right now" in again and letters in again
    assert not TOTPDevice.objects.exists() and not RecoveryCode.objects.exists()


def test_it_takes_the_password_to_set_it_up(client, owner, clock):
    client.force_login(owner)
    page = client.get(reverse("shop:second_step")).content.decode()
    signed = re.search(r'name="key" value="([^"]+)"', page)[1]
    key = b32decode(re.search(r'class="serial break">([A-Z2-7 ]+)<', page)[1].replace(" ", "")).hex()
    client.post(reverse("shop:second_step"), {"key": signed, "code": code_of(key, NOW), "present": "no"})
    assert not TOTPDevice.objects.exists()


def test_a_key_signed_for_somebody_else_is_not_taken(client, owner, technician, clock):
    other = Client()
    other.force_login(technician)
    page = other.get(reverse("shop:second_step")).content.decode()
    signed = re.search(r'name="key" value="([^"]+)"', page)[1]
    key = b32decode(re.search(r'class="serial break">([A-Z2-7 ]+)<', page)[1].replace(" ", "")).hex()
    client.force_login(owner)
    client.post(reverse("shop:second_step"), {"key": signed, "code": code_of(key, NOW), "present": PASSWORD})
    assert not TOTPDevice.objects.exists()


def test_a_telephone_reads_the_square(owner):
    address = address_for_apps(new_device(owner, KEY))
    square = Square(address)
    picture = Image.new("L", (square.size * 6, square.size * 6), 255)
    draw = ImageDraw.Draw(picture)
    for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", square.path):
        left, top = int(x) * 6, int(y) * 6
        draw.rectangle((left, top, left + 5, top + 5), fill=0)
    (read,) = zxingcpp.read_barcodes(picture)
    assert read.text == address and "secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ&" in address


def test_the_password_alone_opens_nothing(client, codes, later):
    half_way(client)
    assert not is_in(client)


def test_the_code_lets_in_and_leads_on(client, codes, later):
    answer = give(half_way(client), code_of(KEY, later))
    assert answer.url == "/people/" and is_in(client)


def test_a_code_is_good_once(client, codes, later):
    give(half_way(client), code_of(KEY, later))
    again = Client()
    assert b"not right now" in give(half_way(again), code_of(KEY, later)).content
    assert not is_in(again)


def test_a_recovery_code_is_good_once_however_it_is_typed(client, codes, later):
    give(half_way(client), f" {codes[0].upper().replace('-', ' ')} ")
    assert is_in(client)
    again = Client()
    assert b"not right now" in give(half_way(again), codes[0]).content
    assert "A recovery code was used, 9 are left" in LogLine.objects.values_list("what", flat=True)


def test_another_persons_recovery_code_is_worth_nothing(client, codes, later, technician, clock):
    theirs = set_up(user=technician, key=KEY, code=code_of(KEY, later))
    assert not is_in(client) and b"not right now" in give(half_way(client), theirs[0]).content


def test_wrong_codes_are_few(client, codes, later):
    half_way(client)
    for _ in range(LIMITS[TryKind.CODE].others):
        assert give(client, "123456").status_code == 200
    assert give(client, codes[0]).status_code == 429


def test_half_way_in_lasts_ten_minutes(client, codes, later, clock):
    half_way(client)
    clock.move_to(later + timedelta(minutes=11), tick=False)
    assert give(client, codes[0]).url == reverse("login")


def test_the_page_of_the_code_is_for_those_half_way_in_only(client, db):
    assert client.get(reverse("login_code")).url == reverse("login")


def test_whom_it_is_asked_of_sets_it_up_before_anything_else(client, owner, technician, roles, clock):
    lay_down(roles=[roles["Technician"]], by=owner)
    assert is_wanted_of(technician) and not is_wanted_of(owner)
    client.post(reverse("login"), {"username": "tobias", "password": PASSWORD})
    for name in ("today", "stock", "shop:own_access", "shop:password_change"):
        assert client.get(reverse(name)).url == reverse("shop:second_step")
    page = client.get(reverse("shop:second_step")).content.decode()
    signed = re.search(r'name="key" value="([^"]+)"', page)[1]
    key = b32decode(re.search(r'class="serial break">([A-Z2-7 ]+)<', page)[1].replace(" ", "")).hex()
    client.post(reverse("shop:second_step"), {"key": signed, "code": code_of(key, NOW), "present": PASSWORD})
    assert client.get(reverse("today")).status_code == 200


def test_laying_it_down_ends_what_they_had_open_but_not_ones_own(client, owner, technician, roles):
    client.post(reverse("login"), {"username": "tobias", "password": PASSWORD})
    chief = Client()
    chief.force_login(owner)
    both = [roles["Technician"].pk, roles["Owner"].pk]
    page = chief.post(reverse("shop:staff"), {"roles": both}, follow=True).content.decode()
    assert "Tobias Lind" in page and "next sign in" in page
    assert not is_in(client) and is_in(chief)
    assert LogLine.objects.get(kind="rights").what == "Second step asked of: Owner, Technician"


def test_the_owner_takes_it_off_for_a_lost_telephone(client, owner, codes, later, roles):
    other_owner = owner.__class__.objects.create_user("orla", password=PASSWORD)
    other_owner.groups.add(roles["Owner"])
    client.force_login(other_owner)
    client.post(reverse("shop:staff_step_off", args=[owner.pk]))
    assert not TOTPDevice.objects.exists() and not RecoveryCode.objects.exists()
    assert LogLine.objects.filter(who=owner, what="Second step taken off, by orla").exists()


def test_taking_it_off_oneself_takes_the_password(client, owner, codes):
    client.force_login(owner)
    page = client.post(reverse("shop:second_step_off"), {"present": "another"}).content
    assert b"is another one" in page and TOTPDevice.objects.exists()
    client.post(reverse("shop:second_step_off"), {"present": PASSWORD})
    assert not TOTPDevice.objects.exists()


def test_new_recovery_codes_replace_the_old(client, owner, codes, later):
    client.force_login(owner)
    client.post(reverse("shop:recovery_codes"), {"present": PASSWORD})
    assert RecoveryCode.objects.count() == 10
    assert not take_code(user=owner, code=codes[0])
