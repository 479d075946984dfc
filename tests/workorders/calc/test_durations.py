import pytest

from workorders.calc.durations import minutes_words, parse_minutes


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [
        ("90", 90),
        ("90 min", 90),
        ("1 h 30", 90),
        ("1h30", 90),
        ("1:30", 90),
        ("1 h 30 min", 90),
        ("2 h", 120),
        ("1.5 h", 90),
        ("1,75 hours", 105),
        ("0.33 h", 20),  # 19.8 minutes
        (" 0 ", 0),
    ],
)
def test_time_is_read_as_people_write_it(typed, minutes):
    assert parse_minutes(typed) == minutes


@pytest.mark.parametrize("typed", ["", "a while", "1:75", "-5", "1.5", "99999", "٣"])
def test_what_is_not_a_time_is_refused_in_words(typed):
    with pytest.raises(ValueError, match="is not a time: write 90, 1 h 30 or 1:30"):
        parse_minutes(typed)


@pytest.mark.parametrize(
    ("minutes", "words"), [(20, "20 min"), (60, "1 h"), (95, "1 h 35"), (125, "2 h 05"), (-45, "-45 min")]
)
def test_minutes_are_said_in_hours(minutes, words):
    assert minutes_words(minutes) == words
