"""What was found and measured, put on file for or against what is said."""

import hashlib
import json
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.chain import CAME_LATER, row_hash
from instruments.calc.condition.comparing import Value
from instruments.models import Evidence
from instruments.standings import standing_of
from tests.instruments.chains import breaks_of
from tests.make import make_evidence, make_line, make_report, make_statement

pytestmark = pytest.mark.django_db


def restrung(instrument, text: str):
    said = {"topic": "strings", "asserts": "restrung", "dated": "1985"}
    return make_statement(instrument=instrument, text=text, **said)


@pytest.fixture
def report():
    return make_report()


@pytest.fixture
def statement(report):
    return restrung(report.instrument, "Restrung in 1985")


@pytest.fixture
def line(report):
    values = [Value("strings_renewed", "strings renewed", Decimal(0), unit="strings")]
    return make_line(report=report, part="strings", note="Dull in the coils", values=values)


def put_on_file(client, statement, rests_on: str):
    address = reverse("instruments:evidence_add", args=[statement.instrument.stock_number, statement.pk])
    sent = {"side": "against", "strength": "strong", "note": "Old wire", "rests_on": rests_on}
    return client.post(address, sent | {"form_token": uuid4().hex})


@pytest.mark.parametrize("kind", ["finding", "measured_value", "report"])
def test_each_kind_can_be_chosen_and_speaks_against_what_is_said(client, technician, statement, line, kind):
    client.force_login(technician)
    keys = {"finding": line.pk, "measured_value": line.values.get().pk, "report": line.report_id}
    put_on_file(client, statement, f"{kind}-{keys[kind]}")
    assert getattr(Evidence.objects.get(), f"{kind}_id") == keys[kind]
    assert standing_of(statement).name == "contradicted"


def test_the_statements_page_says_what_the_piece_rests_on(client, technician, statement, line):
    client.force_login(technician)
    make_evidence(statement=statement, side="against", measured_value=line.values.get())
    make_evidence(statement=statement, side="against", report=line.report)
    address = reverse("instruments:statement_page", args=[statement.instrument.stock_number, statement.pk])
    page = client.get(address).content.decode()
    assert "Measured: Strings: strings renewed: 0" in page
    assert "Condition report: As bought, 21 March 2026" in page


def test_a_figure_and_the_finding_it_belongs_to_are_one_source(statement, line):
    """Weak evidence counts by its sources: one finding told twice must not weigh as two."""
    for rests_on in ({"finding": line}, {"measured_value": line.values.get()}):
        make_evidence(statement=statement, side="against", strength="fair", **rests_on)
    once = standing_of(statement).name
    assert once == standing_with_one(statement, line)


def standing_with_one(statement, line) -> str:
    other = restrung(statement.instrument, "New wire in 1985")
    make_evidence(statement=other, side="against", strength="fair", finding=line)
    return standing_of(other).name


def test_the_chain_holds_with_the_new_kinds(statement, line):
    make_evidence(statement=statement, measured_value=line.values.get())
    make_evidence(statement=statement, report=line.report)
    assert breaks_of(statement.instrument) == []


def test_a_link_hashed_before_there_were_measured_values_still_holds(statement):
    plain = make_evidence(statement=statement)
    columns = Evidence.objects.values().get(pk=plain.pk)
    before = {name: columns[name] for name in columns if name not in CAME_LATER["evidence"]}
    words = json.dumps(before, sort_keys=True, ensure_ascii=False, default=lambda moment: moment.isoformat())
    assert row_hash(plain) == hashlib.sha256(words.encode()).hexdigest()
