"""Questions to the database that are put into SQL once and asked often.

For a list with many subqueries Django takes several times longer to find the words than the database to
answer. The words depend on the database, on the law of the shop and on what was asked, which is the key under
which a caller keeps them; what is answered is read anew each time.
"""

import json
import re
from collections.abc import Callable, Iterable, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cache, lru_cache

from django.core.exceptions import EmptyResultSet
from django.db import connection
from django.db.models import Model, QuerySet
from django.db.transaction import TransactionManagementError

from instruments.models.together import as_found_by

KEYS = range(-(2**63), 2**63)
ASKED = -1  # stands in a query for the key that will be asked for; no row has it
HERE_A_VALUE = re.compile("(?<!%)%s")
ONLY_INSIDE = "A row is only held inside the transaction that needs it."
IF_MANY = """
WITH many AS MATERIALIZED ({})
SELECT (SELECT so FROM many), {}(pk) FROM (
 SELECT pk FROM ({}) AS asked
 LIMIT CASE WHEN (SELECT so FROM many) THEN %s ELSE %s END
 OFFSET CASE WHEN (SELECT so FROM many) THEN %s ELSE 0 END) AS found"""
PLAIN_WORD = re.compile(r"[A-Za-z0-9_-]*", re.ASCII)


@dataclass(frozen=True)
class Worded:
    """A query in SQL with its parameters; `sql` is empty where it can have no answer."""

    sql: str
    parameters: tuple
    question: QuerySet | None = field(default=None, repr=False, compare=False)
    compiler: object = field(default=None, repr=False, compare=False)

    @classmethod
    def of(cls, rows: QuerySet) -> "Worded":
        compiler = rows.query.get_compiler(rows.db)
        try:
            sql, parameters = compiler.as_sql(with_col_aliases=True)  # as together.py needs it
        except EmptyResultSet:
            return cls("", (), rows)
        converters = compiler.get_converters([column for column, _, _ in compiler.select])
        compiler.get_converters = lambda columns: converters  # as they are for every answer
        return cls(*_with_words_of_ours(sql, parameters), rows, compiler)

    def asking(self, key: int | str) -> "Worded":
        """The same of that key, where it was put into words with ASKED."""
        if isinstance(key, int) and key not in KEYS:
            return replace(self, sql="", parameters=())  # an address may hold any number
        parameters = tuple(key if each in (ASKED, str(ASKED)) else each for each in self.parameters)
        return replace(self, parameters=parameters)

    def among(self, column: str, keys: Iterable[int | str]) -> "Worded":
        """The same, of those rows alone whose `column` is one of `keys`."""
        keys = tuple(keys)
        if not keys or not self.sql:
            return Worded("", ())
        named = (json.dumps(keys),) if connection.vendor == "sqlite" else keys
        return Worded(_among(self.sql, column, len(named), connection.vendor), self.parameters + named)

    def found(self) -> list:
        """What the queryset would have found, with all that it joins; not after `among`."""
        return self.read(self.rows())

    def read(self, rows: list[tuple]) -> list:
        """The same, of rows that the database was asked for elsewhere."""
        return as_found_by(self.question, copy(self.compiler), rows) if rows else []

    @property
    def holds(self) -> bool:
        """Whether what it finds is held until the transaction ends."""
        return self.question is not None and self.question.query.select_for_update

    def hold(self) -> None:
        """Hold what it finds until the transaction ends; SQLite holds all there is, and is not asked."""
        if not connection.in_atomic_block:
            raise TransactionManagementError(ONLY_INSIDE)
        if connection.features.has_select_for_update:
            self.rows()

    def first(self):
        return next(iter(self.found()), None)

    def first_column(self) -> list:
        return [row[0] for row in self.rows()]

    def keys(self) -> list[int]:
        """The same of a query with a limit for whole numbers named `pk`: SQLite hands over all at once."""
        if not self.sql or connection.vendor != "sqlite":
            return self.first_column()
        row = Worded(f"SELECT json_group_array(pk) FROM ({self.sql})", self.parameters).rows()[0]  # noqa: S608
        return json.loads(row[0])

    def keys_if_many(self, many: "Worded", part: range) -> tuple[bool, list[int]]:
        """Whether `many` finds that it is `so`, and then only the keys in the places of `part`, else all."""
        if not self.sql:
            return False, []
        is_sqlite = connection.vendor == "sqlite"
        sql = IF_MANY.format(many.sql, "json_group_array" if is_sqlite else "array_agg", self.sql)
        parameters = many.parameters + self.parameters + (len(part), KEYS.stop - 1, part.start)
        so, keys = Worded(sql, parameters).rows()[0]
        return bool(so), json.loads(keys) if is_sqlite else keys or []

    def rows(self) -> list[tuple]:
        """As the database tells them: days and moments are text on SQLite, sums decimals on PostgreSQL."""
        if not self.sql:
            return []
        if self.holds and not connection.in_atomic_block:
            raise TransactionManagementError(ONLY_INSIDE)
        with connection.cursor() as cursor:
            cursor.execute(self.sql, self.parameters)
            return cursor.fetchall()


