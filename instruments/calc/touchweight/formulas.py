"""Touch weight: what a key needs to sink (down-weight D), what it still lifts (up-weight U), all in grams.

Numbers may be int, str or Decimal (floats go through `str`); results are exact Decimals.
Sources: friction, balance weight and their example from a CAUT list post (moypiano.com/ptg/caut.php) and
D. Stanwood, pianotech 11 Dec 2003; leads as first and second moments from S. Birkett, pianotech 26 Jul 1995.
"""

from decimal import Decimal
from fractions import Fraction

from instruments.calc.exact import Number, exact, plain

LEAD_DENSITY_G_CM3 = Decimal("11.34")  # from memory
_PI = Decimal("3.14159265358979323846")


def friction_g(down_g: Number, up_g: Number) -> Decimal:
    """(D - U) / 2. ValueError for negative weights and for an up-weight above the down-weight."""
    down, up = weight_pair(down_g, up_g)
    return (down - up) / 2


def balance_weight_g(down_g: Number, up_g: Number) -> Decimal:
    """(D + U) / 2; friction leaves it unchanged. Errors as for `friction_g`."""
    down, up = weight_pair(down_g, up_g)
    return (down + up) / 2


def down_and_up_g(balance_g: Number, friction: Number) -> tuple[Decimal, Decimal]:
    """The two readings that a balance weight and a friction amount to."""
    balance, rubbing = exact(balance_g, "balance weight"), exact(friction, "friction")
    return balance + rubbing, balance - rubbing


def target_g(
    position: int, key_count: int, *, bass_g: Number = 52, middle_g: Number = 50, treble_g: Number = 48
) -> Decimal:
    """The down-weight aimed at for the key at a position 1..key_count, counted from the lowest.

    Straight from the bass figure to the middle one at the middle of the keyboard, and on to the treble one.
    The defaults are the house curve: T = 52 - 4 (k - 1) / (N - 1) (own choice, inside the published
    "mid-50s bass to upper-40s top" of pianotuningmatters.blogspot.com, July 2016). ValueError outside 1..N.
    """
    if key_count < 2 or not 1 <= position <= key_count:
        raise ValueError(f"There is no position {position} on a keyboard of {key_count} keys.")
    middle, half = Fraction(exact(middle_g)), Fraction(key_count + 1, 2)
    end = Fraction(exact(bass_g if position < half else treble_g))
    grams = middle + (end - middle) * abs(position - half) / (half - 1)
    return Decimal(grams.numerator) / Decimal(grams.denominator)


def lead_effect_g(mass_g: Number, distance_mm: Number, front_mm: Number) -> Decimal:
    """By how much a lead lowers D, U and balance weight at the measuring point: m * x / L.

    `distance_mm` x runs from the balance rail to the lead, forwards; negative is behind the rail and makes
    the key heavier. `front_mm` L runs from the balance rail to where the weights are set, above 0.
    """
    return weight(mass_g, "mass of the lead") * exact(distance_mm, "distance") / _front(front_mm)


def lead_needed_g(change_g: Number, distance_mm: Number, front_mm: Number) -> Decimal:
    """The lead that lowers the touch by `change_g` at a given place: w * L / x. ValueError at the rail."""
    distance = exact(distance_mm, "distance")
    if distance == 0:
        raise ValueError("A lead over the balance rail changes nothing.")
    return exact(change_g, "change") * _front(front_mm) / distance


def lead_inertia_g_mm2(mass_g: Number, distance_mm: Number) -> Decimal:
    """What the lead adds to the key's moment of inertia: m * x squared."""
    return weight(mass_g, "mass of the lead") * exact(distance_mm, "distance") ** 2


def lead_mass_g(diameter_mm: Number, length_mm: Number) -> Decimal:
    """Mass of a round lead, at 11.34 g/cm3 (density from memory)."""
    volume_mm3 = _PI / 4 * exact(diameter_mm, "diameter") ** 2 * exact(length_mm, "length")
    return volume_mm3 / 1000 * LEAD_DENSITY_G_CM3


def key_stick_friction_band(friction: Number) -> str:
    """ "low" to 3 g, "medium" to 6 g, "high" above: the key alone, stack removed (Stanwood 2003)."""
    rubbing = exact(friction, "friction")
    return "low" if rubbing <= 3 else "medium" if rubbing <= 6 else "high"


def weight(value: Number, what: str) -> Decimal:
    """A weight in grams that may be read on a key: a number, not negative."""
    grams = exact(value, what)
    if grams < 0:
        raise ValueError(f"The {what} cannot be negative.")
    return grams


def weight_pair(down_g: Number, up_g: Number) -> tuple[Decimal, Decimal]:
    """Down- and up-weight that can belong to one key."""
    down, up = weight(down_g, "down-weight"), weight(up_g, "up-weight")
    if up > down:
        raise ValueError(f"The up-weight ({plain(up)} g) cannot be above the down-weight ({plain(down)} g).")
    return down, up


def _front(front_mm: Number) -> Decimal:
    front = exact(front_mm, "distance to the measuring point")
    if front <= 0:
        raise ValueError("The distance from the balance rail to the measuring point has to be above 0 mm.")
    return front
