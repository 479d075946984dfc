"""Questions to the database that are put into SQL once and asked often.

For a list with many subqueries Django takes several times longer to find the words than the database to
answer. The words depend on the database, on the law of the shop and on what was asked, which is the key under
which a caller keeps them; what is answered is read anew each time.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from django.core.exceptions import EmptyResultSet
from django.db import connection
from django.db.models import Model, QuerySet


@dataclass(frozen=True)
class Worded:
    """A query in SQL with its parameters; `sql` is empty where it can have no answer."""

    sql: str
    parameters: tuple

    @classmethod
    def of(cls, rows: QuerySet) -> "Worded":
        try:
            sql, parameters = rows.query.sql_with_params()
        except EmptyResultSet:
            return cls("", ())
        return cls(sql, tuple(parameters))

    def among(self, column: str, keys: Iterable[int]) -> "Worded":
        """The same, of those rows alone whose `column` is one of `keys`."""
        keys = tuple(keys)
        if not keys or not self.sql:
            return Worded("", ())
        marks = ", ".join(["%s"] * len(keys))
        # Both databases carry the condition into the query; the keys are parameters.
        sql = f"SELECT * FROM ({self.sql}) AS asked WHERE {column} IN ({marks})"  # noqa: S608
        return Worded(sql, self.parameters + keys)

    def rows_of(self, model: type[Model]) -> list[Model]:
        return list(model._base_manager.raw(self.sql, self.parameters)) if self.sql else []

    def first_column(self) -> list:
        return [row[0] for row in self.rows()]

    def rows(self) -> list[tuple]:
        """As the database tells them: days and moments are text on SQLite, sums decimals on PostgreSQL."""
        if not self.sql:
            return []
        with connection.cursor() as cursor:
            cursor.execute(self.sql, self.parameters)
            return cursor.fetchall()
