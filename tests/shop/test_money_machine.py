"""Dealings in any order, right and wrong, on the real models; after each step every sum is what it must be.

    export WRESTPLANK_MONEY_STEPS=1000000 WRESTPLANK_MONEY_SEED=1
    python -m pytest -n 0 -s tests/shop/test_money_machine.py

runs so many steps, drawn from the seed, and prints how many it took and how long. Several
seeds in several processes are one long run; without the variables it is 20,000 steps. When a sum
is wrong, the dealings that led there are made as short as they go and printed. What is conserved is said in
tests/shop/money_oracle.py.
"""

import gc
import os
from collections import Counter
from random import Random
from time import monotonic

import pytest
from django.db import transaction

import shop.actions.promises
import shop.actions.sale_endings
import shop.actions.sales
import shop.actions.trials
import shop.problems
from instruments.models.together import asking
from instruments.problems import Refused
from tests import make
from tests.shop.money_moves import LOTS, MOVES, Dealings
from tests.shop.money_oracle import every_printed_figure_is_the_ledgers, every_sum_is_what_it_must_be

STEPS = int(os.environ.get("WRESTPLANK_MONEY_STEPS", "20000"))
SEED = int(os.environ.get("WRESTPLANK_MONEY_SEED", "1"))
SECONDS = float(os.environ.get("WRESTPLANK_MONEY_SECONDS", "inf"))  # ends a long run before its last step
STEPS_IN_A_STRETCH = 80
STEPS_WITH_EVERY_RULE = 600
STEPS_BETWEEN_WORDS = 20_000
# What else stands in the way of a dealing, or follows from it: other rules, moves, the books of sales. No
# value moves by it, and most of a step's time went into it; the second test below leaves it all in.
NOT_ABOUT_MONEY = {
    shop.problems: (
        *("ownership_problems", "handed_back_problems", "untouched_problems", "owner_problems"),
        *("protected_material_problems", "open_work_problems", "key_cautions"),
    ),
    shop.actions.promises: ("serve", "withdraw_listing_of"),
    shop.actions.trials: (
        *("bring_back_unless_fetched_later", "take_out_if_it_leaves_today", "protected_material_problems"),
    ),
    shop.actions.sales: ("enter_sale", "buy_by_selling", "dating_problems"),
    shop.actions.sale_endings: ("move_instrument", "book_line_of", "_unbuy", "dating_problems"),
}


@asking
def nothing_found(*given, **named):
    """In place of a rule, also where it is asked beside others."""
    yield from ()
    return []


class Undone(Exception):
    """Every stretch is rolled back, so that the next begins with nothing."""


def draw(random: Random, dealings: Dealings) -> tuple[str, dict]:
    while True:
        name = random.choice(LOTS)
        given, needs = MOVES[name]
        if not needs or getattr(dealings, needs):
            return name, {key: random.choice(values) for key, values in given.items()}


def step(dealings: Dealings, name: str, given: dict) -> None:
    dealings.done[name] += 1
    try:
        with transaction.atomic():
            getattr(dealings, name)(**given)
    except Refused:
        dealings.done["refused"] += 1
        dealings.done[f"{name}, refused"] += 1
    every_sum_is_what_it_must_be()


def stretch(world, done: Counter, moves, *, trail: list | None = None) -> None:
    """One stretch of dealings from nothing; `moves` gives each in turn, and may look at what there is."""
    try:
        with transaction.atomic():
            dealings = Dealings(world, done)
            for name, given in moves(dealings):
                if trail is not None:
                    trail.append((name, given))
                step(dealings, name, given)
            every_printed_figure_is_the_ledgers(dealings.people if trail is None else [dealings.anyone])
            raise Undone
    except Undone:
        pass


def goes_wrong(world, trail: list) -> bool:
    def again(dealings):
        for name, given in trail:
            if not MOVES[name][1] or getattr(dealings, MOVES[name][1]):
                yield name, given

    try:
        stretch(world, Counter(), again)
    except AssertionError:
        return True
    return False


def made_short(world, trail: list) -> list:
    """Leave out whatever it goes wrong without, larger pieces first."""
    size = len(trail) // 2
    while size:
        place = 0
        while place < len(trail):
            shorter = trail[:place] + trail[place + size :]
            if goes_wrong(world, shorter):
                trail = shorter
            else:
                place += size
        size //= 2
    return trail


def run(steps: int, seed: int, *, shorten: bool = True) -> Counter:
    by = make.make_user("owner", "Ada Prowse")
    by.is_superuser = True
    by.save()
    people = [make.make_person(name=name) for name in ("Ada Wren", "Bo Marsh", "Cy Hale", "A. Wren")]
    world = by, people, [make.make_instrument(by=by) for _ in range(8)]
    random, done, began = Random(seed), Counter(), monotonic()

    def drawn(dealings):
        for _ in range(STEPS_IN_A_STRETCH):
            yield draw(random, dealings)

    taken = 0
    while taken < steps and monotonic() - began < SECONDS:
        trail: list = []
        try:
            stretch(world, done, drawn, trail=trail)
        except AssertionError as wrong:
            trail = made_short(world, trail) if shorten else trail
            short = "\n".join(f"{name} {given}" for name, given in trail)
            raise AssertionError(f"seed {seed}, after {taken} steps: {wrong}\n{short}") from wrong
        taken += len(trail)
        if taken % STEPS_BETWEEN_WORDS == 0 or taken >= steps or monotonic() - began >= SECONDS:
            told = f"seed {seed}: {taken} steps, {done['refused']} refused, {monotonic() - began:.0f} s"
            print(told, flush=True)
    return done


def moves_never_done(done: Counter) -> list[str]:
    """A move that is always refused would test nothing."""
    return [name for name in MOVES if done[name] == done[f"{name}, refused"]]


@pytest.fixture
def money_alone(monkeypatch, settings):
    """Only what moves value; and no rubbish collected in between, of which a query makes little."""
    settings.SIMPLE_HISTORY_ENABLED = False
    for module, names in NOT_ABOUT_MONEY.items():
        for name in names:
            monkeypatch.setattr(module, name, nothing_found)
    often = gc.get_threshold()
    gc.set_threshold(200_000, 50, 50)
    yield
    gc.set_threshold(*often)


@pytest.mark.both
@pytest.mark.django_db
def test_no_order_of_dealings_loses_or_makes_money(money_alone):
    done = run(STEPS, SEED)
    assert STEPS < STEPS_BETWEEN_WORDS or moves_never_done(done) == []


@pytest.mark.django_db
def test_nor_with_every_other_rule_in_the_way():
    run(STEPS_WITH_EVERY_RULE, SEED)
