import pytest

from shop.calc.sentence_changes import CHANGED, GONE, NEW, SAME, Change, changes

A, B, C = "Made about 1912.", "It is 122 cm tall.", "Keys eased: all return (2 April 2026)."
C_LATER = "Keys eased: all return (9 May 2026)."


@pytest.mark.parametrize(
    ("before", "after", "kinds"),
    [
        ([], [], []),
        ([A], [A], [SAME]),
        ([], [A], [NEW]),
        ([A], [], [GONE]),
        ([A, B], [A, "Wholly other words stand here."], [SAME, GONE, NEW]),
        ([A, C], [A, C_LATER], [SAME, CHANGED]),
        ([A, B, C], [C, A], [NEW, SAME, GONE, GONE]),
    ],
)
def test_each_sentence_is_new_changed_gone_or_the_same(before, after, kinds):
    assert [each.kind for each in changes(before, after)] == kinds


def test_a_change_keeps_both_wordings():
    assert changes([C], [C_LATER]) == [Change(CHANGED, C, C_LATER)]


def test_no_sentence_of_either_is_lost():
    before, after = [A, B, C], [B, C_LATER, "Something new here."]
    held = changes(before, after)
    assert sorted(each.before for each in held if each.before) == sorted(before)
    assert [each.after for each in held if each.after] == after
