"""Who may open what: every address, every method, every role; and what is foreign beside what is absent.

The addresses come from the project's own configuration, what is right from `tests/access_table.py`. An
address without a line there is found by `without_rule`.
"""

import re
import secrets
from collections import Counter
from dataclasses import dataclass, field

from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from shop.actions.listing import draft_listing
from shop.actions.roles import load_roles
from tests import make
from tests.access_table import ACCESS, PUBLIC
from tests.access_world import ROLES, arguments_for, make_people, make_world
from tests.make_enquiry import make_enquiry
from tests.make_recording import make_recording
from tests.test_access import addresses, may

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE")
STRANGER = "a stranger"
SIGNS_OUT = {"login", "logout"}
# Words of rows that a role's work does not need; they may stand in no answer to it.
CANARIES = {
    STRANGER: (b"Canary Customer", b"Canary Seller", b"1,234.56"),
    "Technician": (b"Canary Customer", b"Canary Seller", b"1,234.56"),
    "Sales": (b"1,234.56",),
}
ABSENT = {
    int: 987_654_321,
    "stock_number": "26-987",
    "number": "X26-987",
    "slug": "nothing-of-that-name",
    "code": "nothing-of-that-name",
    "label": "1999-01",
}
CHANGES_EACH_TIME = re.compile(rb'(csrfmiddlewaretoken" value|form_token" value|X-CSRFToken": )[=" ]+[\w-]+')


@dataclass
class Seen:
    probes: int = 0
    canaries: int = 0  # answers looked through
    faults: list[str] = field(default_factory=list)
    by_kind: Counter = field(default_factory=Counter)


@dataclass
class Ground:
    world: object
    people: dict[str, User]
    urls: dict[str, str] = field(default_factory=dict)  # written down before anything is changed by asking

    def __post_init__(self):
        for name in ACCESS:
            self.urls[name] = reverse(name, kwargs=arguments_for(addresses()[name], name, self.world))

    def client(self, role: str) -> Client:
        client = Client(raise_request_exception=False)
        if role != STRANGER:
            client.force_login(self.people[role])
        return client


def make_ground() -> Ground:
    load_roles()
    people = make_people()
    return Ground(make_world(people["Owner"]), people)


def without_rule() -> list[str]:
    """Addresses that nobody has said who may open, and rules for addresses that are gone."""
    return sorted(set(addresses()) ^ set(ACCESS))


def every_address(ground: Ground, seen: Seen, *, roles=(STRANGER, *ROLES), methods=METHODS) -> None:
    for role in roles:
        client = ground.client(role)
        for name, (_, right) in ACCESS.items():
            if name in SIGNS_OUT:
                continue
            url = ground.urls[name]
            for method in methods:
                answer = client.generic(method, url)
                seen.probes += 1
                seen.by_kind["role, address and method"] += 1
                if fault := _wrong(role, right, answer):
                    seen.faults.append(f"{role}, {method} {name}: {fault}")
                _look_for_canaries(seen, role, name, answer)


def _wrong(role: str, right: str, answer) -> str:
    status = answer.status_code
    to_the_login = status == 302 and answer["Location"].startswith("/login/?next=")
    if status >= 500:
        return f"answered {status}"
    if role == STRANGER:
        is_right = to_the_login == (right != PUBLIC) and status != 403
    elif may(role, right):
        is_right = status != 403 and not to_the_login
    else:
        is_right = status in {403, 405}
    return "" if is_right else f"answered {status} where “{right}” is needed"


def _look_for_canaries(seen: Seen, role: str, name: str, answer) -> None:
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    seen.canaries += 1
    for word in CANARIES.get(role, ()):
        if word in body:
            seen.faults.append(f"{role}, {name}: “{word.decode()}” stands in the answer")


def absent_alike(ground: Ground, seen: Seen) -> None:
    """Where a role may not go, it learns nothing by trying: what is there answers like what is not."""
    for role in (STRANGER, *ROLES):
        client = ground.client(role)
        for name, (method, right) in ACCESS.items():
            entry = addresses()[name]
            if not entry.pattern.converters or right == PUBLIC or (role != STRANGER and may(role, right)):
                continue
            there = arguments_for(entry, name, ground.world)
            gone = {word: _absent(word, value) for word, value in there.items()}
            answers = [_bare(client, method, reverse(name, kwargs=given)) for given in (there, gone)]
            seen.probes += 2
            seen.by_kind["there beside not there, without the right"] += 2
            if answers[0] != answers[1]:
                seen.faults.append(f"{role}, {name}: what is there answers otherwise than what is not")


def _absent(word: str, value):
    return ABSENT[int] if isinstance(value, int) else ABSENT.get(word, value)


def _bare(client: Client, method: str, url: str) -> tuple[int, bytes]:
    """An answer without its own address and without what changes each time."""
    answer = client.generic(method, url)
    body = b"".join(answer.streaming_content) if answer.streaming else answer.content
    where = answer.get("Location", "").encode()
    return answer.status_code, CHANGES_EACH_TIME.sub(b"", body + where).replace(url.encode(), b"")


