import pytest

from instruments.calc import pitch_surveys
from instruments.calc.pitch_surveys import SectionMean


# Source: cents, 1200 log2(f2/f1); 50 cents flat of 440 is 427.474 Hz (derived, from memory).
@pytest.mark.parametrize(
    ("value", "unit", "hertz"), [(427.474, "hz", 427.474), (-50, "cents", 427.474), (50, "flat", 427.474)]
)
def test_a_reading_in_any_unit_is_the_same_pitch(value, unit, hertz):
    assert pitch_surveys.heard_hz(49, value, unit, 440) == pytest.approx(hertz, abs=1e-3)


def test_cents_are_held_against_the_surveys_own_a4():
    assert pitch_surveys.heard_hz(49, 0, "cents", 435) == 435


def test_means_are_taken_by_section():
    means = pitch_surveys.section_means({1: -10, 13: -20, 49: -40, 88: 5})
    assert means == [SectionMean("bass", 2, -15), SectionMean("tenor", 1, -40), SectionMean("treble", 1, 5)]


@pytest.mark.parametrize(
    ("bass", "tenor", "treble", "section"),
    [
        (-12, -2, 12, "tenor"),  # a stretched tuning is not let down for its treble
        (-30, -46, -60, "treble"),
        (-60, -46, -30, "tenor"),
        (-12, -2, -4, "tenor"),
        (-12, None, 9, "bass"),
    ],
)
def test_a_raise_is_planned_by_the_tenor_or_a_flatter_treble(bass, tenor, treble, section):
    named = {"bass": bass, "tenor": tenor, "treble": treble}
    means = [SectionMean(name, 3, cents) for name, cents in named.items() if cents is not None]
    assert pitch_surveys.planned_by(means).section == section


def test_nothing_read_plans_nothing():
    assert pitch_surveys.planned_by([]) is None


# Source: 4186.009 / 4186.009 and the derived ratio; drift does not hang on any A4.
def test_drift_is_told_of_notes_read_both_times():
    drift = pitch_surveys.drift_cents({49: 427.474, 50: 460}, {49: 440.0, 51: 400})
    assert drift == {49: pytest.approx(50, abs=1e-2)}


@pytest.mark.parametrize(
    ("key", "value", "unit", "words"),
    [
        (49, 437.2, "hz", ""),
        (49, 0, "hz", "above 0 Hz"),
        (49, 261.6, "hz", "another note"),
        (49, -500, "cents", "another note, or another unit"),
        (49, -5, "flat", "counted above 0"),
        (49, 437.2, "flat", "another unit"),
    ],
)
def test_a_reading_that_cannot_be_of_its_note_is_asked_after(key, value, unit, words):
    said = pitch_surveys.reading_problem(key, value, unit, 440)
    assert words in said and bool(words) == bool(said)


@pytest.mark.parametrize(
    ("cents", "words"), [(-12.4, "12 cents flat"), (0.3, "in pitch"), (1, "1 cent sharp"), (-0.4, "in pitch")]
)
def test_a_deviation_is_said_in_words(cents, words):
    assert pitch_surveys.deviation_words(cents) == words
