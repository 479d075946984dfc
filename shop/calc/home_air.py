"""The air a piano is to live in at a customer's home: degrees Celsius and relative humidity in per cent.

45 to 60 % and 18 to 21 °C are common practice in the United Kingdom; no source. The agreement states the
humidity. What wood makes of it is guidance only: see instruments/calc/climate.py.
"""

from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.climate import equilibrium_moisture_percent

HUMIDITY_PERCENT = (45, 60)
TEMPERATURE_C = (18, 21)
HUMIDITY_WORDS = f"{HUMIDITY_PERCENT[0]} to {HUMIDITY_PERCENT[1]} %"
DRYING = {
    "underfloor": "It stands over underfloor heating, which dries it from below: lay a mat that insulates.",
    "stove": "A stove or an open fire is in the room: stand it well away, against an inner wall.",
    "warm_air": "Warm air is blown into the room: never against the piano.",
}


@dataclass(frozen=True)
class HomeAir:
    temperature_c: Decimal
    humidity_percent: Decimal

    @property
    def moisture_percent(self) -> float:
        """Equilibrium moisture of wood in this air, per cent of its dry weight."""
        return equilibrium_moisture_percent(self.temperature_c, self.humidity_percent)

    @property
    def moisture_words(self) -> str:
        return f"wood comes to rest at {self.moisture_percent:.1f} % moisture"

    def cautions(self) -> list[str]:
        """Sentences where it lies outside the band that the agreement states; its bounds belong to it."""
        low, high = HUMIDITY_PERCENT
        if self.humidity_percent < low:
            dry = f"The air is too dry: below the {HUMIDITY_WORDS} that the agreement states. "
            return [dry + "Pins loosen and boards crack; see to a humidifier before it stays."]
        if self.humidity_percent > high:
            damp = f"The air is too damp: above the {HUMIDITY_WORDS} that the agreement states. "
            return [damp + "Keys stick and strings rust; see to drier air before it stays."]
        return []


def heating_cautions(heating: str) -> list[str]:
    return [DRYING[heating]] if heating in DRYING else []
