"""What one sale still has to come: guarantee, tunings, reminders; for many in a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Prefetch, QuerySet
from django.utils import timezone

from instruments.models.together import asking, hand_on_each
from shop.calc.after_care import (
    CareTerms,
    PartTerms,
    first_tuning_between,
    guaranteed_until,
    is_outside_band,
    tuning_due_on,
    tunings_lacking,
)
from shop.care_states import RunsFrom, VisitKind
from shop.models import CareVisit, HandedOver, Sale, SaleCare, VisitRecord
from shop.rejecting import delivered_on

SOON = timedelta(days=28)
BESIDE = ("instrument", "person", "promise", "from_trial")


@dataclass(frozen=True)
class Guaranteed:
    """One part, and the last day for which it is promised; none where it is not in the guarantee."""

    part: PartTerms
    until: date | None

    def holds(self, on: date) -> bool:
        return self.until is not None and on <= self.until


@dataclass(frozen=True)
class CareStanding:
    """The after-care of one sale on a day."""

    sale: Sale
    agreed: SaleCare | None
    delivered_on: date | None
    visits: tuple[CareVisit, ...]
    records: tuple[VisitRecord, ...]  # newest first
    is_ended: bool
    on: date

    @property
    def terms(self) -> CareTerms | None:
        return self.agreed.care if self.agreed else None

    @property
    def at_home_since(self) -> date:
        """The day it was delivered; the day of the sale while nobody has written that down."""
        return self.delivered_on or self.sale.sold_on

    @property
    def starts_on(self) -> date:
        from_sale = self.terms and self.terms.runs_from == RunsFrom.SALE
        return self.sale.sold_on if from_sale else self.at_home_since

    @property
    def guaranteed(self) -> list[Guaranteed]:
        parts = self.terms.parts if self.terms else ()
        return [
            Guaranteed(part, guaranteed_until(self.starts_on, part.months) if part.covered else None)
            for part in parts
        ]

    @property
    def guarantee_ends_on(self) -> date | None:
        return max((each.until for each in self.guaranteed if each.until), default=None)

    @property
    def guarantee_words(self) -> str:
        """ "until 3 May 2027", or the first and the last part with their days; "" where there is none."""
        first = min((each.until for each in self.guaranteed if each.until), default=None)
        last = self.guarantee_ends_on
        if first is None or last is None:
            return ""
        if first == last:
            return f"until {last:%-d %B %Y}"
        return f"by part, the first until {self._until(first)}, the last until {self._until(last)}"

    def _until(self, day: date) -> str:
        names = [each.part.name.lower() for each in self.guaranteed if each.until == day]
        more = f" and {len(names) - 1} more" if len(names) > 1 else ""
        return f"{day:%-d %B %Y} ({names[0]}{more})"

    @property
    def next_end(self) -> date | None:
        """The next day on which some part leaves the guarantee."""
        return min((each.until for each in self.guaranteed if each.holds(self.on)), default=None)

    @property
    def tuned_on(self) -> list[date]:
        return [each.visited_on for each in self.records if each.visit.kind == VisitKind.TUNING]

    @property
    def booked(self) -> list[CareVisit]:
        return [visit for visit in self.visits if visit.is_booked]

    @property
    def booked_tuning(self) -> CareVisit | None:
        return next((visit for visit in self.booked if visit.kind == VisitKind.TUNING), None)

    @property
    def included_done(self) -> int:
        return sum(each.visit.included for each in self.records)

    @property
    def included_left(self) -> int:
        """Neither done nor booked yet."""
        if self.terms is None:
            return 0
        booked = sum(visit.included for visit in self.booked)
        return max(0, self.terms.included_tunings - self.included_done - booked)

    @property
    def next_due_on(self) -> date | None:
        """As the tuner said at the last visit, else by how many a year we advise."""
        if self.terms is None or self.is_ended:
            return None
        tunings = [each for each in self.records if each.visit.kind == VisitKind.TUNING]
        if tunings and tunings[0].next_due_on:
            return tunings[0].next_due_on
        return self._due_by_terms(self.tuned_on)

    def due_after(self, record: VisitRecord) -> date | None:
        """By how many a year we advise, after that tuning of this sale; none for any other visit."""
        if (
            self.terms is None
            or record.visit.sale_id != self.sale.pk
            or record.visit.kind != VisitKind.TUNING
        ):
            return None
        return self._due_by_terms([day for day in self.tuned_on if day <= record.visited_on])

    def _due_by_terms(self, tuned_on: list[date]) -> date | None:
        terms = self.terms
        return tuning_due_on(
            self.at_home_since,
            tuned_on,
            first_to_days=terms.first_to_days,
            first_year=terms.first_year,
            later=terms.later,
        )

    @property
    def first_visit_between(self) -> tuple[date, date] | None:
        if self.terms is None or self.tuned_on:
            return None
        return first_tuning_between(self.at_home_since, self.terms.first_from_days, self.terms.first_to_days)

    @property
    def is_reminded(self) -> bool:
        return bool(self.agreed and self.agreed.reminds and not self.is_ended)

    @property
    def waits(self) -> bool:
        """A tuning is due within four weeks or was due, and none is booked."""
        due = self.next_due_on
        return bool(self.is_reminded and due and not self.booked_tuning and due <= self.on + SOON)

    @property
    def is_late(self) -> bool:
        return self.waits and self.next_due_on < self.on

    @property
    def conditions(self) -> list[str]:
        """What the guarantee asks for and the record does not show; a person asks before anything follows."""
        if self.terms is None or not any(each.holds(self.on) for each in self.guaranteed):
            return []
        return [*self._tunings_lacking(), *self._air_outside()]

    def _tunings_lacking(self) -> list[str]:
        lacking = tunings_lacking(
            self.at_home_since, self.tuned_on, a_year=self.terms.tunings_a_year, on=self.on
        )
        return [
            f"In year {year} we know of {count} of the {self.terms.tunings_a_year} tunings it asks for: ask "
            "for the receipts of others."
            for year, count in lacking
        ]

    def _air_outside(self) -> list[str]:
        low, high = self.terms.humidity_low, self.terms.humidity_high
        return [
            f"On {each.visited_on:%-d %B %Y} the air stood at {each.humidity_percent.normalize():f} % RH, "
            f"outside {low} to {high} %."
            for each in self.records
            if each.humidity_percent is not None and is_outside_band(float(each.humidity_percent), low, high)
        ][:3]


def with_care(sales: QuerySet[Sale]) -> QuerySet[Sale]:
    """Everything a standing is made from, in a fixed number of queries."""
    written = VisitRecord.objects.standing().filter(was_done=True).select_related("visit")
    visits = CareVisit.objects.select_related("who").prefetch_related(
        Prefetch("records", queryset=written, to_attr="done")
    )
    return sales.select_related(*BESIDE).prefetch_related(
        "care_terms", "hand_overs", Prefetch("care_visits", queryset=visits)
    )


def cares_of(sales: Iterable[Sale], *, on: date | None = None) -> list[CareStanding]:
    """Of sales that came through `with_care`."""
    on = on or timezone.localdate()
    return [_standing(sale, on) for sale in sales]


@asking
def care_of_instrument(instrument, *, on: date):
    """As `CareStanding`, of the sale by which somebody has it now; None where nobody has."""
    sales = _standing_sales(instrument).select_related(*BESIDE)
    sales, *written = yield sales, *_written(sale__instrument=instrument)
    return next(iter(_cares_from(sales, *written, on=on)), None)


@asking
def cares_asked_for(sales: QuerySet[Sale], *, on: date):
    """As `cares_of`, beside other questions."""
    (sales,) = yield (sales.select_related(*BESIDE),)
    written = yield _written(sale__in=[sale.pk for sale in sales])
    return _cares_from(sales, *written, on=on)


def _written(**whose) -> tuple[QuerySet, ...]:
    """What was agreed, handed over, booked and done of these sales."""
    of_visits = {f"visit__{name}": value for name, value in whose.items()}
    return (
        SaleCare.objects.filter(**whose),
        HandedOver.objects.filter(**whose),
        CareVisit.objects.filter(**whose).select_related("who"),
        VisitRecord.objects.standing().filter(was_done=True, **of_visits).select_related("visit"),
    )


def _cares_from(sales, terms, handed, visits, records, *, on: date) -> list[CareStanding]:
    for visit in visits:
        visit.done = []
    of_visits = {visit.pk: visit for visit in visits}
    for record in records:
        of_visits[record.visit_id].done.append(record)
    hand_on_each(
        sales,
        care_terms=(terms, "sale_id"),
        hand_overs=(handed, "sale_id"),
        care_visits=(visits, "sale_id"),
    )
    return cares_of(sales, on=on)


def care_of(sale: Sale, *, on: date | None = None) -> CareStanding:
    return cares_of(with_care(Sale.objects.filter(pk=sale.pk)), on=on)[0]


def standing_sale_of(instrument) -> Sale | None:
    """The sale by which somebody has it now."""
    return _standing_sales(instrument).first()


def _standing_sales(instrument) -> QuerySet[Sale]:
    return Sale.objects.filter(instrument=instrument, promise__closed_at__isnull=True)[:1]


def _standing(sale: Sale, on: date) -> CareStanding:
    visits = tuple(sorted(sale.care_visits.all(), key=lambda visit: (visit.booked_for, visit.pk)))
    records = [each for visit in visits for each in visit.done]
    records.sort(key=lambda each: (each.visited_on, each.pk), reverse=True)
    return CareStanding(
        sale=sale,
        agreed=next(iter(sale.care_terms.all()), None),
        delivered_on=delivered_on(sale),
        visits=visits,
        records=tuple(records),
        is_ended=not sale.promise.is_open,
        on=on,
    )
