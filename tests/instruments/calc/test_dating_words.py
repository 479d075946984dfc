import pytest

from instruments.calc.dating import Bound
from instruments.calc.dating_words import narrowing_sentences, years_words


@pytest.mark.parametrize(
    ("years", "words"),
    [
        ((1912, 1912), "in 1912"),
        ((1910, 1914), "between 1910 and 1914"),
        ((None, 1914), "in 1914 or earlier"),
        ((1910, None), "in 1910 or later"),
        ((None, None), "at an unknown time"),
    ],
)
def test_a_range_is_said_in_words(years, words):
    assert years_words(years) == words


PATENT = Bound("not before", 1907, "a patent number cast in the frame.")
REPAIR = Bound("not after", 1909, "a repair pencilled inside")


def test_each_piece_says_what_it_does_to_the_range():
    assert narrowing_sentences((1905, 1910), [PATENT, REPAIR]) == (
        "A patent number cast in the frame, so not before 1907: "
        "made between 1907 and 1910 instead of between 1905 and 1910.",
        "A repair pencilled inside, so not after 1909: "
        "made between 1907 and 1909 instead of between 1907 and 1910.",
    )


@pytest.mark.parametrize(
    ("bound", "sentence"),
    [
        (
            Bound("not before", 1901),
            "Not before 1901: this agrees with a making between 1905 and 1910 and does not narrow it.",
        ),
        (
            Bound("not after", 1899, "a dated tuner's card"),
            "A dated tuner's card, so not after 1899: this contradicts a making between 1905 and 1910, "
            "which stays as it was until one of them is explained.",
        ),
    ],
)
def test_what_agrees_and_what_contradicts_is_said(bound, sentence):
    assert narrowing_sentences((1905, 1910), [bound]) == (sentence,)


def test_the_first_piece_replaces_nothing():
    assert narrowing_sentences((None, None), [REPAIR]) == (
        "A repair pencilled inside, so not after 1909: made in 1909 or earlier.",
    )