class OfOne(Sequence):
    """A worded query that is put beside others (together.py); answered, it is read like a queryset."""

    def __init__(self, worded: Worded):
        self.worded = worded
        self._result_cache: list | None = None

    def __getitem__(self, place):
        return self._result_cache[place]

    def __len__(self) -> int:
        return len(self._result_cache)

    def first(self):
        return self._result_cache[0] if self._result_cache else None

    def alone(self) -> "OfOne":
        """The same, answered by itself."""
        self._result_cache = self.worded.found()
        return self


BEFOREHAND: list[Callable[[str], Worded]] = []


def beforehand(worded: Callable[[str], Worded]) -> Callable[[str], Worded]:
    """For a function that words one question for a kind of database: it is called once, at best before a
    server forks (`shop/serving.py`), so that nobody who asks it first waits for the words.
    """
    BEFOREHAND.append(kept := cache(worded))
    return kept


def of_one(question: Callable[[], QuerySet]) -> Callable[[int | str], OfOne]:
    """For a function that asks of the row ASKED: to be called with a key, and put into words only once."""

    @beforehand
    def worded(vendor: str) -> Worded:
        return Worded.of(question())

    return lambda key: OfOne(worded(connection.vendor).asking(key))


def _with_words_of_ours(sql: str, parameters: Iterable) -> tuple[str, tuple]:
    """Numbers, days and plain words put where they go, so that SQLite works out a query once.

    Where a parameter may decide how a query goes, SQLite works it out anew for each value that is set, which
    takes several times longer than the answer. What is asked anew each time stays a parameter, and so does
    every word that has more in it than letters, digits and lines.
    """
    if connection.vendor != "sqlite":
        return sql, tuple(parameters)
    first, *rest = HERE_A_VALUE.split(sql)
    words, left = first, []
    for part, value in zip(rest, parameters, strict=True):
        literal = _literal(value)
        words += ("%s" if literal is None else literal) + part
        left += [value] if literal is None else []
    return words, tuple(left)


def _literal(value) -> str | None:
    if value in (ASKED, str(ASKED)):
        return None
    if isinstance(value, int):
        return str(int(value))
    if isinstance(value, date) and not isinstance(value, datetime):
        return f"'{value.isoformat()}'"
    if isinstance(value, str) and PLAIN_WORD.fullmatch(value):
        return f"'{value}'"
    return None


@lru_cache(maxsize=500)
def _among(sql: str, column: str, count: int, vendor: str) -> str:
    """Both databases carry the condition into the query; the keys are parameters, to SQLite a single one."""
    marks = ", ".join(["%s"] * count)
    keys = f"SELECT value FROM json_each({marks})" if vendor == "sqlite" else marks  # noqa: S608
    return f"SELECT * FROM ({sql}) AS asked WHERE {column} IN ({keys})"  # noqa: S608


def read_as(model: type[Model], row: dict) -> Model:
    """One row, of what the database gave for some of its columns, as Django would have read it."""
    columns = {field.attname: field.get_col(model._meta.db_table) for field in model._meta.concrete_fields}
    known = [name for name in columns if name in row]  # in the model's own order
    values = [_converted(row[name], columns[name]) for name in known]
    return model.from_db(connection.alias, known, values)


def _converted(value, column):
    for convert in (*connection.ops.get_db_converters(column), *column.get_db_converters(connection)):
        value = convert(value, column, connection)
    return value
