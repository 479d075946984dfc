"""Our own reading of public texts: common practice, no source."""

import pytest

from instruments.calc.wording.parts import parts_called


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Original strings.", ("strings",)),
        ("Original hammers, key tops and case.", ("hammers", "keys", "case")),
        ("The strings are original.", ("strings",)),
        ("Strings and wrest pins look all original.", ("strings", "restored")),
        ("Original ivories; the hammers are new.", ("keys",)),
        ("Original case, new strings.", ("case",)),
        ("New hammers. Original pin block", ("restored",)),
        ("The case was refinished but the strings are still original", ("strings",)),
        ("An original Halden & Rook", ()),
        ("It is all original.", ()),
        ("An original Halden & Rook with new strings.", ()),
        ("Key tops celluloid. Case: oak, dark oak, original.", ("case",)),
        ("Original: strings and case. The hammers are new.", ("strings", "case")),
        ("Original stool, stringers of pine", ()),
    ],
)
def test_a_word_is_said_of_the_parts_beside_it(text, parts):
    start = text.casefold().index("original")
    assert parts_called(text, start, start + len("original")) == parts
