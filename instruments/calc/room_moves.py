"""What a move from one room to another does to a piano: moisture, the width of its board, its pitch.

Guidance, not science: USDA FPL-GTR-229 (2014) finds the data behind the moisture figures unreliable. They
say where a board is heading, after weeks, not where it is.
"""

from dataclasses import dataclass

from instruments.calc.climate import (
    MOVEMENT,
    climate_cautions,
    equilibrium_moisture_percent,
    pitch_drift_cents,
    wood_movement_mm,
)

BOARD_MM = 1000
BOARD_WOOD = "Sitka spruce"  # its board is quarter-sawn, so it moves radially across the grain
MUCH_POINTS = 15  # of humidity, from where we warn of a move: common practice, no source


@dataclass(frozen=True)
class Air:
    temperature_c: float
    humidity_percent: float

    @property
    def moisture_percent(self) -> float:
        return equilibrium_moisture_percent(self.temperature_c, self.humidity_percent)


@dataclass(frozen=True)
class RoomMove:
    """`board_mm` is None, with its reason, where wood movement cannot be reckoned."""

    before: Air
    after: Air
    board_mm: float | None
    board_refusal: str
    cautions: tuple[str, ...]

    @property
    def moisture_points(self) -> float:
        return self.after.moisture_percent - self.before.moisture_percent

    @property
    def humidity_points(self) -> float:
        return self.after.humidity_percent - self.before.humidity_percent

    @property
    def a4_cents(self) -> float:
        return pitch_drift_cents(self.humidity_points)

    @property
    def a3_cents(self) -> float:
        return pitch_drift_cents(self.humidity_points, 1)

    @property
    def sentence(self) -> str:
        points = round(self.moisture_points, 1)
        if not points:
            return "The two rooms hold wood at the same moisture: little will move."
        way = "take up" if points > 0 else "give off"
        return f"Its wood will {way} about {abs(points):.1f} % of its dry weight in water."


def room_move(before: Air, after: Air) -> RoomMove:
    """From one air to another; each -40 to 60 °C and 0 to 100 %, ValueError outside."""
    start, end = before.moisture_percent, after.moisture_percent
    try:
        board, refusal = wood_movement_mm(BOARD_MM, MOVEMENT[BOARD_WOOD][0], start, end), ""
    except ValueError as reason:
        board, refusal = None, str(reason)
    return RoomMove(before, after, board, refusal, _cautions(before, after))


def _cautions(before: Air, after: Air) -> tuple[str, ...]:
    points = after.humidity_percent - before.humidity_percent
    cautions = climate_cautions(after.temperature_c, after.humidity_percent)
    if abs(points) >= MUCH_POINTS:
        cautions.append(
            f"A change of {abs(points):.0f} points of humidity is much at once: let it stand before it is"
            " tuned, and have it tuned after it has settled (common practice, no source)."
        )
    return tuple(cautions)


def moisture_sentence(air: Air) -> str:
    """Where wood comes to rest in this air, in a line."""
    return f"Wood comes to rest at about {air.moisture_percent:.1f} % moisture here."
