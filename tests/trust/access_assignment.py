"""Fields that a form does not have, sent along with those it has: nothing but what it names may change."""

import re
from collections import Counter
from dataclasses import dataclass, field, replace

from django.apps import apps
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client

from tests.journeys import nonsense
from tests.journeys.page_forms import Form
from tests.trust.scratch import undone

APPS = ("instruments", "workorders", "shop")
RANDOM = re.compile(r"[0-9a-f]{16,}|[\w-]{22,}")
REFUSED = 200  # the form is shown again
UNDO = "find"  # a button's name: with it the form is only shown again


@dataclass
class Assigned:
    forms: int = 0
    names: int = 0
    refused: int = 0  # columns for which a form that was taken is refused: it knows them, and asks for more
    faults: list[str] = field(default_factory=list)


def every_column() -> list[str]:
    """The name of each column of each model, as a form would name it and as the database does."""
    models = [User, *(model for app in APPS for model in apps.get_app_config(app).get_models())]
    names = {name for model in models for each in model._meta.fields for name in (each.name, each.attname)}
    return sorted(names | {"groups", "user_permissions", "balance", "status"} - {UNDO})


def assign(client: Client, forms: list[Form], *, value: str = "1") -> Assigned:
    """Each form as it is, and once more with every column that it does not name: both do the same.

    What is refused for them has changed nothing. Then the columns are halved until those are found for which
    it is refused: they are counted, and the others are tried.
    """
    columns, seen = every_column(), Assigned()
    for form in forms:
        sent = nonsense.all_good(form)
        plain = _what_it_does(client, form, sent)
        waiting = [[name for name in columns if name not in sent and name not in form.names]]
        seen.forms += 1
        while waiting:
            names = waiting.pop()
            more = _what_it_does(client, form, sent | {name: [value] for name in names})
            if more[0] == REFUSED != plain[0] and len(names) > 1:
                waiting += [names[: len(names) // 2], names[len(names) // 2 :]]
                continue
            seen.names += len(names)
            if more[0] == REFUSED != plain[0]:
                seen.refused += 1
            elif plain != more and (plain := _what_it_does(client, form, sent)) != more:
                # Asked plainly once more: the first paper of a process is not byte for byte its second.
                tables = {table for table, *_ in (plain[1] - more[1]) + (more[1] - plain[1])}
                seen.faults.append(
                    f"{form.action}: {plain[0]} or {more[0]}, {', '.join(sorted(tables))[:80]}"
                )
    return seen


def _what_it_does(client: Client, form: Form, sent: dict) -> tuple[int, Counter]:
    with undone():
        status = client.post(form.action, sent).status_code
        return status, _rows()


def _rows() -> Counter:
    """Every row of the project, what is random in it left out."""
    tables = [model._meta.db_table for app in APPS for model in apps.get_app_config(app).get_models()]
    found: Counter = Counter()
    with connection.cursor() as cursor:
        for table in ["auth_user", "auth_user_groups", *tables]:
            if table not in {"instruments_submission", "shop_logseal", "shop_loghead"}:
                cursor.execute(f'SELECT * FROM "{table}"')
                found.update((table, RANDOM.sub("", repr(row))) for row in cursor.fetchall())
    return found


def column_not_shown(client: Client, forms: list[Form], name: str = "vat_number") -> int:
    """What the same look says where a form takes a column that its page does not show."""
    (form,) = (each for each in forms if each.action.endswith("/terms/") and name in each.names)
    hidden = replace(form, controls=[control for control in form.controls if control.name != name])
    return len(assign(client, [hidden]).faults)
