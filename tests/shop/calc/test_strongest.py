from shop.calc.strongest import LONGEST, strongest


def test_one_of_each_kind_comes_before_a_second_of_any():
    chosen = strongest(measured=["m1", "m2"], stood=["s1", "s2"], plain=["p1", "p2"])
    assert chosen == ["m1", "s1", "p1"]


def test_a_kind_that_has_nothing_gives_its_place_to_the_others():
    assert strongest(stood=["s1"], plain=["p1", "p2", "p3"]) == ["s1", "p1", "p2"]


def test_what_is_too_long_for_a_card_is_passed_over_and_never_cut():
    assert strongest(measured=["m" * (LONGEST + 1), "m2"]) == ["m2"]


def test_the_same_words_stand_once_and_empty_ones_never():
    assert strongest(measured=["", "m  1", "m 1"], plain=[" "]) == ["m 1"]
