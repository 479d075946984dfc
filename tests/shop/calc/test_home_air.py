"""Moisture from the Wood Handbook, USDA FPL-GTR-282, table 4-2: 21.1 °C and 50 % RH come to 9.2 %."""

from decimal import Decimal

import pytest

from shop.calc.home_air import HUMIDITY_WORDS, HomeAir, heating_cautions
from shop.documents.trial_agreement import TrialAgreement


def air(humidity, temperature="21.1") -> HomeAir:
    return HomeAir(Decimal(temperature), Decimal(humidity))


def test_moisture_as_the_handbook_has_it():
    assert air(50).moisture_percent == pytest.approx(9.2, abs=0.1)
    assert air(50).moisture_words == "wood comes to rest at 9.2 % moisture"


@pytest.mark.parametrize(
    ("humidity", "word"), [("44.9", "too dry"), (45, ""), (60, ""), ("60.1", "too damp"), (0, "too dry")]
)
def test_the_bounds_of_the_band_belong_to_it(humidity, word):
    said = air(humidity).cautions()
    assert [word in each for each in said] == ([True] if word else [])


def test_the_agreement_states_the_same_band():
    assert TrialAgreement.__dataclass_fields__["humidity"].default == HUMIDITY_WORDS == "45 to 60 %"


def test_only_heating_that_dries_is_cautioned():
    assert "underfloor" in heating_cautions("underfloor")[0]
    assert heating_cautions("radiators") == heating_cautions("not_known") == []
