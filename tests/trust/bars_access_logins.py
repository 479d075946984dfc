"""Bar 26: signing in."""

from tests.trust.board import Figure, measures, pytest_counts
from tests.trust.scratch import scratch_database

MOST_AN_ACCOUNT = 10
NO_LIMIT = "tests.trust.access_doors:uncounted()"
TESTS = tuple(f"tests/shop/test_{name}.py" for name in ("sign_in", "second_step", "own_access"))


@measures(26)
def signing_in(long: bool) -> Figure:
    passed, failed, _ = pytest_counts("-v", "-n", "0", *TESTS)
    with scratch_database() as folder:
        from django.contrib.auth.models import User
        from django.db import connection
        from django.test import Client

        from tests.concurrency.served import WORKERS, served
        from tests.trust import access_logins as logins

        client = Client()
        client.force_login(logins.somebody())
        session = client.cookies["sessionid"].value
        connection.close()
        with served(folder) as server:
            quiet, loud, rate = logins.under_attack(
                server.port, session, seconds=6 if long else 3, rounds=5 if long else 2
            )
            looked_at = logins.all_at_once(server.port).count(logins.LOOKED_AT)
            names = logins.from_one_address(server.port).count(logins.LOOKED_AT)
        with served(folder, door=NO_LIMIT) as server:
            without = logins.all_at_once(server.port).count(logins.LOOKED_AT)
        existing, missing = logins.timing(60 if long else 25)
        with_a_short_cut = _timing_without_a_hash(logins, User)
    apart = abs(existing / missing - 1)
    said = (
        f"60 wrong passwords at once at {WORKERS} processes from 60 addresses: {looked_at} looked at; "
        f"of 60 names from one address {names}; processor time for somebody {existing * 1000:.1f} ms, for "
        f"nobody {missing * 1000:.1f} ms ({apart:.1%} apart); list p95 {quiet * 1000:.0f} ms, under {rate} "
        f"wrong logins a second {loud * 1000:.0f} ms ({loud / quiet:.1f}x); {passed} tests of sessions, "
        f"passwords and second step, {failed} failed"
    )
    met = looked_at <= MOST_AN_ACCOUNT and apart <= 0.10 and loud <= 2 * quiet and not failed
    control = (
        f"without the count {without} of 60 are looked at; "
        f"without a hash for nobody {with_a_short_cut:.0%} apart"
    )
    return Figure(said, met and without > MOST_AN_ACCOUNT and with_a_short_cut > 0.10, control)


def _timing_without_a_hash(logins, user) -> float:
    from pytest import MonkeyPatch

    with MonkeyPatch.context() as patch:
        patch.setattr(user, "set_password", lambda self, password: None)
        existing, missing = logins.timing(8)
    return abs(existing / missing - 1)
