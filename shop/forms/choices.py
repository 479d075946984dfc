"""Choosing one of many by a few letters: a person, or another instrument; with or without script, bounded.

    person = PersonChoice(label="Seller")                          # or somebody new, named in `new_name`
    person = PersonChoice(label="For whom", nobody="shop", beside="")
    other = InstrumentChoice(label="Exchanged for", queryset=…)

`includes/field.html` draws it: a box to type in, a button Find, and a short list of radio buttons with what
is chosen always among them. With script the list follows the typing (`shop:person_matches`,
`shop:instrument_matches`); without, Find sends the form, which `answer_form` shows again as it stood, judging
and keeping nothing (a view that does not use it asks `only_finds` first). What was typed and not chosen is
never passed over: the form asks. `beside` names the field that says who it is instead.
"""

from dataclasses import dataclass
from functools import cached_property

from django import forms
from django.urls import reverse_lazy
from django.utils.text import Truncator

from instruments.forms.plain import PlainBoundField
from instruments.models import Instrument
from shop.models import Person
from workorders.currency import in_words

MOST_SHOWN = 8
LONGEST_BESIDE = 60  # characters of what stands beside a name
NEWEST_SHOWN = 4  # while nothing was typed
MOST_LETTERS = 100
ONLY_ONE = "The only one that goes with it; it is chosen."
NOBODY = {
    "new": "Somebody new",
    "off": "Not on file",
    "unknown": "Not recorded",
    "shop": "The shop itself",
}


class Answer(str):
    """The key that was chosen, what was typed to find it, and whether the field beside says who it is."""

    typed: str
    is_said_beside: bool


@dataclass(frozen=True)
class Row:
    key: str
    words: str
    detail: str
    is_chosen: bool


@dataclass(frozen=True)
class Shown:
    """What stands to choose from, and a sentence on what does not."""

    rows: list[Row]
    nobody: str
    nobody_is_chosen: bool
    sentence: str


class FindWidget(forms.Widget):
    """Drawn by `includes/find_choice.html`."""

    def __init__(self, beside: str = "", attrs: dict | None = None):
        super().__init__(attrs)
        self.beside = beside

    def value_from_datadict(self, data, files, name) -> Answer:
        answer = Answer(data.get(name) or "")
        answer.typed = data.get(f"{name}_find") or ""
        answer.is_said_beside = bool(self.beside and data.get(self.beside))
        return answer

    def id_for_label(self, id_) -> str:
        return f"{id_}_find"

    def use_required_attribute(self, initial) -> bool:
        return False


class FoundBoundField(PlainBoundField):
    @cached_property
    def typed(self) -> str:
        return self.data.typed if self.form.is_bound else ""

    @cached_property
    def shown(self) -> Shown:
        alike = getattr(self.form, "alike", None) if self.name == "person" else None
        return self.field.shown(self.typed, self.value(), alike=alike)


