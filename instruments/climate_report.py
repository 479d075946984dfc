"""Readings of rooms as pages say them."""

from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q

from instruments.calc.climate import climate_cautions, dew_point_c
from instruments.calc.room_moves import moisture_sentence
from instruments.models import ClimateReading

MOST_ROOMS = 40


@dataclass(frozen=True)
class RoomReading:
    reading: ClimateReading

    @property
    def moisture_sentence(self) -> str:
        return moisture_sentence(self.reading.air)

    @property
    def moisture_percent(self) -> float:
        return self.reading.air.moisture_percent

    @property
    def dew_point_c(self) -> float | None:
        """None where the air holds no water at all."""
        air = self.reading.air
        return dew_point_c(air.temperature_c, air.humidity_percent) if air.humidity_percent else None

    @property
    def cautions(self) -> list[str]:
        air = self.reading.air
        return climate_cautions(air.temperature_c, air.humidity_percent)


def newest_of_rooms() -> list[RoomReading]:
    """The last reading of each room, newest first."""
    same_room = ClimateReading.objects.filter(whose=OuterRef("whose"), room=OuterRef("room"))
    newer = same_room.filter(
        Q(read_on__gt=OuterRef("read_on")) | Q(read_on=OuterRef("read_on"), pk__gt=OuterRef("pk"))
    )
    rows = ClimateReading.objects.filter(~Exists(newer)).select_related("read_by", "instrument")
    return [RoomReading(row) for row in rows[:MOST_ROOMS]]


def known_rooms() -> list[str]:
    return sorted({each.reading.room for each in newest_of_rooms()})