def foreign_alike(ground: Ground, seen: Seen) -> None:
    """Where a role may go, what is another's or not public answers like what is not there."""
    for role, name, foreign, absent in _foreign(ground):
        client = ground.client(role)
        answers = [_bare(client, "GET", reverse(name, kwargs=given)) for given in (foreign, absent)]
        seen.probes += 2
        seen.by_kind["another's beside not there"] += 2
        if answers[0] != answers[1] or answers[0][0] not in {403, 404}:
            seen.faults.append(f"{role}, {name}: {answers[0][0]} for another's, {answers[1][0]} for nothing")


def _foreign(ground: Ground):
    world, by = ground.world, ground.people["Owner"]
    hidden = world.hold.instrument
    draft = draft_listing(instrument=hidden, by=by)
    photo, gone = make.make_photo(instrument=hidden), ABSENT[int]
    letter = make.make_document(instrument=hidden, by=by, seen_by="owner")
    private_sound = make_recording(instrument=hidden, by=by, is_public=True)
    mine, slug = {"stock_number": world.instrument.stock_number}, world.listing.slug
    enquiry = make_enquiry(name="Canary Customer", instrument=world.instrument)
    yield STRANGER, "listing_public", {"slug": draft.slug}, {"slug": ABSENT["slug"]}
    yield STRANGER, "ask_about", {"slug": draft.slug}, {"slug": ABSENT["slug"]}
    for size in ("thumb", "page", "medium", "print", "original"):
        pair = [{"slug": slug, "pk": pk, "size": size} for pk in (photo.pk, gone)]
        yield STRANGER, "listing_photo", *pair
        pair = [{"token": world.history.token, "pk": pk, "size": size} for pk in (photo.pk, gone)]
        yield STRANGER, "history_photo", *pair
        for role in ROLES:
            yield (
                role,
                "instruments:photo_file",
                *[mine | {"pk": pk, "size": size} for pk in (photo.pk, gone)],
            )
    yield STRANGER, "listing_sound", *[{"slug": slug, "pk": pk} for pk in (private_sound.pk, gone)]
    for role in ("Technician", "Sales"):
        where = {"stock_number": hidden.stock_number}
        yield role, "instruments:document_file", *[where | {"pk": pk} for pk in (letter.pk, gone)]
    for name in ("shop:enquiry_page", "shop:enquiry_answer", "shop:enquiry_pass"):
        yield "Technician", name, {"number": enquiry.number}, {"number": ABSENT["number"]}


def guessed_tokens(ground: Ground, seen: Seen, *, each: int = 200) -> None:
    """Links for strangers: no guess opens anything, and every guess is answered alike."""
    client, world = ground.client(STRANGER), ground.world
    real = {
        "photo_send": world.link.token,
        "history_public": world.history.token,
        "tell_no_more": world.no_more,
        "password_new": world.way,
    }
    for name, token in real.items():
        answers = set()
        for turn in range(each):
            guess = (
                token[: turn % len(token)]
                + secrets.token_urlsafe(len(token))[: len(token) - turn % len(token)]
            )
            status, body = _guessed(client, name, guess)
            answers.add((status, body))
            seen.probes += 1
            seen.by_kind["guessed links"] += 1
        if len(answers) != 1 or answers.pop()[0] != (200 if name == "password_new" else 404):
            seen.faults.append(f"{name}: guesses are answered in different ways")


def _guessed(client: Client, name: str, guess: str) -> tuple[int, bytes]:
    """The link to a new password is proven in the body of a form, the others by their address."""
    if name != "password_new":
        return _bare(client, "GET", reverse(name, kwargs={"token": guess}))
    sent = {"way": guess, "new": "copper-heron-lamp", "again": "copper-heron-lamp"}
    answer = client.post(reverse(name), sent)
    return answer.status_code, CHANGES_EACH_TIME.sub(b"", answer.content).replace(guess.encode(), b"")


def media_paths(ground: Ground, seen: Seen) -> None:
    """No file that was sent in is reached by its own name, however it is written."""
    world = ground.world
    kept = [world.photo.original, world.photo.thumb, world.document.file, world.recording.original]
    for file in kept:
        for before in (
            "/media/",
            "/",
            "/static/../media/",
            "/static/%2e%2e/media/",
            "/static//",
            "/.data/media/",
        ):
            for role in (STRANGER, "Owner"):
                answer = ground.client(role).get(f"{before}{file.name}")
                seen.probes += 1
                seen.by_kind["files by their own names"] += 1
                if answer.status_code == 200:
                    seen.faults.append(f"{role}: {before}{file.name} is served")


def guard_taken_away(ground: Ground, name: str = "shop:books") -> list[str]:
    """The same matrix over one address whose guard is gone: what it says then."""
    entry, seen = addresses()[name], Seen()
    guarded = entry.callback
    entry.callback = guarded.__wrapped__.__wrapped__
    try:
        for role in ROLES:
            answer = ground.client(role).get(reverse(name, kwargs=arguments_for(entry, name, ground.world)))
            if fault := _wrong(role, ACCESS[name][1], answer):
                seen.faults.append(f"{role}, {name}: {fault}")
    finally:
        entry.callback = guarded
    return seen.faults
