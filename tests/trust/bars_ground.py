"""Bars 9, 10 and 11: eight writers at once, how long the lock is held, and what it refuses to start on."""

from tests.trust.bars_crash import run_in_a_shop
from tests.trust.board import Figure, measures, pytest_counts

SECONDS, SECONDS_LONG = 10, 60
P95_MS, P99_MS, WRITES_A_SECOND, HELD_MS = 50, 100, 400, 20
DOORS = "tests.trust.watching_doors"


@measures(9)
def eight_writers(long: bool) -> Figure:
    seconds = str(SECONDS_LONG if long else SECONDS)
    seen = run_in_a_shop("writers", "--seconds", seconds, "--kinds", "pay")
    light = run_in_a_shop("writers", "--seconds", seconds, "--kinds", "note")
    loose = run_in_a_shop(
        "writers", "--seconds", seconds, "--kinds", "pay", "--door", f"{DOORS}:not_in_line()"
    )
    return Figure(
        said=f"{seen['a_second']:.0f} payments a second, each a whole request; p95 {seen['p95_ms']:.0f} ms,"
        f" p99 {seen['p99_ms']:.0f} ms, {seen['refused']} lock errors of {seen['count']};"
        f" notes at the bench, the lightest that is saved: {light['a_second']:.0f} a second,"
        f" p95 {light['p95_ms']:.0f} ms, {light['refused']} lock errors of {light['count']}",
        met=not seen["refused"]
        and not light["refused"]
        and loose["refused"] > 0
        and seen["p95_ms"] <= P95_MS
        and seen["p99_ms"] <= P99_MS
        and seen["a_second"] >= WRITES_A_SECOND,
        control=f"without standing in line: {loose['refused']} lock errors of {loose['count']}",
    )


@measures(10)
def lock_is_held_for_moments(long: bool) -> Figure:
    seconds = str(SECONDS_LONG if long else SECONDS)
    seen = run_in_a_shop("writers", "--seconds", seconds, "--door", f"{DOORS}:watched()")
    slow = run_in_a_shop(
        *("writers", "--seconds", "5", "--kinds", "photo", "--door", f"{DOORS}:drawing_inside()")
    )
    return Figure(
        said=f"held {seen['held_p99_ms']:.1f} ms at p99 of {seen['held_count']} transactions (median"
        f" {seen['held_p50_ms']:.1f}, longest {seen['held_most_ms']:.0f}), of it"
        f" {seen['held_cpu_p99_ms']:.1f} ms at p99 the program's own work;"
        f" slow work inside: {', '.join(seen['inside']) or 'none'}",
        met=seen["held_count"] > 0
        and seen["held_p99_ms"] <= HELD_MS
        and not seen["inside"]
        and bool(slow["inside"]),
        control=f"a picture opened inside on purpose: {', '.join(slow['inside']) or 'not seen'}",
    )


@measures(11)
def unsafe_ground(long: bool) -> Figure:
    passed, failed, _ = pytest_counts("-n", "0", "tests/shop/test_checks.py", "tests/shop/test_health.py")
    return Figure(
        said=f"{passed} tests of refusals at the start and of the health page passed, {failed} failed",
        met=passed > 0 and not failed,
        control="each refusal is tested by taking away what it asks for",
    )
