"""No password that is known from elsewhere; see `shop/security/stolen.py`."""

import gzip
from pathlib import Path

import pytest
from django.contrib.auth import password_validation
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from shop.security.passwords import LEAST, NotStolen
from shop.security.stolen import BYTES, KEPT, count, is_stolen, mark
from tests.trust.stolen_passwords import long_enough

ASKED_FOR = 3_000  # ASVS 5.0, 6.2.4, of those that fit our own policy


def test_as_many_are_known_as_the_standard_asks_for():
    marks = KEPT.read_bytes()
    each = [marks[start : start + BYTES] for start in range(0, len(marks), BYTES)]
    assert len(each) == count() >= ASKED_FOR
    assert each == sorted(set(each)) and all(len(one) == BYTES for one in each)


def test_djangos_own_list_has_too_few_that_are_long_enough():
    """Why there is a list of ours beside it."""
    path = Path(password_validation.__file__).parent / "common-passwords.txt.gz"
    with gzip.open(path, "rt") as lines:
        assert len(long_enough(list(lines))) < ASKED_FOR


@pytest.mark.parametrize(
    "password", ["123qweasdzxc", "1Q2w3e4r5t6y", " qwertyqwerty ", "qwertyqwerty1!", "zxcasdqwe123"]
)
def test_a_stolen_one_is_refused_in_words(password):
    with pytest.raises(ValidationError, match="stolen elsewhere"):
        validate_password(password)


@pytest.mark.parametrize(
    "password", ["felt brass spruce 1931", "nine hammers in the rain", "Ä ж 🎹 kept as typed"]
)
def test_a_phrase_of_ones_own_is_taken(password):
    validate_password(password)


def test_every_mark_can_be_found():
    marks = KEPT.read_bytes()
    from shop.security.stolen import _has

    for at in (0, count() // 2, count() - 1):
        assert _has(marks[at * BYTES : (at + 1) * BYTES])
    assert not _has(b"\0" * BYTES) and not _has(b"\xff" * BYTES)


def test_only_long_ones_are_kept():
    assert long_enough(["short\n", "x" * (LEAST - 1), "y" * LEAST + "\n"]) == ["y" * LEAST]
    assert mark("Y" * LEAST) == mark("y" * LEAST)


def test_without_the_list_the_same_password_would_pass(settings):
    """The control: it is this rule and no other that refuses it."""
    settings.AUTH_PASSWORD_VALIDATORS = [
        each for each in settings.AUTH_PASSWORD_VALIDATORS if not each["NAME"].endswith(NotStolen.__name__)
    ]
    password_validation.get_default_password_validators.cache_clear()
    try:
        validate_password("ggathering92")
    finally:
        password_validation.get_default_password_validators.cache_clear()
    assert is_stolen("ggathering92")
