"""Keys, hashes and chance: how strong they are, and that they can be changed while the shop is open."""

import ast
import math

import pytest
from django.conf import settings as conf
from django.contrib.auth.hashers import make_password
from django.middleware.csrf import CSRF_ALLOWED_CHARS, CSRF_SECRET_LENGTH
from django.urls import reverse
from django_otp.plugins.otp_totp.models import default_key

from shop import asking_marks
from shop.actions import histories, photo_links, second_step
from shop.security.hashers import ModestArgon2PasswordHasher
from shop.settings import PASSWORD_HASHERS
from tests.shop.test_source_rules import modules

PASSWORD = "quiet-felt-52"
LEAST_BITS = 128  # ASVS 5.0, 11.2.3 and 11.5.1
# 128 bits and more, against collisions too.
STRONG = {"sha256", "sha384", "sha512", "sha3_256", "sha3_512", "blake2b"}
# Names of files behind a right, numbers of requests, marks of a form that acts once: they let nobody in.
UUIDS = {
    "instruments/photos.py",
    "instruments/recordings.py",
    "instruments/scans.py",
    "instruments/templatetags/forms.py",
    "shop/object_store.py",
    "shop/request_log.py",
}


def sign_in(client):
    assert client.post(reverse("login"), {"username": "olive", "password": PASSWORD}).status_code == 302
    assert client.get(reverse("today")).status_code == 200


@pytest.mark.django_db
def test_a_new_key_signs_nobody_out_while_the_old_one_is_known(client, owner, settings):
    sign_in(client)
    settings.SECRET_KEY_FALLBACKS, settings.SECRET_KEY = [settings.SECRET_KEY], "n" * 60
    assert client.get(reverse("today")).status_code == 200
    settings.SECRET_KEY_FALLBACKS = []
    assert client.get(reverse("today")).status_code == 200  # all of theirs was signed anew


@pytest.mark.django_db
def test_a_key_that_was_stolen_is_worth_nothing_once_it_is_changed(client, owner, settings):
    sign_in(client)
    settings.SECRET_KEY = "n" * 60
    assert client.get(reverse("today")).status_code == 302


@pytest.mark.django_db
def test_a_password_is_hashed_anew_when_the_way_of_hashing_changed(client, owner, settings, monkeypatch):
    settings.PASSWORD_HASHERS = PASSWORD_HASHERS
    owner.password = make_password(PASSWORD, hasher="pbkdf2_sha256")
    owner.save()
    sign_in(client)
    owner.refresh_from_db()
    assert owner.password.startswith("argon2$argon2id$") and ",t=2," in owner.password
    monkeypatch.setattr(ModestArgon2PasswordHasher, "time_cost", 3)
    client.logout()
    sign_in(client)
    owner.refresh_from_db()
    assert ",t=3," in owner.password


def test_nothing_that_lets_somebody_in_can_be_guessed():
    bits = {
        "history": 8 * histories.TOKEN_BYTES,
        "photograph link": 8 * photo_links.SEED_BYTES,
        "form of strangers": 8 * asking_marks.NONCE_BYTES,
        "recovery code": second_step.CODE_LENGTH * math.log2(len(set(second_step.ALPHABET))),
        "key of the telephone": 4 * len(default_key()),
        "forged requests": CSRF_SECRET_LENGTH * math.log2(len(set(CSRF_ALLOWED_CHARS))),
        "secret key": 6 * len(conf.SECRET_KEY),
    }
    assert {what: count for what, count in bits.items() if count < LEAST_BITS} == {}


def hashes_in(source: str) -> set[str]:
    """The hashes that a module calls for by name."""
    found = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Attribute) and ast.unparse(node.value) == "hashlib":
            found.add(node.attr)
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("salted_hmac"):
            found |= {ast.literal_eval(each.value) for each in node.keywords if each.arg == "algorithm"} or {
                "sha1"
            }
    return found - {"new", "file_digest"}


def test_every_hash_has_128_bits_of_strength():
    used = {name: hashes_in(text) for name, text in modules().items()}
    assert {name: weak for name, found in used.items() if (weak := found - STRONG)} == {}
    assert hashes_in("hashlib.md5(x)") == {"md5"} and hashes_in("salted_hmac('a', x)") == {"sha1"}


def test_names_by_chance_that_are_too_short_let_nobody_in():
    assert {name for name, text in modules().items() if "uuid4" in text} == UUIDS
