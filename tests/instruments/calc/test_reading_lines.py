"""Made-up lines as technicians type them; the numbers only have to come back as they went in."""

from decimal import Decimal

import pytest

from instruments.calc.reading_lines import (
    parse_reading_column,
    parse_reading_lines,
)


def readings(text, first_key=1, key_count=85):
    return [
        (reading.key, reading.down_g, reading.up_g)
        for reading in parse_reading_lines(text, first_key, key_count)[0]
    ]


@pytest.mark.parametrize(
    ("line", "reading"),
    [
        ("40 52 28", (40, Decimal(52), Decimal(28))),
        ("C4\t52,5\t28", (40, Decimal("52.5"), Decimal(28))),
        ("c#4; 52g; 28g", (41, Decimal(52), Decimal(28))),
        ("40 60 -", (40, Decimal(60), Decimal(0))),
        ("40 60", (40, Decimal(60), None)),
    ],
)
def test_a_line_is_read_as_a_technician_types_it(line, reading):
    assert readings(line) == [reading]


def test_numbers_count_from_the_lowest_key_of_this_instrument():
    assert readings("1 52 28", first_key=9, key_count=73) == [(9, Decimal(52), Decimal(28))]


def test_a_heading_and_empty_lines_are_passed_over():
    assert len(readings("Key\tDown\tUp\n\n40 52 28\n\n41 50 26\n")) == 2


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("x 52 28", "Line 2: “x” is not a key"),
        ("86 52 28", "Line 2: There is no key 86 on this keyboard"),
        ("40", "Line 2: “40” should be a key, a down-weight and an up-weight."),
        ("40 heavy 28", "Line 2: “heavy” is not a weight in grams."),
        ("40 52.25 28", "Line 2: “52.25” is finer than a tenth of a gram."),
        ("40-42 52 28", "Line 2: “40-42” is not one key."),
        pytest.param(
            f"40 {'9' * 40} 28", f"Line 2: “{'9' * 20}” is not a weight in grams.", id="forty nines"
        ),
        ("40 nan 28", "Line 2: “nan” is not a weight in grams."),
    ],
)
def test_a_bad_line_is_named_and_the_good_ones_are_read(line, sentence):
    good, sentences = parse_reading_lines(f"1 52 28\n{line}\n2 52 28", 1, 85)
    assert len(good) == 2
    assert sentences[0].startswith(sentence)


def test_a_whole_book_is_not_read():
    assert parse_reading_lines("1 52 28\n" * 201, 1, 85)[1] == ["That is 201 lines; at most 200 are read."]


def column(text, **options):
    found, sentences = parse_reading_column(text, 1, 85, **options)
    return [(reading.key, reading.down_g, reading.up_g) for reading in found], sentences


def test_a_bare_column_goes_up_the_keyboard_from_the_lowest_key():
    assert column("Down\n52\n51,5\n52") == ([(1, 52, None), (2, Decimal("51.5"), None), (3, 52, None)], [])


def test_a_column_of_up_weights_may_begin_anywhere():
    assert column("28\n-", columns=("up",), from_key=40) == ([(40, None, 28), (41, None, 0)], [])


def test_two_columns_are_down_and_up():
    assert column("52 28\n50\t26", columns=("down", "up")) == ([(1, 52, 28), (2, 50, 26)], [])


def test_an_empty_line_in_a_column_is_a_key_that_was_not_weighed():
    assert [key for key, _, _ in column("52\n\n50\n.\n51\n\n")[0]] == [1, 3, 5]


@pytest.mark.parametrize(
    ("text", "from_key", "sentence"),
    [
        ("52\nheavy", None, "Line 2: “heavy” is not a weight in grams."),
        ("52 28", None, "Line 1: “52 28” should be one weight."),
        ("52\n50", 85, "Line 2: The keyboard ends at A7."),
    ],
)
def test_a_bad_line_of_a_column_is_named(text, from_key, sentence):
    assert column(text, from_key=from_key)[1] == [sentence]