class FoundChoice(forms.ModelChoiceField):
    bound_field_class = FoundBoundField
    find_label = "Find"
    matches_url = ""
    nothing_found = "Nothing goes with “{typed}”."

    def __init__(self, queryset, *, nobody: str = "", beside: str = "", **options):
        self.nobody = nobody
        options.setdefault("error_messages", {"required": "Find it by a few letters, and choose it."})
        super().__init__(queryset, widget=FindWidget(beside), **options)

    def __deepcopy__(self, memo):
        copied = super().__deepcopy__(memo)
        copied.nobody = self.nobody
        return copied

    def clean(self, value):
        typed, said_beside = getattr(value, "typed", "").strip(), getattr(value, "is_said_beside", False)
        if typed and not value and not said_beside:
            raise forms.ValidationError(self._not_chosen(typed), code="not_chosen")
        chosen = super().clean(str(value) if value is not None else value)
        if typed and chosen and not self._found(typed).filter(pk=chosen.pk).exists():
            raise forms.ValidationError(self._not_chosen(typed), code="not_chosen")
        return chosen

    def shown(self, typed: str, value, *, alike: list | None = None) -> Shown:
        """The one that is chosen, and a few that go with what was typed; the newest where nothing was.

        `alike` are those that somebody new may be: they stand instead.
        """
        if alike:
            rows = [self._row(each, is_chosen=False) for each in alike]
            return Shown(rows, NOBODY[self.nobody], nobody_is_chosen=True, sentence="")
        chosen, typed = self._chosen(value), typed.strip()
        rows = self._found(typed) if typed else self.queryset.order_by("-pk")
        most = MOST_SHOWN if typed else NEWEST_SHOWN
        found = list(rows[: most + 2])  # the chosen may be among them, and one more says that there are more
        if typed and len(found) == 1 and not getattr(value, "is_said_beside", False):
            return self._with_only(found[0], chosen)
        found = [each for each in found if each != chosen][: most + 1]
        each = [self._row(row, is_chosen=False) for row in found[:most]]
        return Shown(
            rows=[*([self._row(chosen, is_chosen=True)] if chosen else []), *each],
            nobody="" if self.required else NOBODY[self.nobody],
            nobody_is_chosen=not chosen,
            sentence=self._sentence(typed, len(found), most),
        )

    def _with_only(self, only, chosen) -> Shown:
        """It is chosen: what was chosen before and does not go with the words would be refused anyway."""
        others = [self._row(chosen, is_chosen=False)] if chosen and chosen != only else []
        return Shown(
            rows=[self._row(only, is_chosen=True), *others],
            nobody="" if self.required else NOBODY[self.nobody],
            nobody_is_chosen=False,
            sentence=ONLY_ONE,
        )

    def describe(self, row) -> tuple[str, str]:
        """What names it, and what tells it from another of that name."""
        return str(row), ""

    def _row(self, row, *, is_chosen: bool) -> Row:
        words, detail = self.describe(row)
        return Row(str(row.pk), words, detail, is_chosen)

    def _found(self, typed: str):
        return self.queryset.search(typed[:MOST_LETTERS])

    def _chosen(self, value):
        try:
            return self.to_python(str(value)) if value else None
        except forms.ValidationError:
            return None

    def _sentence(self, typed: str, found: int, most: int) -> str:
        if found > most:
            return "There are more: type more of it." if typed else "The newest. Type for the others."
        return self.nothing_found.format(typed=f"{typed:.40}") if typed and not found else ""

    def _not_chosen(self, typed: str) -> str:
        return f"Choose which of them “{typed:.40}” is, or empty the box."


class PersonChoice(FoundChoice):
    """A person on file. Left open it is `NOBODY[nobody]`, and somebody new is named in the field `beside`.

    Where a card was joined with another since it was chosen, the one that stands is.
    """

    find_label = "Find by name, address, telephone or e-mail"
    matches_url = reverse_lazy("shop:person_matches")
    nothing_found = "Nobody on file goes with “{typed}”."

    def __init__(self, *, nobody: str = "new", beside: str = "new_name", **options):
        super().__init__(Person.objects.standing(), nobody=nobody, beside=beside, required=False, **options)

    def describe(self, person) -> tuple[str, str]:
        address = " ".join(person.address.split())
        return person.name, Truncator(address or person.telephone or person.email).chars(LONGEST_BESIDE)

    def to_python(self, value):
        try:
            return super().to_python(value)
        except forms.ValidationError:
            key = int(str(value)[:18]) if str(value).isdecimal() else 0
            if card := Person.objects.standing().filter(doubles=key).first():
                return card
            raise

    def _not_chosen(self, typed: str) -> str:
        return f"Choose who “{typed:.40}” is, or empty the box."


class InstrumentChoice(FoundChoice):
    """An instrument out of `queryset`, which may carry `price_now`."""

    find_label = "Find by maker, serial or stock number"
    matches_url = reverse_lazy("shop:instrument_matches")

    def __init__(self, *, queryset=None, **options):
        super().__init__(Instrument.objects.none() if queryset is None else queryset, **options)

    def describe(self, instrument) -> tuple[str, str]:
        price = getattr(instrument, "price_now", None)
        return f"{instrument.stock_number} {instrument.maker_name}", in_words(price) if price else ""
