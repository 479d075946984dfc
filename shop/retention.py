"""What stays of a person whose data was erased, why, and until when.

Years after the last dealing, as the shop's terms say. Check your own law: six years for the records of the
UK margin scheme (gov.uk, keeping records), counted for what was bought from the day it was sold again.
"""

from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, Max, OuterRef

from shop.calc.margin import years_later
from shop.models import Erasure, ErasureKind, Person, Sale, ShopProfile
from shop.person_rows import NOW, ROWS, WHY

# The days of dealings, by the relation of a card that they stand under.
DAYS = (
    ("promises", "opened_on"),
    ("trials", "ended_on"),
    ("payments", "paid_on"),
    ("credit_entries", "entered_on"),
    ("purchases_from_us", "sold_on"),
    ("purchases_from_us", "ending__ended_on"),
    ("purchases_from_us", "care_visits__records__visited_on"),
    ("sold_to_us", "bought_on"),
    ("left_with_us", "handed_back_on"),
    ("sale_or_returns", "returned_on"),
    ("sale_or_returns", "payouts__paid_on"),
    ("commissions", "withdrawn_on"),
    ("commissions", "quotes__issued_on"),
    ("call_backs", "closed_on"),
)


@dataclass(frozen=True)
class Kept:
    """One person of whom something is kept still."""

    person: Person
    erasure: Erasure
    until: date | None  # None while something they sold us has not been sold again

    @property
    def why(self) -> list[str]:
        return [WHY[group] for group in self.erasure.kept_for if group in WHY]


def kept_of(person: Person) -> list[tuple[str, str]]:
    """(group, words) of each kind of row that stays: "payment (7)"."""
    counted = ((rows, rows.of(person).count()) for rows in ROWS if rows.goes != NOW)
    return [(rows.goes, f"{rows.title} ({count})") for rows, count in counted if count]


def going_of(person: Person) -> list[str]:
    """Each kind of row that goes at once, or whose words do."""
    counted = ((rows, rows.of(person).count()) for rows in ROWS if rows.goes == NOW and not rows.kept_back)
    return [f"{rows.title[:1].upper()}{rows.title[1:]} ({count})" for rows, count in counted if count]


def last_dealing(person: Person) -> date | None:
    days = (person.whole(relation).aggregate(last=Max(day))["last"] for relation, day in DAYS)
    return max(filter(None, days), default=None)


def kept_until(person: Person) -> date | None:
    """The day on which the last of it may go; None while no day can be told."""
    last = last_dealing(person)
    resold = _sold_again(person)
    if last is None or resold is None:
        return None
    return years_later(max([last, *resold]), ShopProfile.current().keep_years)


def _sold_again(person: Person) -> list[date] | None:
    """The days on which what they sold us left us again; None while any of it is here."""
    bought = person.whole("sold_to_us").values("instrument")
    gone = Sale.objects.filter(instrument=OuterRef("instrument"), promise__closed_at__isnull=True)
    if person.whole("sold_to_us").filter(~Exists(gone)).exists():
        return None
    return list(
        Sale.objects.filter(instrument__in=bought, promise__closed_at__isnull=True).values_list(
            "sold_on", flat=True
        )
    )


def still_kept() -> list[Kept]:
    """Whose request was met and something of theirs stays; the first to go first."""
    done = Erasure.objects.filter(person=OuterRef("person"), kind=ErasureKind.DUE)
    asked = Erasure.objects.filter(~Exists(done), kind=ErasureKind.CLOSED).select_related("person")
    rows = [Kept(each.person, each, kept_until(each.person)) for each in asked.order_by("kept_until", "id")]
    return sorted(rows, key=lambda row: (row.until or date.max, row.person.pk))
