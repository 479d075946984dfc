"""Who and what the diary speaks of, found again by the names the tables use."""

from concurrent.futures import Future
from dataclasses import dataclass, field

from django.contrib.auth.models import User

from instruments.models import Document, Instrument, Photo, Statement
from shop.demo.pictures import Shot, TakenAfter
from shop.models import Person
from workorders.models import Task, WorkItem


@dataclass
class ShopAtWork:
    staff: dict[str, User]
    picture_px: int
    people: dict[str, int] = field(default_factory=dict)
    stock_numbers: dict[str, str] = field(default_factory=dict)
    statements: dict[tuple[str, str], Statement] = field(default_factory=dict)
    photos: dict[str, list[Photo]] = field(default_factory=dict)
    documents: dict[tuple[str, str], Document] = field(default_factory=dict)
    later_shots: dict[str, Future[Shot]] = field(default_factory=dict)
    shots_after: TakenAfter = field(default_factory=dict)
    items: dict[tuple[str, str], WorkItem] = field(default_factory=dict)

    def instrument(self, key: str) -> Instrument:
        """As it stands in the database now, not as somebody left it in memory."""
        return Instrument.objects.get(stock_number=self.stock_numbers[key])

    def person(self, name: str) -> Person:
        return Person.objects.get(pk=self.people[name])

    def tasks(self, codes) -> list[Task]:
        found = {task.code: task for task in Task.objects.filter(code__in=codes)}
        return [found[code] for code in codes]
