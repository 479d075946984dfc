"""The index behind the search: in step with the table, kept by the database, and found with any words."""

import pytest
from django.db import connection

from instruments.models import Instrument, folded, holding, rare_words
from instruments.models.searching import index_of
from shop.db.search_index import install_search_index
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.both]

INDEX = index_of("instruments_instrument")
WORDS = [
    "ook",
    "HALDEN rook",
    "3187",
    "31874 halden",
    '"',
    'ro"ok',
    "a*",
    "AND",
    "50%",
    "_",
    "œuvre",
    "no such",
    "",
]


def with_words(words: str) -> Instrument:
    instrument = make.make_instrument()
    Instrument.objects.filter(pk=instrument.pk).update(search_text=words)
    return instrument


def found(words: str, *, rare: bool) -> list[int]:
    long = tuple(word for word in folded(words).split() if len(word) >= 3) if rare else ()
    return sorted(Instrument.objects.filter(holding(words, rare=long)).values_list("pk", flat=True))


def in_step() -> bool:
    """FTS5 holds its own index against the table, row by row."""
    with connection.cursor() as cursor:
        try:
            cursor.execute(f"INSERT INTO {INDEX}({INDEX}, rank) VALUES ('integrity-check', 1)")
        except Exception as error:
            assert "malformed" in str(error)
            return False
    return True


@pytest.mark.parametrize("words", WORDS)
def test_the_index_finds_what_reading_finds(words):
    for text in ("halden & rook\n31874\nœuvre", 'ro"ok 50% _ and', "halden ook", "a*b 3187"):
        with_words(text)
    assert found(words, rare=True) == found(words, rare=False)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="FTS5 is of SQLite")
def test_the_index_is_in_step_after_each_change_and_is_mended_by_migrate():
    kept, gone = with_words("walnut"), with_words("rosewood")
    Instrument.objects.filter(pk=kept.pk).update(search_text="mahogany")
    gone.delete()
    assert in_step() and found("mahogany", rare=True) == [kept.pk] and not found("walnut", rare=True)
    with connection.cursor() as cursor:
        cursor.execute(f"DROP TRIGGER {INDEX}_changed")
    Instrument.objects.filter(pk=kept.pk).update(search_text="satinwood")
    assert not found("satinwood", rare=True)
    install_search_index(using="default")
    assert in_step() and found("satinwood", rare=True) == [kept.pk]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL is asked of each word alone")
def test_what_many_hold_is_read_and_what_few_hold_is_looked_up(monkeypatch):
    monkeypatch.setattr("instruments.models.searching.A_FEW", 2)
    monkeypatch.setattr("instruments.models.searching.MANY", 3)
    for words in ("oak 1", "oak 2", "oak elm 3", "elm 4", "walnut 5"):
        with_words(words)
    asked = ("walnut", "elm", "oak", "oak walnut", "oak elm", "no such", "oa", "")
    assert [rare_words(Instrument, words) for words in asked] == [
        ("walnut",),
        ("elm",),
        (),
        ("walnut",),  # one has it, and is read for the other word
        ("oak", "elm"),  # two or three have either, one has both
        ("such",),
        (),
        (),
    ]


@pytest.mark.skipif(connection.vendor != "sqlite", reason="FTS5 is of SQLite")
def test_an_index_of_before_is_made_into_one_piece_and_kept_in_few():
    with connection.cursor() as cursor:

        def told(question: str) -> int:
            cursor.execute(question)
            return cursor.fetchone()[0]

        cursor.execute(f"INSERT INTO {INDEX}({INDEX}, rank) VALUES ('automerge', 0)")
        for number in range(9):
            with_words(f"oak {number}")
        pieces = f"SELECT COUNT(DISTINCT segid) FROM {INDEX}_idx"
        assert told(pieces) > 4
        install_search_index(using="default")
        assert told(pieces) == 1
        assert told(f"SELECT v FROM {INDEX}_config WHERE k = 'automerge'") == 2
    assert in_step()


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite counts all the words together")
def test_the_rarest_word_is_looked_up_where_neither_the_newest_nor_many_have_it(monkeypatch):
    monkeypatch.setattr("instruments.models.searching.NEWEST", 2)
    monkeypatch.setattr("instruments.models.searching.FEW", 2)
    monkeypatch.setattr("instruments.models.searching.MANY", 3)
    for words in ("ash", "ash", "ash", "elm", "elm", "oak walnut", "oak elm"):
        with_words(words)
    asked = ("walnut", "elm walnut", "elm", "oak", "oak ash", "ash", "walnut 50%", "such_", "oa", "")
    assert [rare_words(Instrument, words) for words in asked] == [
        ("walnut",),
        ("walnut",),
        (),  # three have it
        (),  # both of the newest have it
        (),
        (),
        ("50%",),
        ("such_",),
        (),
        (),
    ]


@pytest.mark.skipif(connection.vendor != "postgresql", reason="pg_trgm is of PostgreSQL")
def test_a_rare_word_is_looked_up_whatever_the_order_and_however_many_are_wanted():
    rows = (
        Instrument.objects.filter(holding("31874 walnut", rare=("31874",))).order_by("-id").values("pk")[:1]
    )
    asked, words = rows.query.sql_with_params()
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute(f"EXPLAIN {asked}", words)
        plan = "\n".join(row for (row,) in cursor.fetchall())
    assert INDEX in plan and plan.index("InitPlan") < plan.index(INDEX)


@pytest.mark.skipif(connection.vendor != "postgresql", reason="pg_trgm is of PostgreSQL")
def test_an_index_of_before_leaves_nothing_to_be_put_in_order():
    def kept() -> list[str]:
        cursor.execute("SELECT reloptions FROM pg_class WHERE relname = %s", [INDEX])
        return cursor.fetchone()[0]

    with connection.cursor() as cursor:
        cursor.execute(f"ALTER INDEX {INDEX} RESET (fastupdate)")
        assert kept() is None
        install_search_index(using="default")
        assert kept() == ["fastupdate=off"]
    assert found("31874", rare=True) == []


@pytest.mark.skipif(connection.vendor != "postgresql", reason="pg_trgm is of PostgreSQL")
def test_postgres_looks_words_up_in_an_index():
    rows = Instrument.objects.order_by().filter(search_text__contains="31874").values("pk")
    asked, words = rows.query.sql_with_params()
    with connection.cursor() as cursor:
        cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute(f"EXPLAIN {asked}", words)
        assert INDEX in "\n".join(row for (row,) in cursor.fetchall())
