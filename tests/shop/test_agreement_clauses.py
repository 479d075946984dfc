import json
from string import Template

import pytest

from shop.documents.clauses import (
    AT_A_DISTANCE,
    CIRCUMSTANCES,
    KEEPING_IS_BUYING,
    PART_EXCHANGE,
    PLACES,
    REGISTERED,
    standard_clauses,
)


def headings(*circumstances) -> list[str]:
    return [clause.heading for clause in standard_clauses().for_agreement(*circumstances)]


def test_the_standard_terms_speak_to_what_an_agreement_must_state():
    # Sale of Goods Act 1979 s.18 rule 4(b) on silence; Consumer Rights Act 2015 s.20(12) on part exchange;
    # Consumer Contracts Regulations 2013 reg. 30(3) on cancelling; the rest is common practice, no source.
    words = " ".join(clause.text for _, clause in standard_clauses().clauses)
    for said in (
        "the instrument belongs to us",
        "The trial ends on $last_day",
        "If we hear nothing, you have not bought it",
        "stays shorter than three months",
        "Only we, or movers we send",
        "do not sell it, lend it, pledge it",
        "at $humidity relative humidity",
        "Tuning and adjustment during the trial are for us to arrange",
        "household policy covers an instrument that is not your own",
        "For insurance its value is $price",
        "Fetching it at the end costs you nothing",
        "stays in your name as credit",
        "neither altered nor sold",
        "registered under $registration",
        "the fourteenth day after the day on which the instrument reached you",
        "Nothing here takes away a right that the law gives you",
    ):
        assert said in words


def test_an_agreement_across_the_counter_has_no_right_to_cancel():
    assert "Your right to cancel" not in headings()
    assert "Your right to cancel" in headings(AT_A_DISTANCE)


def test_clauses_of_a_circumstance_keep_their_order_in_the_file():
    everything = headings(PART_EXCHANGE, REGISTERED, AT_A_DISTANCE)
    in_file = [clause.heading for when, clause in standard_clauses().clauses if when != KEEPING_IS_BUYING]
    assert everything == in_file
    assert [each for each in everything if each in headings()] == headings()


def test_an_unknown_circumstance_is_refused():
    with pytest.raises(ValueError, match="on a boat"):
        standard_clauses().for_agreement("on a boat")


def test_every_placeholder_is_one_that_an_agreement_fills():
    texts = [clause.text for _, clause in standard_clauses().clauses] + list(standard_clauses().cautions)
    assert {name for text in texts for name in Template(text).get_identifiers()} <= PLACES


def test_the_cautions_defer_to_the_law_in_force():
    (caution,) = standard_clauses().cautions
    assert "Check the law in force" in caution
    assert "not legal or credit advice" in caution


@pytest.mark.parametrize(
    "clause", [{"when": "always", "text": "x"}, {"when": "seldom", "heading": "h", "text": "x"}]
)
def test_a_clause_that_is_incomplete_is_named(tmp_path, clause):
    path = tmp_path / "clauses.json"
    path.write_text(json.dumps({"version": "1", "clauses": [clause]}), encoding="utf-8")
    with pytest.raises(ValueError, match="clause 1"):
        standard_clauses(path)


def test_every_circumstance_has_a_clause():
    assert {when for when, _ in standard_clauses().clauses} == CIRCUMSTANCES
