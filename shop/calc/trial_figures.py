"""What a home trial comes to in each of its endings. Minor units throughout."""

from dataclasses import dataclass, field

from shop.calc.credit_terms import Counting, CreditRule


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

    def over_from_trial_minor(self, credit_before_minor: int) -> int:
        """What is left over of the trial's own value: what was in credit before is spent first."""
        counted = self.used_minor + self.left_in_credit_minor - credit_before_minor
        return min(self.left_in_credit_minor, counted)


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
    credit: CreditRule = field(default_factory=CreditRule)

    def __post_init__(self):
        if min(self.price_minor, self.paid_minor, self.delivery_minor) < 0:
            raise ValueError("amounts cannot be negative")
        if self.paid_minor > self.price_minor:
            raise ValueError("more would be paid toward the price than the price itself")

    @property
    def due_at_start_minor(self) -> int:
        return self.paid_minor + self.delivery_minor

    @property
    def delivery_counts(self) -> bool:
        return "delivery" in self.credit.fees_that_count

    @property
    def counting_minor(self) -> int:
        """What is paid at the start and counts by the terms."""
        return self.paid_minor + (self.delivery_minor if self.delivery_counts else 0)

    @property
    def still_to_pay_minor(self) -> int:
        """If it is kept: a fee that counts comes off the price, and off no more than is there."""
        return max(0, self.price_minor - self.counting_minor)

    @property
    def credit_minor(self) -> int:
        """Toward another instrument, from the first day: half a minor unit rounds up, once."""
        fees = self.counting_minor - self.paid_minor
        return Counting(self.paid_minor, fees, self.credit.share_at_first).credit_minor

    def exchanged_for(self, other_price_minor: int) -> Exchange:
        return exchange(self.credit_minor, other_price_minor)

    def example_prices(self, step_minor: int) -> tuple[int, int]:
        """A dearer and a cheaper instrument to reckon with: 15 % either way, outward to whole steps."""
        dearer = max(step_minor, -(self.price_minor * 115 // -100 // step_minor) * step_minor)
        cheaper = max(step_minor, self.price_minor * 85 // 100 // step_minor * step_minor)
        return dearer, cheaper
