from decimal import Decimal

import pytest

from instruments.models import Instrument


@pytest.mark.parametrize(
    ("known", "sentence"),
    [
        ({"kind": "upright", "key_count": 88}, "An upright, with 88 keys."),
        (
            {
                "kind": "upright",
                "key_count": 85,
                "stringing": "overstrung",
                "damping": "under",
                "made": "1912~",
                "height_cm": Decimal("122.0"),
                "case_wood": "walnut",
            },
            "An overstrung underdamper of about 1912, 122 cm tall, in walnut, with 85 keys.",
        ),
        (
            {
                "kind": "grand",
                "key_count": 88,
                "stringing": "overstrung",
                "made": "1908/1911",
                "length_cm": Decimal(168),
                "case_wood": "ebonised",
            },
            "An overstrung grand, made between 1908 and 1911, 168 cm long, ebonised, with 88 keys.",
        ),
        (
            {"kind": "square", "key_count": 73, "stringing": "straight", "made": "1838?"},
            "A straight-strung square piano, possibly of 1838, with 73 keys.",
        ),
        ({"kind": "upright", "key_count": 85, "made": "193X"}, "An upright of the 1930s, with 85 keys."),
        (
            {"kind": "upright", "key_count": 85, "made": "../193X"},
            "An upright, made by the end of the 1930s, with 85 keys.",
        ),
        (
            {"kind": "grand", "key_count": 88, "made": "191X/.."},
            "A grand, made from the 1910s on, with 88 keys.",
        ),
        (
            {"kind": "grand", "key_count": 88, "made": "../1919?"},
            "A grand, possibly made before 1920, with 88 keys.",
        ),
    ],
)
def test_an_instrument_is_said_in_one_sentence(known, sentence):
    assert Instrument(made_basis="serial", **known).sentence == sentence


@pytest.mark.parametrize("basis", ["told", ""])
@pytest.mark.parametrize(
    ("made", "sentence"),
    [
        ("1924~", "An upright, said to be of about 1924, with 88 keys."),
        ("1908/1911", "An upright, said to be made between 1908 and 1911, with 88 keys."),
        ("1838?", "An upright, said to be possibly of 1838, with 88 keys."),
        ("", "An upright, with 88 keys."),
    ],
)
def test_a_date_that_nothing_shows_is_only_said_to_be_so(basis, made, sentence):
    assert Instrument(kind="upright", key_count=88, made=made, made_basis=basis).sentence == sentence


@pytest.mark.parametrize("basis", ["serial", "mark", "document", "style"])
def test_a_date_with_a_reason_is_not_called_hearsay(basis):
    assert "said to be" not in Instrument(kind="upright", made="1924~", made_basis=basis).sentence
