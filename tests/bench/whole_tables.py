"""Which pages read a whole large table, on either database.

PostgreSQL tells what a query read. SQLite tells which tables it would begin to read from one end, and how
many steps it took: a list that begins at its newest rows stops soon, and takes no more in a full shop.
"""

import json
import re
from collections import Counter
from collections.abc import Iterator

from django.db import connection, transaction

from tests.bench.bench_growth import addresses
from tests.bench.ground import Shop

LARGE = 1_000
AT_A_TIME = 100  # steps of SQLite between two looks at their count
Asked = list[tuple[str, str]]  # a page, and what it asked
Steps = dict[tuple[str, str], int]  # by page and table


def asked_by_pages(shop: Shop) -> Asked:
    asked = []
    for name, (path, stranger) in addresses(shop).items():
        try:
            queries = shop.queries(path, stranger=stranger)
        except RuntimeError:
            continue
        selects = (each["sql"] for each in queries if each["sql"].lstrip("(").startswith("SELECT"))
        asked += [(name, question) for sql in selects for question in apart(sql)]
    return asked


def apart(sql: str) -> list[str]:
    """What was asked together in one query (`instruments.models.together`), each question by itself."""
    if not sql.startswith("SELECT (SELECT json"):
        return [sql]
    found, depth, begun = [], 0, 0
    for part in re.finditer(r"'(?:[^']|'')*'|\"[^\"]*\"|[()]", sql):
        if part.group() == "(":
            depth += 1
            begun = part.end() if depth == 1 else begun
        elif part.group() == ")":
            depth -= 1
            found += [sql[begun : part.start()]] if depth == 0 else []
    return found


def read_whole(shop: Shop, asked: Asked, few: Steps | None = None) -> list[str]:
    """Each page with a table of over a thousand rows that one of its queries read whole.

    `few`: what the same pages take of a small shop, on SQLite.
    """
    with shop.open():
        tables = _large_tables()
        if connection.vendor == "postgresql":
            found = {(name, table) for name, sql in asked for table in _read_by_postgres(sql) & tables.keys()}
        else:
            found = _read_by_sqlite(steps_of(asked), tables, few or {})
    return sorted(f"{name}: {table}" for name, table in found)


def read_whole_without(shop: Shop, asked: Asked, few: Steps, table: str, column: str) -> list[str]:
    """The same while there is no index on that column."""
    with shop.open(), transaction.atomic():
        with connection.cursor() as cursor:
            kept = connection.introspection.get_constraints(cursor, table)
            for name, each in kept.items():
                if each["index"] and each["columns"][:1] == [column]:
                    cursor.execute(f"DROP INDEX {connection.ops.quote_name(name)}")
        found = read_whole(shop, asked, few)
        transaction.set_rollback(True)
    return found


def steps_in(shop: Shop) -> Steps:
    """Of a small shop, to hold a full one against; nothing on PostgreSQL, which needs none."""
    with shop.open():
        return {} if connection.vendor == "postgresql" else steps_of(asked_by_pages(shop))


def steps_of(asked: Asked) -> Steps:
    """By page and table, how many steps SQLite took in queries that begin at one end of that table."""
    connection.ensure_connection()
    database, taken = connection.connection, Counter()
    for name, sql in asked:
        begun = _begun_at_an_end(database, sql)
        steps = _steps(database, sql) if begun else 0
        for table in begun:
            taken[name, table] += steps
    return dict(taken)


def _large_tables() -> dict[str, int]:
    with connection.cursor() as cursor:
        counts = {}
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT count(*) FROM {connection.ops.quote_name(table)}")
            counts[table] = cursor.fetchone()[0]
    return {table: count for table, count in counts.items() if count > LARGE}


def _read_by_postgres(sql: str) -> set[str]:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("EXPLAIN (ANALYZE, FORMAT JSON) " + sql.replace("%", "%%"), ())
        plan = cursor.fetchone()[0]
    plan = json.loads(plan) if isinstance(plan, str) else plan
    return {table for table, rows in _sequential(plan[0]["Plan"]) if rows > LARGE}


def _sequential(node: dict) -> Iterator[tuple[str, int]]:
    if node["Node Type"] == "Seq Scan":
        yield node["Relation Name"], node["Actual Rows"] + node.get("Rows Removed by Filter", 0)
    for below in node.get("Plans", ()):
        yield from _sequential(below)


def _read_by_sqlite(taken: Steps, tables: dict[str, int], few: Steps) -> set[tuple[str, str]]:
    """A whole table takes a step for each of its rows at the least, and so many more in a full shop."""
    return {
        (name, table)
        for (name, table), steps in taken.items()
        if steps > max(tables.get(table, steps), 2 * few.get((name, table), 0))
    }


def _begun_at_an_end(database, sql: str) -> set[str]:
    """Tables, not indexes, that the program of the query goes through from one end."""
    kept = database.execute("SELECT rootpage, name FROM sqlite_master WHERE type = 'table' AND rootpage > 0")
    name_of, opened, begun = dict(kept.fetchall()), {}, set()
    for _, act, first, second, *_ in database.execute(f"EXPLAIN {sql}").fetchall():
        if act == "OpenRead":
            opened[first] = name_of.get(second)
        elif act in {"Rewind", "Last"} and opened.get(first):
            begun.add(opened[first])
    return begun


def _steps(database, sql: str) -> int:
    count = 0

    def one_more() -> int:
        nonlocal count
        count += AT_A_TIME
        return 0

    database.set_progress_handler(one_more, AT_A_TIME)
    try:
        database.execute(sql).fetchall()
    finally:
        database.set_progress_handler(None, 0)
    return count
