"""Every form that moves money or makes an instrument change hands, sent thrice in turn and at once."""

import shutil
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from threading import Barrier

from django.db import connection
from django.test import Client

from shop.log_check import logged_models
from shop.models import LogLine
from tests.journeys import nonsense
from tests.journeys.form_walk import every_form
from tests.journeys.page_forms import Form
from tests.trust.scratch import undone

TIMES = 3
# A text is changed to this under the mark of what was sent before.
CHANGED = "something else"
Press = tuple[int, str]


@dataclass
class Thrice:
    forms: list[Form] = field(default_factory=list)
    presses: int = 0
    faults: list[str] = field(default_factory=list)
    untold: list[str] = field(default_factory=list)  # a row of money that the log does not tell of


def money_rows() -> tuple[int, ...]:
    return tuple(model._default_manager.count() for model in logged_models())


def told_rows() -> tuple[int, ...]:
    return tuple(LogLine.objects.filter(subject=model._meta.label_lower).count() for model in logged_models())


def money_forms(client: Client, walk, seen: Thrice) -> list[Form]:
    """The marked forms whose press writes a row of money or ownership; found by pressing each."""
    for form in every_form(client, walk):
        if "form_token" not in form.standing():
            continue
        before = money_rows()
        with undone():
            answer = client.post(form.action, nonsense.all_good(form))
            if answer.status_code == 302 and money_rows() != before:
                seen.forms.append(form)
                if money_rows() != told_rows():
                    seen.untold.append(form.action)
    return seen.forms


def in_turn(client: Client, seen: Thrice) -> None:
    for form in seen.forms:
        sent = nonsense.all_good(form)
        with undone():
            told = [(*_press(client, form, sent), nonsense.row_counts()) for _ in range(TIMES)]
            seen.presses += TIMES + 1
            if told[0][0] != 302 or any(each != told[0] for each in told):
                seen.faults.append(f"{form.action} in turn: {[each[:2] for each in told]}")
            changed = sent | {_word_of(form): [CHANGED]}
            status, _ = _press(client, form, changed)
            if status != 409 or nonsense.row_counts() != told[0][2]:
                seen.faults.append(f"{form.action} changed under its mark: {status}")


def _word_of(form: Form) -> str:
    """A field to be changed; one that the form does not have counts as a change as well."""
    return next((name for name in form.names if name not in {"form_token"}), "added")


def _press(client: Client, form: Form, sent) -> Press:
    answer = client.post(form.action, sent)
    return answer.status_code, answer.get("Location", "")


def at_once(owner, seen: Thrice, file: Path, *, forms=None) -> None:
    """Each form by three browsers at the same moment, over a database put back after each."""
    kept = file.with_suffix(".kept")
    connection.close()
    _copy(file, kept)
    for form in seen.forms if forms is None else forms:
        sent, before = nonsense.all_good(form), money_rows()
        alone, one = _pressed(owner, form, sent, 1), _added(before)
        _put_back(kept, file)
        told, three = _pressed(owner, form, sent, TIMES), _added(before)
        _put_back(kept, file)
        seen.presses += TIMES
        if {*told} != {*alone} or three != one:
            seen.faults.append(f"{form.action} at once: {told}, {sum(three)} rows for {sum(one)}")


def _pressed(owner, form: Form, sent: dict, times: int) -> list[Press]:
    together = Barrier(times)

    def press(_) -> Press:
        try:
            client = Client(raise_request_exception=False)
            client.force_login(owner)
            together.wait(60)
            return _press(client, form, sent)
        finally:
            connection.close()

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(press, range(times)))


def _added(before: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(now - then for now, then in zip(money_rows(), before, strict=True))


def _copy(source: Path, target: Path) -> None:
    with closing(sqlite3.connect(source)) as read, closing(sqlite3.connect(target)) as written:
        read.backup(written)


def _put_back(kept: Path, file: Path) -> None:
    connection.close()
    for rest in ("-wal", "-shm"):
        file.with_name(file.name + rest).unlink(missing_ok=True)
    shutil.copyfile(kept, file)
