"""A kind of row that is only ever added: who wrote it and when, and what it says in a line."""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import CharField, F, Model, Q, QuerySet, Value

from instruments.models import Document, Instrument


@dataclass(frozen=True)
class Kind:
    """One model: the path to its instrument, who and when, the right to read it, and its line."""

    model: type[Model]
    line: Callable[[Model, object], str]
    path: str = "instrument"
    or_path: str = ""  # another path to it, for rows that stand under one of two things
    who: str = "recorded_by"
    at: str = "recorded_at"
    right: str = ""
    beside: tuple[str, ...] = ()  # what the line speaks of besides the row, fetched with it
    several: tuple[str, ...] = ()  # the same, where there may be more than one

    @property
    def code(self) -> str:
        return f"written {self.model._meta.model_name}"

    @property
    def title(self) -> str:
        name = str(self.model._meta.verbose_name)
        return name[:1].upper() + name[1:]

    def references(self, instrument: Instrument, *, user) -> QuerySet:
        """Kind, key and moment of every row this person may read, as `changes.versions_of` joins them."""
        paths = [path for path in (self.path, self.or_path) if path]
        rows = self.model.objects.filter(Q(*[(path, instrument.pk) for path in paths], _connector=Q.OR))
        if self.model is Document:
            rows = rows.open_to(user)
        return (
            rows.order_by()
            .annotate(
                row_kind=Value(self.code, output_field=CharField()),
                history_id=F("pk"),
                history_date=F(self.at),
            )
            .values("row_kind", "history_id", "history_date")
        )

    def rows(self, keys: list[int]) -> QuerySet:
        return (
            self.model.objects.filter(pk__in=keys)
            .select_related(self.who, *self.beside)
            .prefetch_related(*self.several)
        )


def sentence(*parts: str) -> str:
    return ". ".join(part.strip().rstrip(".") for part in parts if part and part.strip())
