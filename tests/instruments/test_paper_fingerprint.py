from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

import pytest

from instruments.documents.content import Fact, Photo
from instruments.documents.fingerprint import content_hash, in_fours


@dataclass(frozen=True)
class Leaf:
    words: str = ""
    parts: tuple = ()
    drawn: object = field(default=None, metadata={"hashed": False})


def test_equal_content_has_an_equal_hash():
    one = Leaf("a", (Fact("Made", "1912"), date(2026, 4, 14), Decimal("1.50"), None, True, 3))
    two = Leaf("a", (Fact("Made", "1912"), date(2026, 4, 14), Decimal("1.50"), None, True, 3))
    assert content_hash(one) == content_hash(two)


@pytest.mark.parametrize(
    "other",
    [
        Leaf("b"),
        Leaf("a", ("",)),
        Leaf("a", (("x", "y"),)),
        Leaf("a", ("x", "y")),
        Leaf("a", (Photo(b"1"),)),
        Leaf("a", (Photo(b"2"),)),
        Leaf("a", ({"k": 1},)),
        Fact("a", ""),
    ],
)
def test_any_other_content_has_another_hash(other):
    assert content_hash(other) != content_hash(Leaf("a"))


def test_a_picture_counts_by_its_bytes_wherever_they_lie(tmp_path):
    (tmp_path / "front.jpg").write_bytes(b"bytes")
    assert content_hash(Photo(tmp_path / "front.jpg")) == content_hash(Photo(b"bytes"))


def test_what_follows_from_the_rest_is_left_out():
    assert content_hash(Leaf("a", drawn=object())) == content_hash(Leaf("a"))


def test_a_lone_surrogate_can_be_hashed():
    assert len(content_hash(Leaf("\ud800"))) == 64


def test_a_value_of_an_unknown_kind_is_refused():
    with pytest.raises(TypeError, match="float"):
        content_hash(Leaf(1.5))


def test_the_short_form_is_spaced_for_the_eye():
    assert in_fours("3f2a9c4177b0e2d1ffff") == "3f2a 9c41 77b0 e2d1"
