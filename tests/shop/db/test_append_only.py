import pytest
from django.db import IntegrityError, connection, models, transaction

from instruments.models import AppendOnly, RecordIsPermanent, Statement
from shop.db.append_only import append_only_tables, install_guards, remove_guards, tables_left_open
from shop.models import Payment
from tests.emptying import put_back
from tests.make import make_instrument, make_purchase, somebody

pytestmark = [pytest.mark.django_db, pytest.mark.both]


@pytest.fixture
def statement():
    return Statement.objects.create(
        instrument=make_instrument(), text="Bought new in 1912.", grade="inferred", recorded_by=somebody()
    )


def refused(act):
    """The act meets an IntegrityError, and the transaction around it goes on."""
    with pytest.raises(IntegrityError, match="only ever added to"), transaction.atomic():
        act()


def test_statements_payments_and_purchases_are_guarded():
    assert {Statement._meta.db_table, Payment._meta.db_table, "shop_purchase"} <= set(append_only_tables())


def test_every_append_only_table_has_its_guards():
    assert tables_left_open(connection) == []


def test_database_refuses_to_change_a_row(statement):
    refused(lambda: Statement.objects.filter(pk=statement.pk).update(text="Bought new in 1902."))
    statement.refresh_from_db()
    assert statement.text == "Bought new in 1912."


def test_database_refuses_to_remove_a_row(statement):
    refused(lambda: Statement.objects.filter(pk=statement.pk)._raw_delete(using="default"))
    assert Statement.objects.filter(pk=statement.pk).exists()


def test_database_refuses_to_change_many_rows_at_once():
    purchase = make_purchase(instrument=make_instrument())
    purchase.price_minor = 1
    refused(lambda: type(purchase).objects.bulk_update([purchase], ["price_minor"]))


def test_row_itself_refuses_in_words(statement):
    with pytest.raises(RecordIsPermanent, match="add a correction instead"):
        statement.save()
    with pytest.raises(RecordIsPermanent, match="cannot be removed"):
        statement.delete()


def test_check_names_a_table_that_lost_its_guards():
    remove_guards(using="default")
    assert tables_left_open(connection) == append_only_tables()


@pytest.mark.django_db(transaction=True)
def test_guards_come_back_after_a_migration_that_rebuilt_the_table():
    """SQLite remakes a table to change a column, and its triggers go with the old one."""
    as_it_is = Statement._meta.get_field("place")
    changed = models.CharField(max_length=120, null=True)
    changed.set_attributes_from_name("place")
    alter_field(as_it_is, changed)
    lost = tables_left_open(connection)
    alter_field(changed, as_it_is)
    install_guards(using="default")
    assert lost == (["instruments_statement"] if connection.vendor == "sqlite" else [])
    assert tables_left_open(connection) == []


def alter_field(old, new):
    with connection.schema_editor() as editor:
        editor.alter_field(Statement, old, new)


def test_every_child_of_append_only_is_found():
    assert len(append_only_tables()) == len(children_of(AppendOnly))


def children_of(model) -> list:
    """With the children of those that only gather what others share."""
    children = model.__subclasses__()
    shared = [child for child in children if child._meta.abstract]
    return [child for child in children if child not in shared] + [
        grandchild for child in shared for grandchild in children_of(child)
    ]


@pytest.mark.django_db(transaction=True)
def test_tests_may_empty_the_database_and_the_guards_stand(statement):
    put_back(connection)
    assert Statement.objects.count() == 0
    assert tables_left_open(connection) == []


@pytest.mark.django_db(transaction=True)
def test_guards_that_a_test_took_away_for_good_are_put_back(statement):
    remove_guards(using="default")
    put_back(connection)
    assert tables_left_open(connection) == []


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has no schemas")
def test_guards_of_tables_elsewhere_do_not_count_for_those_a_restore_builds_beside():
    with connection.cursor() as cursor:
        cursor.execute("CREATE SCHEMA beside")
        cursor.execute("CREATE TABLE beside.shop_payment (LIKE shop_payment)")
        cursor.execute("SET LOCAL search_path TO beside")
        assert tables_left_open(connection) == ["shop_payment"]
        install_guards(using="default")
        assert tables_left_open(connection) == []
