import pytest

from workorders.calc.sequence import circle_in, nearest_present, working_sequence


def test_steps_that_wait_one_way_make_no_circle():
    assert circle_in({"tune": ["regulate"], "regulate": ["clean"]}) == ()


def test_a_circle_names_its_steps_each_waiting_for_the_next():
    circle = circle_in({"tune": ["regulate"], "regulate": ["clean"], "clean": ["tune"]})
    following = dict(zip(circle, circle[1:] + circle[:1], strict=True))
    assert following == {"tune": "regulate", "regulate": "clean", "clean": "tune"}


def test_a_step_that_waits_for_itself_is_a_circle():
    assert circle_in({"tune": ["tune"]}) == ("tune",)


def test_the_sequence_goes_by_rank_where_nothing_has_to_wait():
    assert working_sequence({}, {"voice": (3,), "clean": (1,), "tune": (2,)}) == ["clean", "tune", "voice"]


def test_the_sequence_never_puts_a_step_before_what_it_needs():
    rank = {"polish": (1,), "prove the frame": (9,), "clean": (5,)}
    assert working_sequence({"polish": ["prove the frame"]}, rank) == ["clean", "prove the frame", "polish"]


def test_what_a_step_needs_from_elsewhere_does_not_hold_it_back():
    assert working_sequence({"tune": ["in another order"]}, {"tune": (1,)}) == ["tune"]


def test_no_sequence_is_made_of_a_circle():
    with pytest.raises(ValueError, match="wait for one another"):
        working_sequence({"a": ["b"], "b": ["a"]}, {"a": (1,), "b": (2,)})


@pytest.mark.parametrize(
    ("present", "found"),
    [
        ({"tune", "regulate", "clean"}, {"tune"}),
        ({"regulate", "clean"}, {"regulate"}),
        ({"clean"}, {"clean"}),
        (set(), set()),
    ],
)
def test_a_step_waits_for_the_nearest_that_is_there(present, found):
    needs = {"voice": ["tune"], "tune": ["regulate"], "regulate": ["clean"]}
    assert nearest_present("voice", needs, present) == found


def test_looking_for_the_nearest_ends_even_in_a_circle():
    assert nearest_present("a", {"a": ["b"], "b": ["a"]}, set()) == set()


def test_what_is_found_on_the_way_is_left_out_when_it_is_implied():
    needs = {"fine tune": ["tuning pass", "voice"], "voice": ["regulate"], "tuning pass": ["regulate"]}
    assert nearest_present("fine tune", needs, {"tuning pass", "regulate"}) == {"tuning pass"}


def test_what_is_needed_by_name_is_given_even_when_it_is_implied():
    needs = {"polish": ["repair case", "prove frame"], "repair case": ["prove frame"]}
    assert nearest_present("polish", needs, {"repair case", "prove frame"}) == {"repair case", "prove frame"}
