import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.compass import parse_keys
from instruments.calc.key_lists import key_place, keys_text

COMPASSES = [(16, 49), (4, 73), (1, 85), (1, 88), (-8, 97)]


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ((), ""),
        ((40,), "C4"),
        ((40, 41), "C4, C♯4"),
        ((40, 41, 42), "C4–D4"),
        ((52, 40, 40), "C4, C5"),
        (range(1, 86), "all keys"),
        (parse_keys("all sharps", 1, 85), "all sharps"),
        (parse_keys("all naturals", 1, 85), "all naturals"),
        (parse_keys("all sharps, C4", 1, 85), "all sharps, C4"),
        (parse_keys("all sharps, C4-F4", 1, 85), "all sharps, C4–F4"),
        ((40, 86, 0), "C4"),
    ],
)
def test_keys_are_told_in_few_words(keys, words):
    assert keys_text(keys, 1, 85) == words


@given(st.data(), st.sampled_from(COMPASSES))
def test_what_is_told_is_read_again_as_the_same_keys(data, compass):
    first_key, key_count = compass
    keys = data.draw(st.sets(st.integers(first_key, first_key + key_count - 1)))
    assert set(parse_keys(keys_text(keys, *compass), *compass)) == keys


@given(st.sets(st.integers(-8, 88)))
def test_the_longest_list_fits_the_field_it_is_kept_in(keys):
    assert len(keys_text(keys, -8, 97)) <= 400


def test_every_other_key_is_the_longest_list():
    assert len(keys_text(range(-8, 89, 2), -8, 97)) <= 400


@pytest.mark.parametrize(("key", "first_key", "place"), [(40, 1, 40), (-8, -8, 1), (88, -8, 97), (16, 16, 1)])
def test_keys_are_counted_from_the_lowest_of_their_own_keyboard(key, first_key, place):
    assert key_place(key, first_key) == place
