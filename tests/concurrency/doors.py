"""Doors for gunicorn that only tests open: the shop without one of its guards, or with a process that dies.

    gunicorn "tests.concurrency.doors:unguarded()"

Each gives the shop's own application; what it changes, it changes in its own process and for one request.
"""

import os
import signal
import sys
import time
from contextlib import nullcontext
from contextvars import ContextVar
from importlib import import_module

from django.conf import settings
from django.db import connection
from django.db.transaction import Atomic
from django.shortcuts import redirect

from shop.wsgi import application
from tests.concurrency.served import (
    AFTER_THE_COMMIT,
    ASKING_FIRST,
    BEFORE_THE_COMMIT,
    LOCK_ON_A_PERSON,
    MEMORY_OF_FORMS,
)

PATIENCE_SECONDS = 20
absent: ContextVar[str] = ContextVar("absent", default="")  # the guard that this request goes without


def mortal():
    """A request may say when its process dies, as if the machine had run out of memory just then."""

    def dying(environ, start_response):
        moment = environ.get("HTTP_X_DIES")
        dies_within = connection.execute_wrapper(_die_of_a_payment)
        with dies_within if moment == BEFORE_THE_COMMIT else nullcontext():
            answer = application(environ, start_response)
        if moment == AFTER_THE_COMMIT:
            _die()
        return answer

    return dying


def _die_of_a_payment(execute, sql, params, many, context):
    result = execute(sql, params, many, context)
    if sql.startswith('INSERT INTO "shop_payment"'):
        _die()
    return result


def _die() -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def _each_time(request, act, *, then=lambda: None):
    url = act()
    then()
    return redirect(url)


def unguarded():
    """A request may name a guard that is not to work for it."""
    asking = import_module("instruments.models.together").asking
    _step_aside(ASKING_FIRST, "shop.problems", "promise_problems", asking(_nobody_has_it))
    _step_aside(MEMORY_OF_FORMS, "instruments.views.once", "answered_before", lambda request: None)
    _step_aside(MEMORY_OF_FORMS, "instruments.views.once", "once", _each_time)
    _step_aside(LOCK_ON_A_PERSON, "shop.actions.ledger", "lock_person", lambda person: person)
    _step_aside(LOCK_ON_A_PERSON, "shop.actions.ledger", "credit_of", _read_by_two())
    if connection.vendor == "sqlite":  # where the transaction is the lock
        _step_aside_of(Atomic, "__enter__", LOCK_ON_A_PERSON, lambda atomic: None)
        _step_aside_of(Atomic, "__exit__", LOCK_ON_A_PERSON, lambda atomic, *error: None)

    def without(environ, start_response):
        token = absent.set(environ.get("HTTP_X_WITHOUT", ""))
        try:
            return application(environ, start_response)
        finally:
            absent.reset(token)

    return without


def _step_aside(guard: str, module: str, name: str, instead) -> None:
    """There, and in every module that has imported it by its name."""
    import_module(settings.ROOT_URLCONF)
    was = getattr(import_module(module), name)
    for each in list(sys.modules.values()):
        if getattr(each, name, None) is was:
            _step_aside_of(each, name, guard, instead)


def _step_aside_of(owner, name: str, guard: str, instead) -> None:
    was = getattr(owner, name)

    def chosen(*given, **named):
        return (instead if absent.get() == guard else was)(*given, **named)

    if hasattr(was, "later"):  # asked together with others
        chosen.later = lambda *given, **named: (instead if absent.get() == guard else was).later(
            *given, **named
        )
    setattr(owner, name, chosen)


def _nobody_has_it(instrument, *, with_names: bool = True):
    yield from ()
    return []


def _read_by_two():
    """What two have read before either goes on; a third and all later ones go straight on."""
    read = import_module("shop.actions.ledger").credit_of
    meeting = settings.DATA_DIR / "meeting"

    def reading(person):
        value = read(person)
        if connection.in_atomic_block or connection.vendor == "sqlite":
            with meeting.open("ab") as arrived:
                arrived.write(b".")
            patience = time.monotonic() + PATIENCE_SECONDS
            while meeting.stat().st_size < 2 and time.monotonic() < patience:
                time.sleep(0.01)
        return value

    return reading
