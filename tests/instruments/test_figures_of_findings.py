"""Findings of before hold one figure each; the migration makes a measured value of it."""

from decimal import Decimal
from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection

from instruments.models import Finding
from tests.make import A_DAY, make_instrument

pytestmark = pytest.mark.django_db
migration = import_module("instruments.migrations.0008_figures_of_findings")


def older_finding(by, **figure) -> Finding:
    return Finding.objects.create(
        instrument=make_instrument(), part="pins", condition="sound", found_on=A_DAY, found_by=by, **figure
    )


def copy_figures() -> None:
    migration.copy_figures(apps, SimpleNamespace(connection=connection))


def test_a_figure_reads_as_it_did(technician):
    finding = older_finding(technician, value=Decimal("5.8"), unit="N·m")
    copy_figures()
    assert finding.value_words == "5.8 N·m"


def test_it_is_copied_once_and_nothing_is_made_of_nothing(technician):
    with_figure, without = older_finding(technician, value=3, unit="mm"), older_finding(technician)
    copy_figures()
    copy_figures()
    assert (with_figure.values.count(), without.values.count()) == (1, 0)
