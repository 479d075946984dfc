"""The way into a house: steps counted flight by flight, doors, distance; and what lifting it needs.

There is no legal limit to a weight; the figures of the Health and Safety Executive (INDG143, L23) are for
screening: 25 kg for one man, close to the body, at its best height, and for a team of two two thirds of their
sum, of three or more half (both from memory). A piano is above every one of them. That a quote assumes the
vehicle within 40 m is common practice, no source.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

BEST_KG = 25
TEAM_SHARE = {1: Fraction(1), 2: Fraction(2, 3)}
LARGE_TEAM_SHARE = Fraction(1, 2)
USUAL_PARKING_M = 40
MOST_FLIGHTS = MOST_DOORS = 12
MOST_STEPS, DOOR_CM = 60, (40, 400)
LIFTING = (
    "Only movers who do pianos, trained, insured and licensed where the law asks for it, with a skate and "
    "straps, move it; nobody lifts it alone, and nobody stands below it on stairs."
)


def counts(text: str, *, least: int, most: int, how_many: int, what: str) -> tuple[int, ...]:
    """Whole numbers as people list them: "14, 12" or "14 and 12". ValueError with a sentence."""
    parts = [part for part in re.split(r"[,;/+\s]+|\band\b", text.strip()) if part]
    if any(not re.fullmatch(r"[0-9]{1,4}", part) for part in parts):
        raise ValueError(f"Give {what} as whole numbers, such as 14, 12.")
    numbers = tuple(int(part) for part in parts)
    if len(numbers) > how_many:
        raise ValueError(f"Give {how_many} at most.")
    if any(not least <= number <= most for number in numbers):
        raise ValueError(f"Give {what} between {least} and {most}.")
    return numbers


def flights(text: str) -> tuple[int, ...]:
    return counts(text, least=1, most=MOST_STEPS, how_many=MOST_FLIGHTS, what="the steps of each flight")


def doors(text: str) -> tuple[int, ...]:
    least, most = DOOR_CM
    return counts(text, least=least, most=most, how_many=MOST_DOORS, what="the widths in centimetres")


def team_screening_kg(people: int) -> int:
    """What the screening figures leave a team, in whole kilograms, rounded down."""
    if people < 1:
        raise ValueError("A team is one person at least.")
    return int(people * BEST_KG * TEAM_SHARE.get(people, LARGE_TEAM_SHARE))


def floor_words(floor: int) -> str:
    if floor == 0:
        return "ground floor"
    return f"floor {floor}" if floor > 0 else f"{-floor} below ground"


def flight_words(steps: Sequence[int]) -> str:
    if not steps:
        return "no steps"
    listed = " + ".join(str(each) for each in steps)
    total = f" = {sum(steps)}" if len(steps) > 1 else ""
    flight, step = "flight" if len(steps) == 1 else "flights", "step" if sum(steps) == 1 else "steps"
    return f"{len(steps)} {flight}: {listed}{total} {step}"


def turns_words(turns: int, landings: int) -> str:
    """ "1 turn, 2 landings"; nothing where the way has neither."""
    counted = ((turns, "turn"), (landings, "landing"))
    return ", ".join(f"{count} {word}{'' if count == 1 else 's'}" for count, word in counted if count)


def access_cautions(
    *,
    steps: Sequence[int] = (),
    door_widths_cm: Sequence[int] = (),
    parking_m: int | None = None,
    has_lift: bool = False,
    weight_kg: Decimal | None = None,
    depth_cm: Decimal | None = None,
) -> list[str]:
    """What the mover has to know before the day; the first is said of every piano."""
    said = [LIFTING]
    if weight_kg is not None and weight_kg > team_screening_kg(4):
        said.append(
            f"It weighs about {weight_kg:.0f} kg, and the screening figure for four people is "
            f"{team_screening_kg(4)} kg: equipment is needed however many come."
        )
    if sum(steps) and not has_lift:
        carried = "1 step is" if sum(steps) == 1 else f"{sum(steps)} steps are"
        said.append(f"{carried} carried: have the stairs quoted from photographs.")
    if parking_m is not None and parking_m > USUAL_PARKING_M:
        said.append(
            f"The vehicle stands {parking_m} m away; a quote may assume {USUAL_PARKING_M} m. Tell the mover."
        )
    if door_widths_cm and depth_cm is not None and min(door_widths_cm) <= depth_cm:
        said.append(
            f"The narrowest door is {min(door_widths_cm)} cm and the piano {depth_cm:.0f} cm deep: it may "
            "not go through. Measure both again."
        )
    return said
