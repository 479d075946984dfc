from decimal import Decimal

import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item
from workorders.actions.orders import give_up_order

pytestmark = pytest.mark.django_db


def close(item, by, **fields):
    return close_item(item=item, by=by, on=make.A_DAY, **({"result": "Centres and pins done."} | fields))


def figure_item(**fields):
    limits = {"figure_low": Decimal(2), "figure_high": Decimal(3)} | fields
    return make.make_item(
        name="Set the let-off",
        acceptance="figure",
        figure_name="let-off from the string",
        figure_unit="mm",
        **limits,
    )


def test_an_item_closes_with_what_was_done_and_by_whom(technician):
    item = close(make.make_item(), technician)
    item.refresh_from_db()
    assert (item.state, item.result, item.closed_by) == ("done", "Centres and pins done.", technician)


def test_an_item_whose_prerequisite_is_open_cannot_close(technician):
    lubricate = make.make_item(name="Lubricate the action")
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    with pytest.raises(Blocked, match=r"^Lubricate the action first\.$"):
        close(weigh, technician)


def test_the_owner_cannot_pass_over_a_prerequisite_either(owner):
    lubricate = make.make_item(name="Lubricate the action")
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    with pytest.raises(Blocked, match="Lubricate the action first"):
        close(weigh, owner, override_reason="In a hurry")


def test_a_prerequisite_in_another_order_says_in_which(technician):
    lubricate = make.make_item(name="Lubricate the action")
    other = make.make_order(instrument=lubricate.order.instrument)
    weigh = make.make_item(order=other, name="Set the touch weight", needs=[lubricate])
    with pytest.raises(Blocked, match=f"Lubricate the action first, in {lubricate.order.number}"):
        close(weigh, technician)


def test_an_item_closes_after_its_prerequisite(technician):
    lubricate = make.make_item(name="Lubricate the action")
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    close(lubricate, technician)
    assert close(weigh, technician).state == "done"


def test_closing_says_what_was_done(technician):
    with pytest.raises(Blocked, match="Say what was done"):
        close(make.make_item(), technician, result="  ")


def test_the_second_to_close_is_told_who_was_first(technician, owner):
    item = make.make_item()
    close(item, technician)
    with pytest.raises(Blocked, match="Tobias Lind closed “Lubricate the action” on 21 March 2026 at"):
        close(item, owner)


def test_an_item_of_a_given_up_order_cannot_close(technician, owner):
    item = make.make_item()
    give_up_order(order=item.order, reason="Sold as seen", by=owner, on=make.A_DAY)
    with pytest.raises(Blocked, match="left “Lubricate the action” as it is"):
        close(item, technician)


def test_a_photograph_is_asked_for(technician):
    with pytest.raises(Blocked, match="Add a photograph after the work"):
        close(make.make_item(acceptance="photo"), technician)


def test_a_photograph_of_another_instrument_proves_nothing_even_for_the_owner(owner):
    photo = make_photo(make.make_instrument())
    with pytest.raises(Blocked, match="not one of this instrument's"):
        close(make.make_item(acceptance="photo"), owner, photo=photo, override_reason="It looks alike")


def test_a_photograph_closes_the_item_and_stays_with_it(technician):
    item = make.make_item(acceptance="photo")
    photo = make_photo(item.order.instrument)
    assert close(item, technician, photo=photo).photo == photo


@pytest.mark.parametrize("figure", ["2", "2.5", "3"])
def test_a_figure_inside_its_limits_closes_the_item(technician, figure):
    assert close(figure_item(), technician, figure=Decimal(figure)).state == "done"


@pytest.mark.parametrize(
    ("figure", "sentence"),
    [
        ("1.9", "1.9 mm is too little: let-off from the string has to be 2 to 3 mm."),
        ("3.001", "3.001 mm is too much: let-off from the string has to be 2 to 3 mm."),
        (None, "Measure first: let-off from the string, in mm."),
    ],
)
def test_a_figure_outside_its_limits_does_not(technician, figure, sentence):
    with pytest.raises(Blocked) as refused:
        close(figure_item(), technician, figure=figure and Decimal(figure))
    assert str(refused.value) == sentence


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (Decimal(10), None, "at least 10 mm"),
        (None, Decimal("1.3"), "at most 1.3 mm"),
        (Decimal(-5), Decimal(5), "within 5 mm"),
    ],
)
def test_limits_are_said_as_people_say_them(low, high, words):
    assert figure_item(figure_low=low, figure_high=high).limits_words == words


def test_the_owner_may_accept_what_the_figure_does_not_bear_out_with_a_reason(owner):
    item = close(
        figure_item(),
        owner,
        figure=Decimal("3.5"),
        override_reason="Old butts allow no more.",
    )
    assert (item.figure, item.override_reason, item.overridden_by) == (
        Decimal("3.5"),
        "Old butts allow no more.",
        owner,
    )


def test_a_technician_may_not(technician):
    with pytest.raises(Blocked, match="Only the owner may accept"):
        close(figure_item(), technician, figure=Decimal("3.5"), override_reason="Good enough")


def test_a_technician_may_not_lend_the_owner_s_right_without_it(technician, seller):
    with pytest.raises(Blocked, match="Only the owner may accept"):
        close(figure_item(), technician, override_reason="Good enough", overridden_by=seller)


def test_a_technician_may_close_on_the_owner_s_word(technician, owner):
    item = close(figure_item(), technician, override_reason="Agreed", overridden_by=owner)
    assert (item.closed_by, item.overridden_by) == (technician, owner)


def test_a_reason_that_was_not_needed_is_not_kept(owner):
    item = close(figure_item(), owner, figure=Decimal("2.5"), override_reason="Just in case")
    assert (item.override_reason, item.overridden_by) == ("", None)


def test_closing_is_told_in_the_history(technician):
    item = close(figure_item(), technician, figure=Decimal("2.5"))
    change = item.history.first()
    assert (change.history_user, change.history_change_reason) == (
        technician,
        "“Set the let-off” done: Centres and pins done. (let-off from the string: 2.5 mm)",
    )


def make_photo(instrument):
    return instrument.photos.create(
        original="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        byte_count=1,
        width=1,
        height=1,
        thumb="a.webp",
        page="a.webp",
        print="a.jpg",
        uploaded_by=make.somebody(),
    )


def test_a_closing_asks_little_while_everybody_else_waits_for_it(technician, django_assert_max_num_queries):
    close(make.make_item(), technician)  # what is asked is put into words
    item = make.make_item()
    with django_assert_max_num_queries(10):  # the savepoint of this test and what PostgreSQL holds among them
        close(item, technician)
