"""What is put into a question once, and what stays a parameter of it."""

import pytest
from django.db import connection

from instruments.models import Instrument
from instruments.models.worded import Worded
from tests.make import make_instrument

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("word", ["o'; DROP TABLE x; --", "%s", "100%", 'a"b', "-1", "a\n", "ß", ""])
def test_a_word_that_is_not_plain_finds_what_it_says(word):
    its = make_instrument(maker=word or "Corrin", model=word)
    found = Worded.of(Instrument.objects.filter(model=word).order_by("id").values_list("pk", "model"))
    assert (its.pk, word) in found.rows()


def test_only_plain_words_are_put_into_the_question():
    found = Worded.of(Instrument.objects.filter(maker="it's", kind="grand", key_count=85).values("pk"))
    left = ("it's",) if connection.vendor == "sqlite" else ("it's", "grand", 85)
    assert set(found.parameters) == set(left)


def test_among_keeps_to_the_keys_named():
    first, _second, third = (make_instrument() for _ in range(3))
    rows = Worded.of(Instrument.objects.order_by().values("pk"))
    assert set(rows.among("pk", [first.pk, third.pk]).first_column()) == {first.pk, third.pk}
    assert rows.among("pk", []).rows() == []


def test_keys_come_in_the_order_asked_for():
    pks = [make_instrument(height_cm=height).pk for height in (120, 140, 130)]
    keys = Worded.of(Instrument.objects.order_by("-height_cm").values("pk")[:2]).keys()
    assert keys == [pks[1], pks[2]]
    assert Worded.of(Instrument.objects.none().values("pk")[:2]).keys() == []
