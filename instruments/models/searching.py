"""Finding words in a column of folded text: through an index where they are rare, by reading on where not.

SQLite: the index holds every three letters in a row (`shop/db/search_index.py`), and gives all that have a
word, which for a common one is far more than a page; such a word is met soon enough by reading the newest
first. PostgreSQL has an index of the same kind and makes that choice itself.
"""

import unicodedata

from django.db import connection, models
from django.db.models import Q

SHORTEST_INDEXED = 3
MANY = 2_000


def folded(text: str) -> str:
    """Lower case without accents, so that both databases find alike; PostgreSQL cannot be asked about NUL."""
    plain = unicodedata.normalize("NFKD", text.casefold()).replace("\0", "")
    return "".join(letter for letter in plain if not unicodedata.combining(letter))


def index_of(table: str) -> str:
    return f"{table}_words"


@models.TextField.register_lookup
class Indexed(models.Lookup):
    """`search_text__indexed=["word", …]`: all the words, each of three letters or more. SQLite alone."""

    lookup_name = "indexed"
    prepare_rhs = False

    def as_sqlite(self, compiler, connection):
        column, quote = self.lhs, connection.ops.quote_name
        index = quote(index_of(column.target.model._meta.db_table))
        key = f"{quote(column.alias)}.{quote(column.target.model._meta.pk.column)}"
        return f"{key} IN (SELECT rowid FROM {index} WHERE {index} MATCH %s)", [_matched(self.rhs)]  # noqa: S608


def _matched(words: list[str]) -> str:
    """As FTS5 is asked for words that stand anywhere: each a phrase in quotation marks."""
    return " ".join('"{}"'.format(word.replace('"', '""')) for word in words)


def are_rare(model: type[models.Model], text: str) -> bool:
    """Whether so few rows hold these words that the index brings them sooner than reading on."""
    words = _indexed(folded(text).split())
    if connection.vendor != "sqlite" or not words:
        return False
    index = connection.ops.quote_name(index_of(model._meta.db_table))
    with connection.cursor() as cursor:
        # Named and quoted by us; the words are a parameter.
        cursor.execute(
            f"SELECT COUNT(*) FROM (SELECT 1 FROM {index} WHERE {index} MATCH %s LIMIT {MANY})",  # noqa: S608
            [_matched(words)],
        )
        return cursor.fetchone()[0] < MANY


def holding(text: str, *, rare: bool) -> Q:
    """Rows whose `search_text` holds every word of the text, anywhere; `rare` is the answer of `are_rare`."""
    words = folded(text).split()
    indexed = _indexed(words) if rare else []
    asked = Q(search_text__indexed=indexed) if indexed else Q()
    for word in words:
        if word not in indexed:
            asked &= Q(search_text__contains=word)
    return asked


def _indexed(words: list[str]) -> list[str]:
    return [word for word in words if len(word) >= SHORTEST_INDEXED]
