"""Room climate and what it does to wood: degrees Celsius, relative humidity in per cent.

Sources: equilibrium moisture from the Wood Handbook, USDA FPL-GTR-190 (2010) and -282 (2021), ch. 4, eq. 4-5;
dew point in the WMO form (17.62, 243.12). USDA FPL-GTR-229 (2014) finds the data behind the moisture figures
unreliable for science: show them as guidance.
"""

import math

# Change of size per unit of size and per cent of moisture, 6 to 14 %: (radial, tangential).
# Source: Wood Handbook table 13-5; Sitka spruce from memory.
MOVEMENT = {
    "hard maple": (0.00165, 0.00353),
    "yellow birch": (0.00256, 0.00338),
    "American beech": (0.00190, 0.00431),
    "Sitka spruce": (0.00148, 0.00263),
}
MOVEMENT_RANGE_PERCENT = (6.0, 14.0)
COLDEST_C, HOTTEST_C = -40.0, 60.0  # where the dew point form is stated to hold

_WATER_A, _WATER_B_C, _SATURATION_0_C_HPA = 17.62, 243.12, 6.112
_ZERO_C_IN_K = 273.15
_GRAMS_PER_HPA = 216.679  # 100 / 0.4615 J/(g K), from memory


def equilibrium_moisture_percent(temp_c: float, rh_percent: float) -> float:
    """Moisture content, in per cent of dry weight, at which wood comes to rest in this air.

    0 at 0 % RH. Temperature -40 to 60 °C, humidity 0 to 100 %; ValueError outside. The fit is loose when hot.
    """
    temp, humidity = _checked(temp_c, rh_percent)
    wood = 349 + 1.29 * temp + 0.0135 * temp**2
    k = 0.805 + 0.000736 * temp - 0.00000273 * temp**2
    k1 = 6.27 - 0.00938 * temp - 0.000303 * temp**2
    k2 = 1.91 + 0.0407 * temp - 0.000293 * temp**2
    kh = k * humidity / 100
    dissolved, bound = k1 * kh, k1 * k2 * kh**2
    return 1800 / wood * (kh / (1 - kh) + (dissolved + 2 * bound) / (1 + dissolved + bound))


def saturation_pressure_hpa(temp_c: float) -> float:
    """Water vapour pressure of saturated air in hPa, -40 to 60 °C."""
    temp, _ = _checked(temp_c, 100)
    return _SATURATION_0_C_HPA * math.exp(_WATER_A * temp / (_WATER_B_C + temp))


def dew_point_c(temp_c: float, rh_percent: float) -> float:
    """The temperature at which this air begins to drop water; humidity above 0 to 100 %."""
    temp, humidity = _checked(temp_c, rh_percent)
    if humidity == 0:
        raise ValueError("Air without any water has no dew point.")
    pull = math.log(humidity / 100) + _WATER_A * temp / (_WATER_B_C + temp)
    return _WATER_B_C * pull / (_WATER_A - pull)


def absolute_humidity_g_m3(temp_c: float, rh_percent: float) -> float:
    """Grams of water in a cubic metre of air."""
    temp, humidity = _checked(temp_c, rh_percent)
    vapour_hpa = humidity / 100 * saturation_pressure_hpa(temp)
    return _GRAMS_PER_HPA * vapour_hpa / (temp + _ZERO_C_IN_K)


def humidity_after_warming_percent(temp_c: float, rh_percent: float, room_c: float) -> float:
    """What outside air comes to once it is brought to room temperature, no water added; 100 when it drips."""
    vapour_hpa = _checked(temp_c, rh_percent)[1] / 100 * saturation_pressure_hpa(temp_c)
    return min(100.0, 100 * vapour_hpa / saturation_pressure_hpa(room_c))


def wood_movement_mm(size_mm: float, coefficient: float, from_percent: float, to_percent: float) -> float:
    """Change of a size across the grain when its moisture moves; negative shrinks. See MOVEMENT.

    Source: Wood Handbook ch. 13. Both moisture contents have to lie between 6 and 14 %; ValueError outside.
    """
    low, high = MOVEMENT_RANGE_PERCENT
    if not (low <= from_percent <= high and low <= to_percent <= high):
        raise ValueError(f"Wood movement can be reckoned between {low:g} and {high:g} % moisture only.")
    return size_mm * coefficient * (to_percent - from_percent)


def pitch_drift_cents(rh_change_percent: float, octaves_below_a4: float = 0) -> float:
    """Rule of thumb of one technician: 5 % RH moves A4 by 4 cents, twice that each octave down.

    Source: D. Rose, pianotech 30 Mar 2005. Holds from A4 down to the bass break: ValueError above A4.
    """
    if octaves_below_a4 < 0:
        raise ValueError("The rule of thumb runs from A4 downwards.")
    return 0.8 * rh_change_percent * 2**octaves_below_a4


def climate_cautions(temp_c: float, rh_percent: float) -> list[str]:
    """Sentences about what this air may do, worst first; [] when nothing is known against it.

    Sources: wood below 30 % and rust above 60 %, D. Rose, pianotech 30 Mar 2005; mould at 10 to 35 °C above
    65 %, UK National Archives mould guidance.
    """
    temp, humidity = _checked(temp_c, rh_percent)
    cautions = []
    if humidity > 65 and 10 <= temp <= 35:
        cautions.append("Above 65 % humidity mould can grow at this temperature.")
    if humidity > 60:
        cautions.append("Above 60 % humidity strings and pins are at risk of rust.")
    if humidity < 30:
        cautions.append("Below 30 % humidity soundboard, plank and glue joints are at risk of cracking.")
    return cautions


def _checked(temp_c: float, rh_percent: float) -> tuple[float, float]:
    temp, humidity = float(temp_c), float(rh_percent)
    if not COLDEST_C <= temp <= HOTTEST_C:
        raise ValueError(f"The temperature has to lie between {COLDEST_C:g} and {HOTTEST_C:g} °C.")
    if not 0 <= humidity <= 100:
        raise ValueError("Relative humidity has to lie between 0 and 100 %.")
    return temp, humidity
