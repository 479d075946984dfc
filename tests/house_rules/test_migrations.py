import pytest
from django.db import migrations, models
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.state import ModelState, ProjectState
from django.db.models import Q

from tests.house_rules.migrations import ALLOWED, BEFORE_THE_RULE, too_soon

WORDS = models.CharField(max_length=20)
ADD, ALTER = migrations.AddField, migrations.AlterField
NEW_TABLE = migrations.CreateModel("Till", [("id", models.BigAutoField(primary_key=True))])
FILL = migrations.RunPython(lambda apps, schema_editor: None)


@pytest.fixture(scope="module")
def loader():
    return MigrationLoader(None, ignore_no_migrations=True)


def state():
    before = ProjectState()
    before.add_model(
        ModelState("shop", "Payment", [("id", models.BigAutoField(primary_key=True)), ("till", WORDS)])
    )
    return before


def judged(*operations):
    return too_soon("shop", operations, state())


def test_migrations_can_be_lived_with_by_the_release_before_them(loader):
    breaches = {
        f"{app}.{name}": found
        for (app, name), migration in loader.disk_migrations.items()
        if int(name[:4]) > BEFORE_THE_RULE.get(app, 9_999)
        and (found := too_soon(app, migration.operations, loader.project_state((app, name), at_end=False)))
    }
    assert breaches.keys() == ALLOWED.keys(), breaches


def test_migrations_before_the_rule_are_those_that_are_there(loader):
    for app, last in BEFORE_THE_RULE.items():
        assert any(name.startswith(f"{last:04}_") for at, name in loader.disk_migrations if at == app)


@pytest.mark.parametrize(
    "operation",
    [
        ADD("payment", "slip", models.CharField(max_length=20, default="")),
        ADD("payment", "slip", models.BooleanField(default=False)),
        migrations.RemoveField("payment", "till"),
        migrations.RenameField("payment", "till", "desk"),
        migrations.DeleteModel("Payment"),
        migrations.RenameModel("Payment", "Taking"),
        migrations.AlterModelTable("Payment", "takings"),
        migrations.AlterUniqueTogether("payment", {("till",)}),
        migrations.AddConstraint("payment", models.CheckConstraint(condition=~Q(till=""), name="has_a_till")),
        migrations.RunSQL("DROP TABLE shop_payment"),
        migrations.SeparateDatabaseAndState([migrations.RemoveField("payment", "till")]),
        ALTER("payment", "till", models.CharField(max_length=10)),
        ALTER("payment", "till", models.CharField(max_length=20, unique=True)),
        ALTER("payment", "till", models.IntegerField()),
        ALTER("payment", "till", models.CharField(max_length=20, db_column="desk")),
    ],
    ids=lambda operation: operation.describe(),
)
def test_what_the_older_release_cannot_live_with_is_seen(operation):
    assert len(judged(operation)) == 1


@pytest.mark.parametrize(
    "operation",
    [
        NEW_TABLE,
        ADD("payment", "slip", models.CharField(max_length=20, null=True)),
        ADD("payment", "slip", models.CharField(max_length=20, default="", db_default="")),
        ADD("payment", "kinds", models.ManyToManyField("shop.Payment")),
        ALTER("payment", "till", models.CharField("desk", max_length=20, blank=True, choices=[("a", "A")])),
        ALTER("payment", "till", models.CharField(max_length=40)),
        ALTER("payment", "till", models.CharField(max_length=20, null=True)),
        migrations.AddIndex("payment", models.Index(fields=["till"], name="payment_by_till")),
        FILL,
    ],
    ids=lambda operation: operation.describe(),
)
def test_what_only_adds_or_widens_is_right(operation):
    assert judged(operation) == []


def test_new_table_may_have_what_columns_and_constraints_it_likes():
    constraint = models.CheckConstraint(condition=~Q(name=""), name="till_has_a_name")
    assert judged(NEW_TABLE, ADD("till", "name", WORDS), migrations.AddConstraint("till", constraint)) == []


def test_rows_are_filled_by_a_migration_of_their_own():
    slip = ADD("payment", "slip", models.CharField(max_length=20, null=True))
    assert len(judged(slip, FILL)) == 1
    assert judged(NEW_TABLE, ADD("till", "name", WORDS), FILL) == []
