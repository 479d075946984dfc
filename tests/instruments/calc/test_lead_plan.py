"""The lead plan, tried on keys that are simulated from their balance weight, friction and lever.

Formulas: m * x / L (S. Birkett, pianotech 26 Jul 1995); D = BW + F, U = BW - F (CAUT list post,
moypiano.com/ptg/caut.php).
"""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from instruments.calc.touchweight import LeadSize, Lever, PlacedLead, Reading, lead_plan, verdict
from instruments.calc.touchweight.lead_plan import (
    ADD,
    FRICTION_FIRST,
    LEAVE,
    NOT_BY_LEAD,
    TAKE_OUT,
    WEIGH_UP_FIRST,
)

C4 = 40
LEVER = Lever(Decimal(220), Decimal(30), Decimal(190))
SMALL, LARGE = LeadSize("7 g", Decimal(7), Decimal("9.5")), LeadSize("14 g", Decimal(14), Decimal("12.7"))


def plan_of(down, up, *, key=C4, lever=LEVER, sizes=(SMALL, LARGE), leads_in=(), **options):
    keys = verdict([Reading(key, down, up)], first_key=1, key_count=88).keys
    return lead_plan(keys, lever_of={key: lever}, sizes=sizes, leads_in={key: leads_in}, **options)[0]


def test_a_heavy_key_gets_the_lead_that_brings_it_to_its_target():
    plan = plan_of(57, 31)  # target at C4 is 50.2 g
    assert plan.act == ADD and [lead.size for lead in plan.put_in] == [LARGE]
    assert abs(plan.down_after_g - Decimal("50.2")) < Decimal("0.1")


def test_of_two_leads_with_one_effect_the_heavier_nearer_one_is_taken_for_its_inertia():
    """CHECKS.md 1.11: 7 g of effect at L = 220: 14 g at 110 mm has 169,400 g mm2, 7.7 g at 200 mm 308,000."""
    lever = Lever(Decimal(220), Decimal(30), Decimal(210))
    far = LeadSize("7.7 g", Decimal("7.7"), Decimal("9.5"))
    keys = verdict([Reading(49, 57, 31)], first_key=1, key_count=97).keys  # the very middle: target 50
    plan = lead_plan(keys, lever_of={49: lever}, sizes=[far, LARGE])[0]
    assert plan.put_in == (PlacedLead(LARGE, Decimal(110)),)


def test_the_published_example_of_six_grams_is_met():
    """CHECKS.md 1.10: balance weight 44 to 38 at L = 225 wants 9.0 g at 150 mm, or 6.75 g at 200 mm."""
    for mass, distance in (("9.0", 150), ("6.75", 200)):
        size = LeadSize("a lead", Decimal(mass), Decimal(10))
        lever = Lever(Decimal(225), Decimal(distance), Decimal(distance))
        keys = verdict([Reading(49, 56, 32)], first_key=1, key_count=97).keys
        plan = lead_plan(keys, lever_of={49: lever}, sizes=[size])[0]
        assert plan.put_in == (PlacedLead(size, Decimal(distance)),) and plan.down_after_g == 50


def test_a_key_inside_the_curve_is_left_alone():
    assert plan_of(51, 25).act == LEAVE


def test_high_friction_comes_before_lead():
    plan = plan_of(60, 22)
    assert plan.act == FRICTION_FIRST and "no lead yet" in plan.sentence and not plan.put_in


def test_a_key_that_does_not_return_is_freed_before_any_lead():
    plan = plan_of(57, 0)
    assert plan.act == FRICTION_FIRST and "does not return by itself" in plan.sentence


def test_a_missing_up_weight_comes_before_lead():
    assert plan_of(57, None).act == WEIGH_UP_FIRST


def test_a_key_that_would_no_longer_return_is_reported():
    plan = plan_of(56, 32, least_up_g=Decimal(30))
    assert plan.act == NOT_BY_LEAD and "would not return" in plan.sentence


def test_lead_goes_only_so_far_as_the_key_still_returns():
    plan = plan_of(54, 30, least_up_g=Decimal(27))
    assert plan.up_after_g >= 27 and plan.down_after_g <= Decimal("52.2")


def test_a_light_key_gives_up_a_lead_it_holds():
    plan = plan_of(45, 23, leads_in=(PlacedLead(SMALL, Decimal(160)),))
    assert (plan.act, plan.put_in, plan.down_after_g.quantize(Decimal("0.01"))) == (
        TAKE_OUT,
        (),
        Decimal("50.09"),
    )


def test_a_light_key_of_which_no_lead_is_known_is_told_the_moment_to_look_for():
    plan = plan_of(45, 23)
    assert plan.act == NOT_BY_LEAD and "1146 g·mm" in plan.sentence


