"""Bars 1, 2, 5, 7 and 8: promises, credit and sums, proven by tests that this runs in their longer forms."""

import os
import random
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction

from tests.trust.board import Figure, measures, pytest_counts
from tests.trust.scratch import scratch_database

POSTGRES = {
    "DATABASE_URL": os.environ.get("WRESTPLANK_TRUST_POSTGRES", "postgres://postgres@127.0.0.1:5432/trust")
}
ENGINES = {"SQLite": {"DATABASE_URL": ""}, "PostgreSQL": POSTGRES}
ROUNDS, ROUNDS_LONG = 20, 200
STEPS, STEPS_LONG = 50_000, 1_000_000
SPLITS = 10_000
ENTRIES, MOST_SECONDS = 100_000, 5
SEEDED_BUGS_WANTED = 12


def _on_both(*names: str, **env: str) -> tuple[bool, str]:
    """Whether the tests passed on both databases, and the count of each in words."""
    said, well = [], True
    for engine, where in ENGINES.items():
        passed, failed, _ = pytest_counts("-n", "0", *names, env=where | env)
        well = well and not failed
        said.append(f"{engine}: {passed} passed, {failed} failed")
    return well, "; ".join(said)


def _race(test: str, unguarded: str, long: bool) -> Figure:
    rounds = ROUNDS_LONG if long else ROUNDS
    well, said = _on_both(f"tests/concurrency/test_rounds.py::{test}", WRESTPLANK_RACE_ROUNDS=str(rounds))
    red, control = _on_both(f"tests/concurrency/test_guards.py::{unguarded}")
    return Figure(
        f"{rounds} rounds of 16 at once on each: one won in every round ({said})",
        well and rounds >= ROUNDS_LONG,
        f"without the guard the race is lost, as its test demands ({control})" if red else control,
    )


@measures(1)
def one_promise(long: bool) -> Figure:
    return _race(
        "test_every_round_promises_one_instrument_once",
        "test_without_the_constraint_one_instrument_is_promised_to_everybody",
        long,
    )


@measures(2)
def one_credit(long: bool) -> Figure:
    return _race(
        "test_every_round_spends_one_credit_once",
        "test_without_the_lock_one_credit_is_spent_more_than_once",
        long,
    )


@measures(5)
def money_model(long: bool) -> Figure:
    """The databases answer alike, since each is held against the same sums in plain Python."""
    steps = {"SQLite": STEPS_LONG if long else STEPS, "PostgreSQL": STEPS}
    with ThreadPoolExecutor(os.cpu_count()) as at_once:
        walks = [
            at_once.submit(
                pytest_counts,
                *("-n", "0", "tests/shop/test_money_machine.py"),
                env=ENGINES[engine] | {"WRESTPLANK_MONEY_STEPS": str(count)},
            )
            for engine, count in reversed(steps.items())
        ]
        mutants = at_once.submit(pytest_counts, "-n", "0", "tests/shop/test_money_mutants.py")
    well = not any(walk.result()[1] for walk in walks)
    found, missed, _ = mutants.result()
    walked = ", ".join(f"{count:,} steps on {engine}" for engine, count in steps.items())
    return Figure(
        f"{walked}: {'every sum held' if well else 'a sum did not hold'}; {found} of {found + missed} seeded"
        f" bugs found ({SEEDED_BUGS_WANTED} are wanted)",
        well and not missed and found >= SEEDED_BUGS_WANTED,
        f"each of the {found} bugs turns the machine red",
    )


@measures(7)
def append_only(long: bool) -> Figure:
    well, said = _on_both("tests/shop/db/test_append_only.py", "tests/shop/test_verify.py")
    with scratch_database():
        from tests.trust.long_chain import long_chain, seconds_to_read

        seconds, broken = seconds_to_read(long_chain(ENTRIES))
    return Figure(
        f"changes and removals refused by the database, broken chains found ({said});"
        f" a chain of {ENTRIES:,} entries read through in {seconds:.1f} s, {broken} breaks",
        well and not broken and seconds <= MOST_SECONDS,
        "among them: with the guards removed a row is changed, and verify finds it" if well else said,
    )


@measures(8)
def whole_pence(long: bool) -> Figure:
    from workorders.calc.money import share_minor, split_minor

    passed, failed, _ = pytest_counts(
        "-n", "0", "tests/test_architecture.py", "tests/house_rules/test_lines.py"
    )
    at_random, off, naive_off = random.Random(8), 0, 0
    for _ in range(SPLITS):
        total, parts = at_random.randrange(0, 5_000_000), at_random.randrange(1, 13)
        off += sum(split_minor(total, parts)) != total
        naive_off += parts * share_minor(total, Fraction(1, parts)) != total
    return Figure(
        f"no float on money’s paths ({passed} rules held, {failed} broken);"
        f" of {SPLITS:,} random splits {off} did not add up to the penny",
        not failed and not off,
        f"shares rounded each by itself: {naive_off:,} of {SPLITS:,} do not add up",
    )
