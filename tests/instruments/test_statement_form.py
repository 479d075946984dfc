from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.actions.statements import add_statement, correct_statement
from tests.make import make_instrument

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def send(client, instrument, **said):
    said = {"text": "One family from new", "topic": "owned", "form_token": uuid4().hex} | said
    return client.post(reverse("instruments:statement_add", args=[instrument.stock_number]), said)


def test_a_statement_is_written_down_with_its_teller(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, grade="told", told_by="Wilf Arden", dated="the 1920s")
    statement = instrument.statements.get()
    assert (statement.told_by, statement.dated) == ("Wilf Arden", "192X")


PUBLIC = {"grade": "told", "teller": "last_owner", "is_public": "on"}


@pytest.mark.parametrize("text", ["Wilf Arden bought it new", "Bought by wilf  arden’s aunt"])
def test_a_public_statement_that_names_its_teller_is_refused(signed_in, text):
    instrument = make_instrument()
    page = send(signed_in, instrument, text=text, told_by="Wilf Arden", **PUBLIC).content.decode()
    assert "It names who told it" in page
    assert not instrument.statements.exists()


def test_a_teller_without_a_name_names_nobody(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, text="So the last owner was told", told_by="the last owner", **PUBLIC)
    assert instrument.statements.exists()


def test_a_name_may_stand_in_what_is_kept_to_ourselves(signed_in):
    instrument = make_instrument()
    send(signed_in, instrument, text="Wilf Arden bought it", grade="told", told_by="Wilf Arden")
    assert instrument.statements.exists()


@pytest.mark.parametrize(
    ("grade", "sentence"),
    [
        ("told", "Who told it?"),
        ("document", "Name the document"),
        ("inferred", "Say what it is inferred from."),
    ],
)
def test_each_grade_asks_for_its_source(signed_in, grade, sentence):
    instrument = make_instrument()
    page = send(signed_in, instrument, grade=grade).content.decode()
    assert sentence in page and "One family from new" in page
    assert not instrument.statements.exists()


def test_the_same_form_sent_twice_writes_once(signed_in):
    instrument = make_instrument()
    token = uuid4().hex
    for _ in range(2):
        answer = send(signed_in, instrument, grade="seen", form_token=token)
    assert (answer.status_code, instrument.statements.count()) == (302, 1)


def correction_of(statement) -> str:
    return reverse("instruments:statement_correct", args=[statement.instrument.stock_number, statement.pk])


def test_a_correction_begins_with_the_older_words(signed_in, technician):
    older = add_statement(instrument=make_instrument(), by=technician, text="Made in 1910", grade="seen")
    assert "Made in 1910</textarea>" in signed_in.get(correction_of(older)).content.decode()


def test_a_correction_says_why(signed_in, technician):
    older = add_statement(instrument=make_instrument(), by=technician, text="Made in 1910", grade="seen")
    sent = {"text": "Made in 1912", "topic": "made", "grade": "seen", "form_token": uuid4().hex}
    assert "is still empty" in signed_in.post(correction_of(older), sent).content.decode()
    signed_in.post(correction_of(older), sent | {"supersede_reason": "misread"})
    assert older.superseded_by.supersede_reason == "misread"


def test_a_second_correction_is_refused_on_the_page(signed_in, technician):
    older = add_statement(instrument=make_instrument(), by=technician, text="Made in 1910", grade="seen")
    correct_statement(statement=older, reason="misread", by=technician, text="Made in 1912", grade="seen")
    sent = {"text": "1913", "topic": "made", "grade": "seen", "supersede_reason": "again"}
    answer = signed_in.post(correction_of(older), sent | {"form_token": uuid4().hex})
    assert "has been corrected already" in answer.content.decode()


def test_a_public_story_says_who_told_it_by_relation(signed_in):
    instrument = make_instrument()
    said = {"grade": "told", "told_by": "Wilf Arden", "is_public": "on"}
    assert "the public reads it in place of the name" in send(signed_in, instrument, **said).content.decode()
    send(signed_in, instrument, **said, teller="last_owner")
    assert instrument.statements.get().teller == "last_owner"


def test_an_owner_is_asserted_by_name(signed_in):
    instrument = make_instrument()
    page = send(signed_in, instrument, grade="seen", asserts="owned").content.decode()
    assert "Whom does it name?" in page
    send(signed_in, instrument, grade="seen", asserts="owned", who="the Ardens")
    assert instrument.statements.get().who == "the Ardens"


def test_who_told_it_is_kept_by_a_correction_and_shown_to_those_who_may_see_people(
    client, technician, seller
):
    older = add_statement(
        instrument=make_instrument(), by=seller, text="New in 1910", grade="told", told_by="Canary Seller"
    )
    for person, sees_it in ((technician, False), (seller, True)):
        client.force_login(person)
        assert ("Canary Seller" in client.get(correction_of(older)).content.decode()) == sees_it
    client.force_login(technician)
    sent = {"text": "New in 1911", "topic": "made", "grade": "told", "supersede_reason": "misheard"}
    client.post(correction_of(older), sent | {"form_token": uuid4().hex})
    assert older.superseded_by.told_by == "Canary Seller"


def test_nobody_has_told_it_in_days_to_come(signed_in):
    instrument = make_instrument()
    tomorrow = timezone.localdate() + timedelta(days=1)
    page = send(signed_in, instrument, grade="told", told_by="Wilf Arden", told_on=tomorrow.isoformat())
    assert "That day has not come yet." in page.content.decode()
    assert not instrument.statements.exists()
