"""Finding words in a column of folded text: through an index where they are rare, by reading on where not.

Both databases have an index of every three letters in a row (`shop/db/search_index.py`), which gives all that
have a word: for a common one far more than a page, and such a word is met soon enough by reading the newest
first. One word that a few have is enough: those few rows are read for the others. SQLite says besides how
many have all the words together. PostgreSQL is asked of each word alone, first among the newest: its own
guess at how many have "8679" may send it through the whole table.
"""

import unicodedata

from django.db import connection, models
from django.db.models import Q

SHORTEST_INDEXED = 3
A_FEW, MANY = 200, 2_000
NEWEST, FEW = 200, 4  # a word that so many of the newest have is common


def folded(text: str) -> str:
    """Lower case without accents, so that both databases find alike; PostgreSQL cannot be asked about NUL."""
    plain = unicodedata.normalize("NFKD", text.casefold()).replace("\0", "")
    return "".join(letter for letter in plain if not unicodedata.combining(letter))


def index_of(table: str) -> str:
    return f"{table}_words"


@models.TextField.register_lookup
class Indexed(models.Lookup):
    """`search_text__indexed=("word", …)`: all the words, each of three letters or more, by the index."""

    lookup_name = "indexed"
    prepare_rhs = False

    def as_sqlite(self, compiler, connection):
        quote = connection.ops.quote_name
        index = quote(index_of(self.lhs.target.model._meta.db_table))
        found = f"SELECT rowid FROM {index} WHERE {index} MATCH %s"  # noqa: S608
        return f"{self._key(quote)} IN ({found})", [_matched(self.rhs)]

    def as_postgresql(self, compiler, connection):
        """Found before anything else is looked at, so that no order of the rows can seem cheaper."""
        quote = connection.ops.quote_name
        column, model = quote(self.lhs.target.column), self.lhs.target.model
        having = " AND ".join([f"{column} LIKE %s"] * len(self.rhs))
        key, table = quote(model._meta.pk.column), quote(model._meta.db_table)
        found = f"SELECT {key} FROM {table} WHERE {having}"  # noqa: S608
        return f"{self._key(quote)} = ANY(ARRAY({found}))", _anywhere(self.rhs)

    def _key(self, quote) -> str:
        return f"{quote(self.lhs.alias)}.{quote(self.lhs.target.model._meta.pk.column)}"


def _matched(words: tuple[str, ...]) -> str:
    """As FTS5 is asked for words that stand anywhere: each a phrase in quotation marks."""
    return " ".join('"{}"'.format(word.replace('"', '""')) for word in words)


def _anywhere(words: list[str]) -> list[str]:
    return [f"%{connection.ops.prep_for_like_query(word)}%" for word in words]


def rare_words(model: type[models.Model], text: str) -> tuple[str, ...]:
    """Those of the words by which the index brings the rows sooner than reading on; often there are none."""
    words = _indexed(folded(text).split())
    if not words:
        return ()
    return _rare_on_sqlite(model, words) if connection.vendor == "sqlite" else _rarest(model, words)


def _rare_on_sqlite(model: type[models.Model], words: list[str]) -> tuple[str, ...]:
    """The first word that a few have at most; else all of them, unless many have them all together."""
    index = connection.ops.quote_name(index_of(model._meta.db_table))
    tried = [((word,), A_FEW) for word in words] + [(tuple(words), MANY)]
    # Named, quoted and counted by us; the words are parameters.
    cases = " ".join(
        f"WHEN (SELECT COUNT(*) FROM (SELECT 1 FROM {index} WHERE {index} MATCH %s LIMIT {most})) < {most}"  # noqa: S608
        f" THEN {place}"
        for place, (_, most) in enumerate(tried)
    )
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT CASE {cases} END", [_matched(some) for some, _ in tried])
        place = cursor.fetchone()[0]
    return () if place is None else tried[place][0]


def _rarest(model: type[models.Model], words: list[str]) -> tuple[str, ...]:
    """The one word that fewest rows have, where those are few."""
    quote = connection.ops.quote_name
    table, key = quote(model._meta.db_table), quote(model._meta.pk.column)
    # A word that the newest have is not counted further: its count stays empty.
    count = (
        f"CASE WHEN (SELECT COUNT(*) FROM newest WHERE search_text LIKE %s) < {FEW} THEN"  # noqa: S608
        f" (SELECT COUNT(*) FROM (SELECT 1 FROM {table} WHERE search_text LIKE %s LIMIT {MANY}) AS found) END"
    )
    newest = f"SELECT search_text FROM {table} ORDER BY {key} DESC LIMIT {NEWEST}"  # noqa: S608
    asked = [each for like in _anywhere(words) for each in (like, like)]
    with connection.cursor() as cursor:
        cursor.execute(
            f"WITH newest AS MATERIALIZED ({newest}) SELECT {', '.join([count] * len(words))}", asked
        )
        counts = dict(zip(words, cursor.fetchone(), strict=True))
    few = {word: found for word, found in counts.items() if found is not None and found < MANY}
    return (min(few, key=few.get),) if few else ()


def holding(text: str, *, rare: tuple[str, ...]) -> Q:
    """Rows whose `search_text` holds every word of the text, anywhere; `rare` is what `rare_words` said."""
    asked = Q(search_text__indexed=rare) if rare else Q()
    for word in folded(text).split():
        if word not in rare:
            asked &= Q(search_text__contains=word)
    return asked


def _indexed(words: list[str]) -> list[str]:
    return [word for word in words if len(word) >= SHORTEST_INDEXED]
