"""What the lines of the books come to: sums by scheme, and the boxes an accountant asks for."""

from dataclasses import asdict, dataclass
from datetime import date

from django.db.models import Count, Q, QuerySet, Sum

from shop.models import BookLine
from shop.states import LineKind, TaxScheme


@dataclass(frozen=True)
class SchemeSums:
    """What was sold and charged under one scheme; what was taken back is taken off."""

    treatment: str
    label: str
    lines: int
    gross_minor: int
    cost_minor: int
    tax_minor: int

    @property
    def net_minor(self) -> int:
        return self.gross_minor - self.tax_minor


@dataclass(frozen=True)
class Figures:
    lines: int
    without_price: int  # bought, and nobody wrote down for how much
    bought_minor: int
    input_tax_minor: int
    schemes: tuple[SchemeSums, ...]

    @property
    def gross_minor(self) -> int:
        return sum(each.gross_minor for each in self.schemes)

    @property
    def tax_minor(self) -> int:
        return sum(each.tax_minor for each in self.schemes)

    @property
    def net_minor(self) -> int:
        return self.gross_minor - self.tax_minor

    @property
    def bought_net_minor(self) -> int:
        return self.bought_minor - self.input_tax_minor

    @property
    def boxes(self) -> list[tuple[str, str, int]]:
        """Boxes of the UK return: number, what stands in it, amount (CHECKS 6, after HMRC)."""
        return [
            ("1", "VAT due on sales: on margins, and in full on the rest", self.tax_minor),
            ("4", "VAT on the purchase invoices that show it", self.input_tax_minor),
            ("6", "Sales less the VAT on them", self.net_minor),
            ("7", "Full purchase prices, less VAT shown", self.bought_net_minor),
        ]

    def plain(self) -> dict:
        return asdict(self)

    @classmethod
    def from_plain(cls, plain: dict) -> "Figures":
        return cls(**plain | {"schemes": tuple(SchemeSums(**each) for each in plain["schemes"])})


def figures_of(lines: QuerySet) -> Figures:
    bought = lines.filter(kind=LineKind.BOUGHT).aggregate(
        paid=Sum("cost_minor"),
        tax=Sum("input_tax_minor"),
        unknown=Count(
            "pk", filter=Q(cost_minor__isnull=True, corrects__isnull=True, corrected_by__isnull=True)
        ),
    )
    return Figures(
        lines=lines.count(),
        without_price=bought["unknown"],
        bought_minor=bought["paid"] or 0,
        input_tax_minor=bought["tax"] or 0,
        schemes=tuple(_by_scheme(lines.exclude(kind=LineKind.BOUGHT))),
    )


def figures_between(starts_on: date, ends_on: date) -> Figures:
    return figures_of(BookLine.objects.between(starts_on, ends_on))


def _by_scheme(lines: QuerySet):
    sums = (
        lines.order_by()
        .values("treatment")
        .annotate(lines=Count("pk"), gross=Sum("gross_minor"), cost=Sum("cost_minor"), tax=Sum("tax_minor"))
        .order_by("treatment")
    )
    labels = dict(TaxScheme.choices)
    for each in sums:
        treatment = each["treatment"]
        yield SchemeSums(
            treatment=treatment,
            label=labels.get(treatment, "Not said"),
            lines=each["lines"],
            gross_minor=each["gross"],
            cost_minor=each["cost"] or 0,
            tax_minor=each["tax"],
        )