def test_a_light_key_may_be_led_behind_the_rail_where_there_is_wood():
    plan = plan_of(45, 23, lever=Lever(Decimal(220), Decimal(30), Decimal(190), behind_mm=Decimal(120)))
    assert plan.act == ADD and plan.put_in[0].distance_mm < 0 and "behind the rail" in plan.sentence


def test_a_lead_is_not_put_where_one_sits():
    taken = PlacedLead(LARGE, Decimal(107))
    new = plan_of(57, 31, leads_in=(taken,)).put_in[0]
    apart = (new.size.diameter_mm + taken.size.diameter_mm) / 2 + 4
    assert abs(new.distance_mm - taken.distance_mm) >= apart


@pytest.mark.parametrize("measures", [(220, 0, 190), (220, 50, 40), (220, 50, 230), (220, 50, 190, 20)])
def test_a_lever_that_cannot_be_is_refused(measures):
    with pytest.raises(ValueError):
        Lever(*map(Decimal, measures))


def test_a_lead_without_mass_is_refused():
    with pytest.raises(ValueError):
        LeadSize("nothing", Decimal(0), Decimal(9))


def halves(low: int, high: int):
    return st.integers(2 * low, 2 * high).map(lambda value: Decimal(value) / 2)


levers = st.builds(
    Lever,
    halves(180, 260),
    halves(20, 60),
    halves(120, 180),
    st.sampled_from([Decimal(0), Decimal(90), Decimal(150)]),
)
some_sizes = st.lists(
    st.builds(LeadSize, st.just("a lead"), halves(3, 25), halves(6, 15)), min_size=0, max_size=4, unique=True
)
some_leads = st.lists(st.builds(PlacedLead, st.sampled_from([SMALL, LARGE]), halves(40, 110)), max_size=2)


def simulated_key(balance: Decimal, friction: Decimal, lever: Lever, plan) -> tuple[Decimal, Decimal]:
    """D and U of the key once its leads are moved, from the law of the lever and nothing of ours."""
    moment = sum((lead.size.mass_g * lead.distance_mm for lead in plan.put_in), Decimal(0))
    moment -= sum((lead.size.mass_g * lead.distance_mm for lead in plan.take_out), Decimal(0))
    after = balance - moment / lever.front_mm
    return after + friction, after - friction


@given(halves(25, 60), halves(4, 22), st.integers(1, 88), levers, some_sizes, some_leads)
@example(Decimal(44), Decimal(12), C4, LEVER, [SMALL, LARGE], [])
def test_every_treated_key_comes_inside_and_returns_and_the_others_are_told(
    balance, friction, key, lever, sizes, leads_in
):
    assume(balance >= friction)
    down, up = balance + friction, balance - friction
    judged = verdict([Reading(key, down, up)], first_key=1, key_count=88).keys
    plan = lead_plan(judged, lever_of={key: lever}, sizes=sizes, leads_in={key: tuple(leads_in)})[0]
    after_down, after_up = simulated_key(balance, friction, lever, plan)
    if plan.is_treated:
        assert abs(after_down - judged[0].target_g) <= 2 and after_up >= 20
        assert (round(after_down, 6), round(after_up, 6)) == (
            round(plan.down_after_g, 6),
            round(plan.up_after_g, 6),
        )
        assert friction <= 15 and set(plan.take_out) <= set(leads_in)
    else:
        assert not plan.put_in and not plan.take_out and plan.sentence
        assert (plan.act == LEAVE) == judged[0].inside


@given(halves(25, 60), halves(4, 15), st.integers(1, 88), levers, some_sizes)
def test_no_key_is_given_up_that_one_lead_could_bring_inside(balance, friction, key, lever, sizes):
    """Against trying every lead at every whole millimetre."""
    assume(balance >= friction)
    down, up = balance + friction, balance - friction
    judged = verdict([Reading(key, down, up)], first_key=1, key_count=88).keys
    plan = lead_plan(judged, lever_of={key: lever}, sizes=sizes)[0]
    places = [
        *range(int(-(-lever.nearest_mm // 1)), int(lever.farthest_mm) + 1),
        *(range(-int(lever.behind_mm), -int(-(-lever.nearest_mm // 1)) + 1) if lever.behind_mm else ()),
    ]
    possible = any(
        abs(down - size.mass_g * place / lever.front_mm - judged[0].target_g) <= 2
        and up - size.mass_g * place / lever.front_mm >= 20
        for size, place in product(sizes, places)
    )
    if possible and judged[0].cause not in {"", "friction", "stuck"}:
        assert plan.is_treated and len(plan.put_in) == 1
