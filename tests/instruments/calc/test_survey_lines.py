from decimal import Decimal

import pytest

from instruments.calc import survey_lines


def pins(text):
    read, sentences = survey_lines.pin_lines(text, 1, 85)
    return [(pin.key, pin.string, pin.torque) for pin in read], sentences


def test_a_pin_is_a_key_a_stroke_and_its_string():
    assert pins("C4/2 9.5") == ([(40, 2, Decimal("9.5"))], [])


def test_the_strings_of_a_key_stand_in_one_line_and_a_dash_passes_one_over():
    assert pins("41 8,7 - 8.2 \n\n")[0] == [(41, 1, Decimal("8.7")), (41, 3, Decimal("8.2"))]


def test_a_heading_and_units_are_passed_over():
    assert pins("Key N·m\nC4/1 9.5N·m") == ([(40, 1, Decimal("9.5"))], [])


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("C4/4 9", "strings 1 to 3"),
        ("C4/1 9 8", "one figure"),
        ("C4", "one to three figures"),
        ("C4 1 2 3 4", "one to three figures"),
        ("C8 9", "There is no C8"),
        ("C4 tight", "not a number"),
        ("C4 NaN", "not a number"),
        ("C4-C5 9", "is not one key"),
    ],
)
def test_a_line_that_is_no_pin_is_named(line, sentence):
    read, sentences = pins(line)
    assert read == [] and sentences[0].startswith("Line 1: ") and sentence in sentences[0]


def test_many_lines_are_refused_whole():
    assert pins("C4 9\n" * 401)[1] == ["That is 401 lines; at most 400 are read."]


@pytest.mark.parametrize("line", ["A4 −12", "49 -12", "A4 -12 cents", "A4 −12c"])
def test_a_note_and_its_cents_are_read_with_any_minus(line):
    read, _ = survey_lines.pitch_lines(line.replace("12c", "12 ct"), 1, 88)
    assert (read[0].key, read[0].value) == (49, Decimal(-12))


def test_a_pitch_wants_one_figure():
    assert "one figure" in survey_lines.pitch_lines("A4 437 2 1", 1, 88)[1][0]


@pytest.mark.parametrize(
    ("line", "strings"), [("C4 620 1.05", 3), ("C4 620 1.05 x2", 2), ("C4 620mm 1,05 1", 1)]
)
def test_a_wire_has_a_length_a_size_and_so_many_strings(line, strings):
    read, sentences = survey_lines.wire_lines(line, 1, 88)
    assert sentences == []
    assert (read[0].key, read[0].length_mm, read[0].size, read[0].strings) == (
        40,
        Decimal(620),
        Decimal("1.05"),
        strings,
    )


# CHECKS: wound strings are refused, since core and wrap would have to be known.
@pytest.mark.parametrize("word", ["covered", "wound", "copper-wound"])
def test_a_covered_string_is_refused_in_words(word):
    _, sentences = survey_lines.wire_lines(f"A1 1200 1.0 {word}", 1, 88)
    assert "core and its wrap are needed" in sentences[0]


@pytest.mark.parametrize(
    ("line", "sentence"), [("C4 620", "a length and a size"), ("C4 620 1 x4", "x1, x2 or x3")]
)
def test_a_wire_that_lacks_something_is_named(line, sentence):
    assert sentence in survey_lines.wire_lines(line, 1, 88)[1][0]
