import math

import pytest

from instruments.calc import strings


# Source: Young & Freedman, University Physics 13e, P15.42 (studysoup.com) and its variant (questions.llc).
@pytest.mark.parametrize(("tension", "hertz", "limit"), [(800, 408.25, 10000), (765, 399.22, 9781)])
def test_pitch_follows_from_tension_as_in_the_textbook(tension, hertz, limit):
    lowest = strings.pitch_from_tension_hz(0.400, 0.003, tension)
    assert (round(lowest, 2), math.floor(limit / lowest)) == (hertz, 24)


# Source: published problems, answers derived.
@pytest.mark.parametrize(("mass", "newtons"), [(0.0043, 823.95), (0.0041, 785.63)])
def test_tension_follows_from_the_mass_of_the_string(mass, newtons):
    assert strings.tension_from_mass_n(0.7, mass, 261.6) == pytest.approx(newtons, abs=0.01)


# Source: derived from Mersenne and Taylor, and from Fletcher, JASA 36 (1964), E = 2.0e11 Pa.
@pytest.mark.parametrize(
    ("diameter", "length", "hertz", "newtons", "b", "cents"),
    [(1.000, 400, 440, 763.91, 7.9275e-4, 0.6862), (1.05, 620, 261.6256, 715.39, 4.2828e-4, 0.3707)],
)
def test_plain_wire_has_a_tension_and_a_stiffness(diameter, length, hertz, newtons, b, cents):
    tension = strings.tension_n(length, diameter, hertz)
    stiffness = strings.inharmonicity(length, diameter, tension)
    assert tension == pytest.approx(newtons, abs=0.01)
    assert stiffness == pytest.approx(b, abs=1e-8)
    assert strings.stiffness_cents(stiffness) == pytest.approx(cents, abs=1e-4)


# Source: derived conversions.
def test_tension_is_told_in_older_units():
    tension = strings.tension_n(400, 1, 440)
    found = (tension / strings.NEWTONS_PER_KGF, tension / strings.NEWTONS_PER_LBF)
    assert found == pytest.approx((77.90, 171.74), abs=0.01)


# Source: T(lbf) = (f L d / K)^2 in inches with K = 20.817 for 7850 kg/m3 (derived).
def test_the_imperial_form_agrees():
    imperial = (440 * 400 / 25.4 * 1 / 25.4 / 20.817) ** 2
    assert strings.tension_n(400, 1, 440) / strings.NEWTONS_PER_LBF == pytest.approx(imperial, rel=1e-4)


# Source: the textbook's 7.86 g/cm3.
def test_tension_scales_with_density():
    assert strings.tension_n(400, 1, 440, 7860) == pytest.approx(763.91 * 7860 / 7850, abs=0.01)


# Source: R. W. Young, JASA 1952, via McFerrin p. 43, pianotech June 2000.
def test_youngs_constant_checks_fletchers_formula():
    fletcher = strings.stiffness_cents(strings.inharmonicity(400, 1, strings.tension_n(400, 1, 440)))
    young = strings.young_cents(400, 1, 440)
    assert (round(young, 4), young == pytest.approx(fletcher, rel=1e-3)) == (0.6860, True)


# Source: measured A4, Univ. Alabama Huntsville, daffy.uah.edu/piano (partials within 0.9 Hz of the formula).
@pytest.mark.parametrize(
    ("number", "computed", "measured"), [(2, 880.99, 880.9), (4, 1769.88, 1769.8), (8, 3602.30, 3603.1)]
)
def test_partials_of_a_stiff_string_run_sharp(number, computed, measured):
    found = strings.partial_hz(number, 440, 7.5145e-4)
    assert found == pytest.approx(computed, abs=0.01)
    assert found == pytest.approx(measured, abs=0.9)


@pytest.mark.parametrize("reckon", [strings.tension_n, strings.inharmonicity])
def test_a_covered_string_is_refused(reckon):
    with pytest.raises(ValueError, match="covered string"):
        reckon(1200, 1.0, 55, covered=True)


@pytest.mark.parametrize(
    "measures", [(0, 1, 440), (400, -1, 440), (400, 1, float("nan")), (400, 1, float("inf"))]
)
def test_measures_that_cannot_be_are_refused(measures):
    with pytest.raises(ValueError, match="above 0"):
        strings.tension_n(*measures)


# Source: pianotech 12 Jun 2003 (/136827.html), Wikipedia "Piano wire", and a music-wire chart: they agree.
@pytest.mark.parametrize(
    ("inches", "number"), [(0.029, 12), (0.033, 14), (0.036, 15.5), (0.041, 18), (0.049, 22), (0.051, 23)]
)
def test_american_gauges_are_found_by_diameter(inches, number):
    found = strings.gauge_of(inches * 25.4)
    assert (found.number, found.caution) == (number, "")


# Source: pianotech 12 Jun 2003, metric table.
@pytest.mark.parametrize(("mm", "number"), [(0.725, 12), (0.9, 15.5), (1.0, 17.5), (1.6, 26)])
def test_metric_gauges_are_found_by_diameter(mm, number):
    assert strings.gauge_of(mm, "metric").number == number


# Source: gauge = (thousandths - 5) / 2, pianotech Nov 2004, valid from 12 to 23 in the American table.
@pytest.mark.parametrize("number", [12, 14, 17.5, 18, 23])
def test_american_gauges_follow_the_rule_of_thousandths(number):
    thousandths = strings.gauge_diameter_mm(number).diameter_mm / 25.4 * 1000
    assert (thousandths - 5) / 2 == pytest.approx(number)


# Source: a music-wire chart says 24, the rule and the piano list say 25.
def test_a_size_on_which_lists_disagree_carries_a_caution():
    found = strings.gauge_of(0.055 * 25.4)
    assert (found.number, "24 or 25" in found.caution) == (None, True)


def test_a_size_above_the_numbered_ones_carries_a_caution():
    assert "no agreed numbers" in strings.gauge_of(1.6).caution


def test_a_disputed_number_is_refused_as_a_diameter():
    with pytest.raises(ValueError, match=r"0\.055 in or 0\.053 in"):
        strings.gauge_diameter_mm(24)


@pytest.mark.parametrize(
    ("number", "table", "reason"),
    [(18.5, "american", "no gauge 18.5"), (30, "metric", "no gauge 30"), (14, "welsh", "no wire table")],
)
def test_a_gauge_outside_the_table_is_refused(number, table, reason):
    with pytest.raises(ValueError, match=reason):
        strings.gauge_diameter_mm(number, table)


# Source: both published tables; the ratio of tensions derived.
def test_the_same_number_is_another_wire_in_the_other_table():
    american, metric = (
        strings.gauge_diameter_mm(15.5, table).diameter_mm for table in ("american", "metric")
    )
    assert (round(american, 3), metric, round((0.914 / 0.900) ** 2, 4)) == (0.914, 0.900, 1.0314)
