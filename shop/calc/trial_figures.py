"""What a home trial comes to in each of its endings. Minor units throughout."""

from dataclasses import dataclass
from decimal import Decimal

from workorders.calc.money import share_minor


@dataclass(frozen=True)
class Exchange:
    """What becomes of a credit when another instrument is chosen."""

    other_price_minor: int
    used_minor: int
    still_to_pay_minor: int
    left_in_credit_minor: int

    def __post_init__(self):
        paid_by_credit = self.other_price_minor - self.still_to_pay_minor
        if self.used_minor != paid_by_credit or self.still_to_pay_minor * self.left_in_credit_minor:
            raise ValueError("these figures of an exchange do not add up")


@dataclass(frozen=True)
class Return:
    """What becomes of what was paid when the instrument comes back."""

    paid_minor: int
    deduction_minor: int

    def __post_init__(self):
        if min(self.paid_minor, self.deduction_minor) < 0:
            raise ValueError("amounts cannot be negative")
        if self.deduction_minor > self.paid_minor:
            raise ValueError("the deduction is more than was paid")

    @property
    def rest_minor(self) -> int:
        """To be given back, or left in credit."""
        return self.paid_minor - self.deduction_minor


def exchange(credit_minor: int, other_price_minor: int) -> Exchange:
    """Conserved: what the credit pays and what is left of it are together the credit."""
    used = min(credit_minor, other_price_minor)
    return Exchange(
        other_price_minor=other_price_minor,
        used_minor=used,
        still_to_pay_minor=other_price_minor - used,
        left_in_credit_minor=credit_minor - used,
    )


@dataclass(frozen=True)
class TrialFigures:
    """The sums of one agreement. ValueError when they cannot all be true."""

    price_minor: int
    paid_minor: int
    delivery_minor: int = 0
    delivery_counts: bool = False
    credit_percent: int = 100

    def __post_init__(self):
        if min(self.price_minor, self.paid_minor, self.delivery_minor) < 0:
            raise ValueError("amounts cannot be negative")
        if not 0 <= self.credit_percent <= 100:
            raise ValueError("the share that counts lies between 0 and 100 %")
        if self.counting_minor > self.price_minor:
            raise ValueError("more would count toward the price than the price itself")

    @property
    def due_at_start_minor(self) -> int:
        return self.paid_minor + self.delivery_minor

    @property
    def counting_minor(self) -> int:
        """Toward this instrument, if it is kept."""
        return self.paid_minor + (self.delivery_minor if self.delivery_counts else 0)

    @property
    def still_to_pay_minor(self) -> int:
        return self.price_minor - self.counting_minor

    @property
    def credit_minor(self) -> int:
        """Toward another instrument: the agreed share of what counts, half a minor unit rounding up."""
        return share_minor(self.counting_minor, Decimal(self.credit_percent) / 100)

    def exchanged_for(self, other_price_minor: int) -> Exchange:
        return exchange(self.credit_minor, other_price_minor)

    def example_prices(self, step_minor: int) -> tuple[int, int]:
        """A dearer and a cheaper instrument to reckon with: 15 % either way, outward to whole steps."""
        dearer = max(step_minor, -(self.price_minor * 115 // -100 // step_minor) * step_minor)
        cheaper = max(step_minor, self.price_minor * 85 // 100 // step_minor * step_minor)
        return dearer, cheaper
