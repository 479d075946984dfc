"""What stock has cost: the average of what came in, in whole minor units, with nothing lost on the way."""

from decimal import Decimal
from fractions import Fraction

from workorders.calc.money import share_minor


def used_minor(quantity: Decimal, on_hand: Decimal, on_hand_minor: int) -> int:
    """What so much of what is on hand has cost, in minor units, by the average of what came in.

    The share of the cost on hand, rounded half up; the last of it takes all that is left, so that the costs
    of what is used add up to the cost of what came in to the penny. Quantities above 0, at most what is on
    hand; ValueError otherwise. A moving weighted average: common practice of stock keeping (IAS 2, paragraph
    27, allows one taken after each delivery; from memory).

    150 pins that came in for 19.50 (100 for 12.00, then 50 for 7.50) are 13 pence each: 7 of them cost 91.
    """
    if not 0 < quantity <= on_hand or on_hand_minor < 0:
        raise ValueError("Only what is on hand can be used.")
    return share_minor(on_hand_minor, Fraction(quantity) / Fraction(on_hand))


def found_minor(quantity: Decimal, on_hand: Decimal, on_hand_minor: int) -> int:
    """What more than was on hand counts for when it is found: the average of what was there, half up."""
    if quantity <= 0 or on_hand <= 0 or on_hand_minor < 0:
        raise ValueError("Without anything on hand there is no average.")
    return share_minor(on_hand_minor, Fraction(quantity) / Fraction(on_hand))
