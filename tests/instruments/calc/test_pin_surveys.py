from decimal import Decimal

import pytest

from instruments.calc import pin_surveys
from instruments.calc.pin_surveys import Change, Line

FIVE = Line("5 N·m", Decimal(5))


def change(before, after):
    return pin_surveys.changes({(40, 1): Decimal(before)}, {(40, 1): Decimal(after)}, [FIVE])[0]


# A fifth lost, or a line passed on the way down: our own rule, common practice, no source.
@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("8", "6.3", "gave way"),
        ("8", "6.4", "gave way"),
        ("8", "6.5", "somewhat looser"),
        ("8", "7.2", "held"),
        ("8", "8.8", "held"),
        ("8", "9", "tighter"),
        ("5.6", "4.9", "gave way, now below 5 N·m"),
        ("5.1", "4.9", "held"),
        ("4.9", "4.2", "somewhat looser"),
    ],
)
def test_what_became_of_a_pin_is_said_in_words(before, after, words):
    assert change(before, after).words == words


def test_only_pins_read_both_times_are_compared():
    before, after = {(40, 1): Decimal(8), (41, 1): Decimal(8)}, {(41, 1): Decimal(7), (42, 1): Decimal(8)}
    assert pin_surveys.changes(before, after, []) == [Change((41, 1), Decimal(8), Decimal(7))]


@pytest.mark.parametrize(
    ("pairs", "days", "sentence"),
    [
        ([], 42, "After six weeks: no pin was read both times."),
        ([("8", "8")], 1, "After one day: of one pin read twice, none gave way."),
        ([("8", "5"), ("8", "8")], 42, "After six weeks: of two pins read twice, one gave way."),
        ([("8", "8")], 91, "After 13 weeks: of one pin read twice, none gave way."),
    ],
)
def test_what_held_is_said_with_how_long(pairs, days, sentence):
    assert pin_surveys.changes_sentence([change(*pair) for pair in pairs], days) == sentence


def test_a_survey_names_its_lowest_pin_in_both_units():
    readings = {(40, 2): Decimal("3.3895"), (40, 1): Decimal(9)}
    said = pin_surveys.survey_sentence(readings, is_whole=False)
    assert said == "Two pins read, a sample. The lowest: C4, string 2, 3.4 N·m (30 lbf·in)."


def test_bands_are_counted_lowest_first():
    counted = pin_surveys.band_counts([Decimal(9), Decimal(3), Decimal("9.5")])
    assert [(band.name, count) for band, count in counted] == [("published as failing", 1), ("good", 2)]


def test_no_word_passes_or_fails_a_plank():
    words = " ".join(f"{band.name} {band.sentence}" for band, _ in pin_surveys.band_counts([Decimal(1)] * 2))
    assert "plank" not in words and "pass" not in words


@pytest.mark.parametrize(
    ("torque", "unit", "sentence"),
    [("9", "N·m", ""), ("90", "N·m", "another unit"), ("90", "lbf·in", ""), ("-1", "N·m", "negative")],
)
def test_a_reading_in_the_wrong_unit_is_asked_after(torque, unit, sentence):
    said = pin_surveys.reading_problem(Decimal(torque), unit, "C4, string 1")
    assert sentence in said and bool(sentence) == bool(said)


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("50", "42", "8 points of humidity drier"),
        ("40", "55.5", "15.5 points"),
        ("50", "47", ""),
        (None, "50", "not written"),
    ],
)
def test_the_air_is_named_where_it_may_explain_a_change(before, after, words):
    said = pin_surveys.air_sentence(before and Decimal(before), Decimal(after))
    assert words in said and bool(words) == bool(said)
