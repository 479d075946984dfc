"""Sources beside each table. Moisture figures are guidance only (USDA FPL-GTR-229, 2014)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc import climate


def celsius(fahrenheit):
    return (fahrenheit - 32) / 1.8


def moisture_from_fahrenheit(temp, rh_percent):
    """Wood Handbook eq. 4-5 with the Fahrenheit coefficients: the second form the source prints."""
    wood = 330 + 0.452 * temp + 0.00415 * temp**2
    k = 0.791 + 0.000463 * temp - 0.000000844 * temp**2
    k1 = 6.34 + 0.000775 * temp - 0.0000935 * temp**2
    k2 = 1.09 + 0.0284 * temp - 0.0000904 * temp**2
    kh = k * rh_percent / 100
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / wood * (kh / (1 - kh) + bound)


# Source: Wood Handbook table 4-2, 70 °F and 30 °F, from memory; reproduced by both equations (derived).
@pytest.mark.parametrize(
    ("fahrenheit", "row"),
    [
        (70, "1.3 2.5 3.5 4.5 5.4 6.2 6.9 7.7 8.5 9.2 10.1 11.0 12.0 13.1 14.4 16.0 17.9 20.5 23.9"),
        (30, "1.4 2.6 3.7 4.6 5.5 6.3 7.1 7.9 8.7 9.5 10.4 11.3 12.4 13.5 14.9 16.5 18.5 21.0 24.3"),
    ],
)
def test_equilibrium_moisture_agrees_with_the_handbook_table(fahrenheit, row):
    found = [climate.equilibrium_moisture_percent(celsius(fahrenheit), rh) for rh in range(5, 100, 5)]
    assert found == pytest.approx([float(cell) for cell in row.split()], abs=0.1)


# Source: computed from the Fahrenheit form of eq. 4-5 (derived).
@pytest.mark.parametrize(
    ("fahrenheit", "rh", "percent"),
    [
        (70, 10, 2.482),
        (70, 30, 6.172),
        (70, 40, 7.702),
        (70, 50, 9.246),
        (70, 60, 10.970),
        (70, 65, 11.964),
        (70, 80, 15.997),
        (70, 90, 20.489),
        (30, 30, 6.311),
        (30, 50, 9.519),
        (30, 65, 12.378),
    ],
)
def test_equilibrium_moisture_at_fahrenheit_temperatures(fahrenheit, rh, percent):
    assert moisture_from_fahrenheit(fahrenheit, rh) == pytest.approx(percent, abs=0.005)
    assert climate.equilibrium_moisture_percent(celsius(fahrenheit), rh) == pytest.approx(percent, abs=0.02)


# Source: computed from the Celsius form of eq. 4-5 (derived).
@pytest.mark.parametrize(
    ("rh", "percent"), [(30, 6.188), (42, 8.026), (50, 9.271), (65, 11.996), (70, 13.129)]
)
def test_equilibrium_moisture_at_20_degrees(rh, percent):
    assert climate.equilibrium_moisture_percent(20, rh) == pytest.approx(percent, abs=0.005)


# Source: G. Wengert's rule of thumb, woodweb.com.
@pytest.mark.parametrize(("rh", "percent"), [(30, 6), (50, 9), (65, 12), (80, 16)])
def test_equilibrium_moisture_agrees_with_the_rule_of_thumb(rh, percent):
    assert climate.equilibrium_moisture_percent(21, rh) == pytest.approx(percent, abs=0.3)


# Source: liquisearch.com prints 8.4 for 140 °F and 55 %; bioenergylists.org 28.8 for 70 °F and 100 %.
@pytest.mark.parametrize(("fahrenheit", "rh", "percent"), [(140, 55, 8.4), (70, 100, 28.8), (70, 0, 0)])
def test_equilibrium_moisture_at_the_ends_of_its_range(fahrenheit, rh, percent):
    assert climate.equilibrium_moisture_percent(celsius(fahrenheit), rh) == pytest.approx(percent, abs=0.05)


@given(st.floats(0, 40), st.floats(0, 100))
def test_metric_and_fahrenheit_forms_agree(temp, rh):
    fahrenheit = moisture_from_fahrenheit(temp * 1.8 + 32, rh)
    assert climate.equilibrium_moisture_percent(temp, rh) == pytest.approx(fahrenheit, abs=0.02)


@pytest.mark.parametrize(("temp", "rh"), [(20, 100.1), (20, -1), (-41, 50), (61, 50), (float("nan"), 50)])
def test_air_that_cannot_be_is_refused(temp, rh):
    with pytest.raises(ValueError, match="has to lie between"):
        climate.equilibrium_moisture_percent(temp, rh)


# Source: computed from the WMO form (17.62, 243.12); WMO No. 8 attribution from memory.
@pytest.mark.parametrize(
    ("temp", "rh", "dew"),
    [(20, 50, 9.255), (20, 42, 6.689), (20, 65, 13.217), (30, 70, 23.927), (18, 100, 18)],
)
def test_the_dew_point_is_computed(temp, rh, dew):
    assert climate.dew_point_c(temp, rh) == pytest.approx(dew, abs=0.001)


# Source: assignmentexpert.com, with other constants, prints 17.98 °C and 15.14 g/m3.
def test_dew_point_and_absolute_humidity_agree_with_a_published_example():
    assert climate.dew_point_c(22, 78) == pytest.approx(17.98, abs=0.05)
    assert climate.absolute_humidity_g_m3(22, 78) == pytest.approx(15.14, abs=0.05)


def test_dry_air_has_no_dew_point():
    with pytest.raises(ValueError, match="no dew point"):
        climate.dew_point_c(20, 0)


# Source: computed from the WMO form and 216.679 (from memory).
@pytest.mark.parametrize(("rh", "grams"), [(50, 8.621), (100, 17.241)])
def test_absolute_humidity_is_computed(rh, grams):
    assert climate.absolute_humidity_g_m3(20, rh) == pytest.approx(grams, abs=0.001)


def test_saturation_pressure_is_computed():
    assert climate.saturation_pressure_hpa(20) == pytest.approx(23.326, abs=0.001)


# Source: derived from the same form.
@pytest.mark.parametrize(
    ("temp", "rh", "room", "inside"), [(0, 80, 20, 20.96), (5, 90, 21, 31.62), (20, 90, 5, 100)]
)
def test_heated_winter_air_is_dry(temp, rh, room, inside):
    assert climate.humidity_after_warming_percent(temp, rh, room) == pytest.approx(inside, abs=0.01)


# Source: Wood Handbook table 13-5 (maple seen, Sitka spruce from memory); movements derived.
@pytest.mark.parametrize(
    ("wood", "size", "start", "end", "radial", "tangential"),
    [("hard maple", 200, 7, 10, 0.990, 2.118), ("Sitka spruce", 1000, 8, 12, 5.920, 10.520)],
)
def test_wood_moves_across_the_grain(wood, size, start, end, radial, tangential):
    found = [
        climate.wood_movement_mm(size, coefficient, start, end) for coefficient in climate.MOVEMENT[wood]
    ]
    assert found == pytest.approx([radial, tangential], abs=0.001)


# Source: flooringartists.com, 5 in x 0.00129 x 3 = 0.019 in.
def test_wood_movement_agrees_with_a_published_example():
    assert climate.wood_movement_mm(5, 0.00129, 7, 10) == pytest.approx(0.019, abs=0.0005)


# Source: derived from eq. 4-5 and table 13-5.
def test_a_soundboard_shrinks_when_the_room_dries():
    start, end = (climate.equilibrium_moisture_percent(20, rh) for rh in (65, 35))
    radial = climate.MOVEMENT["Sitka spruce"][0]
    assert climate.wood_movement_mm(1000, radial, start, end) == pytest.approx(-7.449, abs=0.002)


def test_movement_outside_its_range_is_refused():
    with pytest.raises(ValueError, match="between 6 and 14 %"):
        climate.wood_movement_mm(1000, 0.00148, 12, 16)


# Source: D. Rose, pianotech 30 Mar 2005 (one technician's rule of thumb).
@pytest.mark.parametrize(
    ("change", "octaves", "cents"), [(5, 0, 4), (10, 0, 8), (-20, 0, -16), (5, 1, 8), (0, 2, 0)]
)
def test_pitch_follows_humidity_by_rule_of_thumb(change, octaves, cents):
    assert climate.pitch_drift_cents(change, octaves) == pytest.approx(cents)


def test_the_rule_of_thumb_does_not_reach_above_a4():
    with pytest.raises(ValueError, match="A4 downwards"):
        climate.pitch_drift_cents(5, -1)


# Source: wood and rust, D. Rose, pianotech 30 Mar 2005; mould, UK National Archives mould guidance.
@pytest.mark.parametrize(
    ("temp", "rh", "words"),
    [
        (20, 50, []),
        (20, 29, ["cracking"]),
        (20, 62, ["rust"]),
        (20, 66, ["mould", "rust"]),
        (5, 66, ["rust"]),
    ],
)
def test_air_that_does_harm_is_told(temp, rh, words):
    cautions = climate.climate_cautions(temp, rh)
    assert [word in caution for word, caution in zip(words, cautions, strict=True)] == [True] * len(words)
