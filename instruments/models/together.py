"""Several questions put to the database in one go, for pages that say many things of one instrument.

A function that wants to be asked together with others is a generator under `@asking`: it yields querysets,
gets them back answered, and returns what it found. Called, it asks by itself; `later(…)` of several goes
to `together`, which puts what all of them ask in one turn into one query. What two ask alike is read once.
"""

import json
from collections.abc import Callable, Generator, Iterable, Iterator
from copy import copy
from datetime import date, datetime, time
from decimal import Decimal
from functools import partial, wraps
from types import SimpleNamespace
from uuid import UUID

from django.core.exceptions import EmptyResultSet
from django.db import connections
from django.db.models import Model, QuerySet

AT_ONCE = 100  # arguments of one function in SQL
MOST_NAMED = 30_000  # parameters of one query; PostgreSQL takes 65,535
Asking = Generator[tuple[QuerySet, ...], tuple[QuerySet, ...], object]


def asking(function: Callable[..., Asking]) -> Callable:
    @wraps(function)
    def by_itself(*args, **told):
        return together(function(*args, **told))[0]

    by_itself.later = function
    return by_itself


def together(*asked: Asking) -> list:
    """What each of them found, in their order."""
    turns, known = alongside(*asked), {}
    try:
        questions = next(turns)
        while True:
            answer(questions, known)
            questions = turns.send(questions)
    except StopIteration as end:
        return end.value


def alongside(*asked: Asking) -> Asking:
    """The same from inside such a function: `found = yield from alongside(…)`."""
    found, turns = [None] * len(asked), dict.fromkeys(range(len(asked)))
    while turns:
        wanted = {}
        for place, answers in turns.items():
            try:
                wanted[place] = asked[place].send(answers)
            except StopIteration as end:
                found[place] = end.value
        if wanted:
            yield tuple(each for questions in wanted.values() for each in questions)
        turns = wanted
    return found


@asking
def asked(question: QuerySet):
    """One question, to be put beside such functions."""
    return (yield (question,))[0]


def hand_on(row: Model, name: str, rows: Iterable[Model]) -> None:
    """As if `name`, which leads from `row` to many, had been fetched with it."""
    related = getattr(row, name).all()
    related._result_cache, related._prefetch_done = list(rows), True
    row.__dict__.setdefault("_prefetched_objects_cache", {})[name] = related


def hand_on_each(rows: Iterable[Model], **related: tuple[Iterable[Model], str]) -> None:
    """The same for many: by its name what leads to many, with all of these and what names their row."""
    for name, (others, key) in related.items():
        by_row: dict[int, list[Model]] = {}
        for other in others:
            by_row.setdefault(getattr(other, key), []).append(other)
        for row in rows:
            hand_on(row, name, by_row.get(row.pk, []))


def answer(questions: Iterable[QuerySet], known: dict | None = None) -> None:
    """Leaves each answered as if asked by itself; `known` is what was read before, by its words."""
    known, worded = {} if known is None else known, []
    for question in questions:
        if question._result_cache is None:
            db, compiler, words, read = _put_into_words(question)
            worded.append((question, compiler, (words[0], repr(words[1])), words, read))
    new = {key: (compiler, words) for _, compiler, key, words, _ in worded if key not in known and words[0]}
    for some in _in_shares(new):
        rows = _read(db, [new[key] for key in some])
        known.update(zip(some, rows, strict=True))
    for question, _, key, _, read in worded:
        question._result_cache = read(known.get(key, []))


def _put_into_words(question) -> tuple[str, object, tuple[str, Iterable], Callable[[list[tuple]], list]]:
    """Whom it is put to, by which compiler, in which words, and how its answer is read.

    What can have no answer has no words. What was put into words before (worded.py) brings them.
    """
    if worded := getattr(question, "worded", None):
        return worded.question.db, worded.compiler, (worded.sql, worded.parameters), worded.read
    compiler = question.query.get_compiler(question.db)
    try:
        words = compiler.as_sql(with_col_aliases=True)
    except EmptyResultSet:
        words = ("", ())
    return question.db, compiler, words, partial(as_found_by, question, compiler)


def _in_shares(new: dict) -> Iterator[list]:
    """All in one, unless they name more things than a database lets one query name."""
    share, count = [], 0
    for key, (_, (_, parameters)) in new.items():
        if share and count + len(parameters) > MOST_NAMED:
            yield share
            share, count = [], 0
        share.append(key)
        count += len(parameters)
    if share:
        yield share


def _read(alias: str, worded: list) -> list[list[tuple]]:
    connection = connections[alias]
    whole = _of_postgres if connection.vendor == "postgresql" else _of_sqlite
    selects, parameters = [], []
    for compiler, (sql, own) in worded:
        selects.append(f"({whole(connection, compiler, sql)})")
        parameters += own
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {', '.join(selects)}", parameters)
        row = cursor.fetchone()
    untold = _as_postgres_told if connection.vendor == "postgresql" else _as_sqlite_told
    return [untold(compiler, text) for (compiler, _), text in zip(worded, row, strict=True)]


def _columns(compiler) -> list[str]:
    return [column for _, _, column in compiler.select]


def _of_sqlite(connection, compiler, sql: str) -> str:
    names = [f"t.{connection.ops.quote_name(name)}" for name in _columns(compiler)]
    parts = [f"json_array({', '.join(names[at : at + AT_ONCE])})" for at in range(0, len(names), AT_ONCE)]
    return f"SELECT json_group_array(json_array({', '.join(parts)})) FROM ({sql}) t"  # noqa: S608


def _as_sqlite_told(compiler, text: str) -> list[tuple]:
    return [tuple(value for part in row for value in part) for row in json.loads(text)]


def _of_postgres(connection, compiler, sql: str) -> str:
    return f"SELECT json_agg(t)::text FROM ({sql}) t"  # noqa: S608


def _as_postgres_told(compiler, text: str | None) -> list[tuple]:
    """JSON knows fewer kinds of value than the driver gives."""
    names, kinds = _columns(compiler), [_kind(column) for column, _, _ in compiler.select]
    pairs = [(name, KINDS.get(kind, _same)) for name, kind in zip(names, kinds, strict=True)]
    rows = json.loads(text, parse_float=Decimal) if text else []
    return [tuple(None if row[name] is None else read(row[name]) for name, read in pairs) for row in rows]


def _kind(column) -> str:
    return column.output_field.get_internal_type()


def _same(value):
    return value


KINDS = {
    "DateTimeField": datetime.fromisoformat,
    "DateField": date.fromisoformat,
    "TimeField": time.fromisoformat,
    "DecimalField": Decimal,
    "FloatField": float,
    "UUIDField": UUID,
    "JSONField": partial(json.dumps, default=float),
}


def as_found_by(question: QuerySet, compiler, rows: list[tuple]) -> list:
    """What the queryset makes of such rows; its compiler has put it into SQL and is used up."""
    if not rows:
        return []
    compiler.execute_sql = lambda *_, **__: [rows]
    query = copy(question.query)
    query.get_compiler = lambda *_, **__: compiler
    asked = SimpleNamespace(
        db=question.db,
        model=question.model,
        query=query,
        _fields=question._fields,
        _known_related_objects=question._known_related_objects,
    )
    return list(question._iterable_class(asked))
