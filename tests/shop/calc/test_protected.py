"""What stands in the way by law. Ivory Act 2018 ss 8, 38; the certificate: trade bodies, May 2022."""

import pytest

from shop.calc.protected import UK_BY_DATE, protected_material_sentence


def sentence(**known) -> str:
    return protected_material_sentence(
        **{"jurisdiction": "uk", "natural_covering": "ivory", "sharp_covering": "ebony"} | known
    )


@pytest.mark.parametrize(
    ("made", "documented", "age"),
    [
        ("1979", False, "later"),
        ("", False, "unproven"),
        ("1974~", False, "unproven"),
        ("1974~", True, "before 1975"),
        ("197X", True, "unproven"),
        ("1947", True, "before 1975"),
        ("1947-03-02", True, "before 1947"),
    ],
)
def test_uk_ivory_is_told_by_its_date(made, documented, age):
    said = sentence(made=made, documented=documented)
    assert [words for words in UK_BY_DATE.values() if words and words in said] == list(
        filter(None, [UK_BY_DATE[age]])
    )


def test_the_date_is_not_spoken_of_where_nobody_knows_that_it_is_ivory():
    assert "1975" not in sentence(natural_covering="unknown", made="1979")


def test_no_other_law_is_told_by_the_uk_dates():
    assert "cannot be registered" not in sentence(jurisdiction="us", made="1979")


@pytest.mark.parametrize("jurisdiction", ["uk", "eu", "us", "other"])
def test_every_sentence_defers_to_the_law_in_force(jurisdiction):
    assert sentence(jurisdiction=jurisdiction).endswith("this is not legal advice.")
