"""Requests that somebody else makes for us: forged forms, and pages that write when they are only read."""

import re
from dataclasses import dataclass, field

from django.db import connection
from django.test import Client
from django.urls import reverse

from tests.access_table import ACCESS
from tests.access_world import arguments_for
from tests.test_access import Watch, addresses
from tests.trust.access_matrix import Ground

# How a form is forged: (name, whose token goes with it, headers).
NO_TOKEN, ANOTHERS, ELSEWHERE = "no token", "another session's token", "from another site"
VARIANTS = (NO_TOKEN, ANOTHERS, ELSEWHERE)
PAPER = "application/pdf"  # some are kept when they are first opened: told apart from pages that write


@dataclass
class Forged:
    endpoints: int = 0
    requests: int = 0
    faults: list[str] = field(default_factory=list)


def unsafe_addresses(ground: Ground) -> dict[str, str]:
    """Every address that takes a POST, with its path. Found by asking, not by the table."""
    client, found = ground.client("Owner"), {}
    for name in ACCESS:
        url = reverse(name, kwargs=arguments_for(addresses()[name], name, ground.world))
        answer = client.generic("OPTIONS", url)
        # An address says with 405 what it takes, before anything is done; one that does not takes everything.
        if answer.status_code != 405 or "POST" in answer["Allow"]:
            found[name] = url
    return found


def forge(ground: Ground, unsafe: dict[str, str], *, checks: bool = True) -> Forged:
    """Send each form three ways that no page of ours would. Without `checks`, as if nothing looked."""
    seen, before = Forged(endpoints=len(unsafe)), rows()
    session = ground.client("Owner").cookies
    with_token, token = _with_token(session)
    _, anothers = _with_token(session)
    elsewhere = {"HTTP_ORIGIN": "https://evil.example"}
    variants = (
        (NO_TOKEN, session, "", {}),
        (ANOTHERS, with_token, anothers, {}),
        (ELSEWHERE, with_token, token, elsewhere),
    )
    for name, url in unsafe.items():
        for variant, cookies, word, headers in variants:
            victim = Client(enforce_csrf_checks=checks, raise_request_exception=False)
            victim.cookies = cookies.copy()
            answer = victim.post(url, {"csrfmiddlewaretoken": word, "form_token": "f" * 32}, **headers)
            seen.requests += 1
            if answer.status_code != 403:
                seen.faults.append(f"{name}, {variant}: answered {answer.status_code}")
    if rows() != before:
        seen.faults.append("rows were changed by a forged form")
    return seen


def _with_token(session):
    """A browser's cookies after it has opened a page with a form, and the token of that form."""
    client = Client()
    client.cookies = session.copy()
    page = client.get(reverse("shop:password_change")).content.decode()
    return client.cookies, re.search(r'csrfmiddlewaretoken" value="(\w+)"', page)[1]


def rows() -> dict[str, int]:
    """How many rows each table has, but for those that tell of refusals and of sessions."""
    tells = {"shop_logline", "shop_logseal", "shop_loghead", "shop_signintry", "django_session"}
    with connection.cursor() as cursor:
        tables = [name for name in connection.introspection.table_names(cursor) if name not in tells]
        counts = ", ".join(f'(SELECT COUNT(*) FROM "{table}")' for table in tables)
        cursor.execute(f"SELECT {counts}")
        return dict(zip(tables, cursor.fetchone(), strict=True))


@dataclass
class Read:
    asked: int
    faults: list[str]
    papers: list[str]  # addresses whose paper was kept because it was opened


def writes_of_reading(ground: Ground, names=ACCESS) -> Read:
    """Read every address as the owner and as a stranger; what was written meanwhile."""
    asked, faults, papers = 0, [], []
    for role in ("Owner", "a stranger"):
        client = ground.client(role)
        for name in names:
            if ACCESS[name][0] != "GET":
                continue
            url = reverse(name, kwargs=arguments_for(addresses()[name], name, ground.world))
            watch = Watch()
            with connection.execute_wrapper(watch):
                answer = client.get(url)
                if answer.streaming:
                    b"".join(answer.streaming_content)
            asked += 1
            if watch.written and answer.get("Content-Type") == PAPER:
                papers.append(name)
            elif watch.written:
                faults.append(f"{role}, {name}: {watch.written[0]}")
    return Read(asked, faults, papers)


def check_taken_away(ground: Ground, unsafe: dict[str, str]) -> int:
    """How many forged requests get through where nothing looks at the token."""
    few = {name: url for name, url in unsafe.items() if name.startswith("shop:trial")}
    return len(forge(ground, few, checks=False).faults)


def page_that_writes(ground: Ground) -> int:
    """What the same watch sees of a page that writes when it is read."""
    entry = addresses()["today"]
    honest = entry.callback

    def writes(request):
        request.user.save(update_fields=["last_name"])
        return honest(request)

    entry.callback = writes
    try:
        return len(writes_of_reading(ground, ["today"]).faults)
    finally:
        entry.callback = honest
