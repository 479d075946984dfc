from datetime import timedelta

import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.bench import log_time, set_rate, take_back_time

pytestmark = pytest.mark.django_db


def log(item, person, minutes=105, on=make.A_DAY):
    return log_time(item=item, person=person, minutes=minutes, by=person, on=on)


def rate(owner, per_hour_minor, person=None, since=make.A_DAY):
    return set_rate(per_hour_minor=per_hour_minor, since=since, person=person, by=owner)


def test_time_costs_the_rate_of_its_day_rounded_half_up(technician, owner):
    rate(owner, 3850)
    # 1.75 h at 38.50 is 67.375, so 67.38 (worked by hand).
    assert log(make.make_item(), technician).cost_minor == 6738


def test_a_person_s_own_rate_comes_before_everybody_s(technician, owner):
    rate(owner, 4500, person=technician)
    rate(owner, 3000)
    assert log(make.make_item(), technician, 60).cost_minor == 4500


def test_another_person_s_rate_does_not_count(technician, owner):
    rate(owner, 4500, person=owner)
    rate(owner, 3000)
    assert log(make.make_item(), technician, 60).cost_minor == 3000


def test_the_newest_rate_on_that_day_counts_not_a_later_one(technician, owner):
    rate(owner, 3000, since=make.A_DAY - timedelta(days=30))
    rate(owner, 3300, since=make.A_DAY)
    rate(owner, 3600, since=make.A_DAY + timedelta(days=1))
    assert log(make.make_item(), technician, 60).cost_minor == 3300


def test_without_a_rate_time_costs_nothing_and_says_that_none_is_set(technician):
    entry = log(make.make_item(), technician)
    assert (entry.cost_minor, entry.per_hour_minor) == (0, None)


@pytest.mark.parametrize("minutes", [0, -5, 1441])
def test_minutes_that_cannot_be_are_refused(technician, minutes):
    with pytest.raises(Blocked, match="1 to 1,440 minutes"):
        log(make.make_item(), technician, minutes)


def test_a_line_is_taken_back_to_the_penny_whatever_rates_have_come_since(technician, owner):
    rate(owner, 3850)
    entry = log(make.make_item(), technician)
    rate(owner, 9900)
    assert take_back_time(entry=entry, by=technician).cost_minor == -6738


def test_a_line_is_taken_back_once(technician):
    entry = log(make.make_item(), technician)
    take_back_time(entry=entry, by=technician)
    with pytest.raises(Blocked, match="taken back already"):
        take_back_time(entry=entry, by=technician)


def test_taking_back_is_not_taken_back(technician):
    taken = take_back_time(entry=log(make.make_item(), technician), by=technician)
    with pytest.raises(Blocked, match="taken back already"):
        take_back_time(entry=taken, by=technician)
