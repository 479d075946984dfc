"""What `GUARDS.md` says is so, and what no other test holds of it."""

import ast
import math
import string

import pytest
from django.conf import settings
from django.contrib.auth.models import User
from django.contrib.sessions.backends import base
from django.contrib.sessions.models import Session
from django.urls import reverse

from instruments import photos, pictures, recordings, sound_files, tables
from shop import middleware
from shop.actions.second_step import ALPHABET, CODE_LENGTH
from shop.actions.sign_in import LIMITS
from shop.log_states import TryKind
from shop.security.hashers import ModestArgon2PasswordHasher
from shop.security.passwords import LEAST
from shop.security.stolen import count

SAID = (settings.BASE_DIR / "shop" / "operations" / "GUARDS.md").read_text()
MEGABYTE = 1024 * 1024
APPS = ("instruments", "workorders", "shop")
PASSWORD = "  Felt and Brass: 70 signs, of any kind, ÄÖ ж 🎹, kept as they are typed in   "
REFUSED_CALLS = {"eval", "exec", "compile", "__import__", "system", "popen", "md5", "sha1"}
REFUSED_MODULES = {"pickle", "marshal", "shelve", "yaml", "dill", "random"}


def test_figures_are_the_programs():
    limits = LIMITS[TryKind.PASSWORD]
    hasher = ModestArgon2PasswordHasher
    for words in (
        f"{limits.others} for an account from devices",
        f"{limits.known} more from those that did",
        f"{limits.address} from one address",
        f"{LEAST} characters or more",
        f"after {settings.SESSION_IDLE_SECONDS // 3600} hours without a page",
        f"after {settings.SESSION_COOKIE_AGE // 86_400} days",
        f"{photos.LARGEST_BYTES // MEGABYTE} MB, {pictures.LARGEST_PIXELS // 1_000_000} megapixels",
        f"{pictures.LONGEST_SIDE:,} a side",
        f"| {recordings.LARGEST_BYTES // MEGABYTE} MB, {sound_files.LONGEST_S // 60} minutes,"
        f" {sound_files.MOST_CHANNELS_READ} channels |",
        f"{tables.LARGEST_BYTES // MEGABYTE} MB, unpacked {tables.LARGEST_UNPACKED_BYTES // MEGABYTE} MB",
        f"{tables.MOST_PARTS} parts, {tables.MOST_ROWS:,} rows, {tables.MOST_COLUMNS} columns",
        f"above {middleware.STRANGERS_LIMIT_BYTES // MEGABYTE} MB from strangers",
        f"{middleware.FORM_LIMIT_BYTES // MEGABYTE} MB from those signed in",
        f"{middleware.UPLOAD_LIMIT_BYTES // MEGABYTE} MB where files",
        f"{hasher.memory_cost // 1024} MiB, two passes",
        f"{int(CODE_LENGTH * math.log2(len(ALPHABET)))} random bits",
        f"{count():,} such that were stolen",
    ):
        assert words in SAID, words
    assert hasher.time_cost == 2


@pytest.mark.django_db
def test_a_password_is_taken_as_it_is_typed_and_may_be_pasted(client):
    assert len(PASSWORD) > 64
    User.objects.create_user("olive", password=PASSWORD)
    for wrong in (PASSWORD.strip(), PASSWORD.casefold(), PASSWORD[:64], PASSWORD[:-1]):
        assert client.post(reverse("login"), {"username": "olive", "password": wrong}).status_code == 200
    page = client.get(reverse("login")).content.decode()
    assert 'autocomplete="current-password"' in page and "onpaste" not in page
    assert client.post(reverse("login"), {"username": "olive", "password": PASSWORD}).status_code == 302


@pytest.mark.django_db
def test_a_session_cannot_be_guessed(client, owner):
    client.force_login(owner)
    key = Session.objects.get().session_key
    assert set(base.VALID_KEY_CHARS) == set(string.ascii_lowercase + string.digits) >= set(key)
    assert len(key) * math.log2(len(base.VALID_KEY_CHARS)) >= 128


@pytest.mark.django_db
@pytest.mark.parametrize(
    "before", ["/", "/static/", "/static/../", "/static/%2e%2e/", "/static/..%2f", "/media/"]
)
def test_nothing_of_the_checkout_is_served(client, before):
    for name in ("", ".git/config", ".git/HEAD", "manage.py", "shop/settings.py", ".env.example", "fixtures"):
        if before + name != "/":
            answer = client.get(before + name)
            assert answer.status_code in {301, 302, 404}, before + name
            assert answer.status_code == 404 or answer["Location"].startswith("/login/"), before + name


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["login", "window", "today", "stock"])
def test_no_request_is_sent_back_as_it_came(client, owner, name):
    for signed_in in (False, True):
        if signed_in:
            client.force_login(owner)
        answer = client.generic("TRACE", reverse(name), headers={"X-Canary": "sings"})
        assert answer.status_code in {302, 405} and b"sings" not in answer.content


def refused_words(source: str) -> list[str]:
    """Calls and modules that run what they are given, and hashes that are broken where that matters."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import | ast.ImportFrom):
            names = (
                [each.name for each in node.names] if isinstance(node, ast.Import) else [node.module or ""]
            )
            found += [name for name in names if name.partition(".")[0] in REFUSED_MODULES]
        elif isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            of = ast.unparse(node.func).partition(".")[0]
            named = {each.arg for each in node.keywords}
            if name in REFUSED_CALLS and of != "re" and "usedforsecurity" not in named:
                found.append(name)
            if "shell" in named:
                found.append("shell")
    return found


def test_nothing_typed_runs_and_no_broken_hash_is_used():
    wrong = {}
    for app in APPS:
        for path in (settings.BASE_DIR / app).rglob("*.py"):
            if "migrations" not in path.parts and (found := refused_words(path.read_text())):
                wrong[str(path.relative_to(settings.BASE_DIR))] = found
    assert wrong == {}


@pytest.mark.parametrize(
    "source",
    ["eval(x)", "import pickle", "hashlib.md5(x)", "run(x, shell=True)"],
)
def test_what_is_refused_is_seen(source):
    assert refused_words(source)
