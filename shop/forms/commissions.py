"""A customer's wishes: what is quoted, how it was approved, what came on top."""

from collections.abc import Mapping, Sequence

from django import forms

from instruments.forms.documents import ScanField
from instruments.forms.fields import DayField, NumberField, PastDayField
from shop.commission_problems import MOST_WISHES, wishes_problems
from shop.models import Quote
from shop.models.commission import OWN_CURVE
from shop.states import ApprovalWay
from workorders.forms.fields import MoneyField
from workorders.models import Task

ROWS_OPEN = 3  # further rows are folded away until they are wanted
WISH_FIELDS = (
    *("words", "price_minor", "is_irreversible", "caution", "task"),
    *("touch_shift_g", *OWN_CURVE),
)


class CommissionForm(forms.Form):
    title = forms.CharField(
        label="What is wished, in a few words",
        max_length=120,
        help_text="Touch 3 g lighter, polish to satin.",
    )
    due_on = DayField(label="Wanted by", required=False)
    note = forms.CharField(
        label="Note for the bench", max_length=4000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )


class WishForm(forms.Form):
    """One line of a quote; a line left empty is no wish."""

    words = forms.CharField(label="Wish", max_length=200, required=False)
    price_minor = MoneyField(label="Price, with tax", required=False)
    task = forms.ModelChoiceField(
        label="Work from the library",
        queryset=Task.objects.none(),
        required=False,
        empty_label="In the words of the wish",
    )
    is_irreversible = forms.BooleanField(
        label="It cannot be undone", required=False, help_text="Paint, recut or new coverings."
    )
    caution = forms.CharField(
        label="What is lost by it", max_length=200, required=False, help_text="The old polish goes for good."
    )
    touch_shift_g = NumberField(
        label="Touch heavier, or lighter with a minus", required=False, max_digits=3, decimal_places=1
    )
    touch_bass_g = NumberField(label="Or lowest key", required=False, max_digits=4, decimal_places=1)
    touch_middle_g = NumberField(label="Middle", required=False, max_digits=4, decimal_places=1)
    touch_treble_g = NumberField(label="Highest key", required=False, max_digits=4, decimal_places=1)

    def __init__(self, *args, tasks, **options):
        super().__init__(*args, use_required_attribute=False, **options)
        self.fields["task"].queryset = tasks
        for name in ("touch_shift_g", *OWN_CURVE):
            self.fields[name].unit = "g"

    @property
    def is_filled(self) -> bool:
        return bool(getattr(self, "cleaned_data", {}).get("words"))

    def clean(self) -> dict:
        cleaned = super().clean()
        self._wants_words(cleaned)
        if cleaned.get("words") and cleaned.get("price_minor") is None and "price_minor" not in self.errors:
            self.add_error("price_minor", "Give its price; 0 where it is done for nothing.")
        if cleaned.get("is_irreversible") and not cleaned.get("caution"):
            self.add_error("caution", "Say what is lost, so that they know what they tick.")
        curve = [cleaned.get(name) for name in OWN_CURVE]
        if any(grams is not None for grams in curve):
            if None in curve:
                self.add_error("touch_bass_g", "Give all three: lowest key, middle and highest key.")
            if cleaned.get("touch_shift_g") is not None:
                self.add_error("touch_shift_g", "Either so many grams lighter, or the three weights.")
        shift = cleaned.get("touch_shift_g")
        if shift is not None and not 0 < abs(shift) <= 15:
            self.add_error("touch_shift_g", "Between 15 g lighter (−15) and 15 g heavier, and not 0.")
        return cleaned

    def _wants_words(self, cleaned: Mapping) -> None:
        asked = [
            name for name in WISH_FIELDS if name != "words" and cleaned.get(name) not in (None, "", False)
        ]
        if asked and not cleaned.get("words") and "words" not in self.errors:
            self.add_error("words", "Say what is wished.")

    def wish(self) -> dict:
        return {name: self.cleaned_data[name] for name in WISH_FIELDS}


class QuoteForm(forms.Form):
    """A version of the quote: its lines, how long it holds, what is asked for first."""

    valid_until = DayField(label="Holds until")
    deposit_minor = MoneyField(label="Deposit asked for", required=False)
    extras_cap_minor = MoneyField(
        label="Extras without asking again, up to",
        required=False,
        help_text="Left empty: every extra is asked.",
    )
    note = forms.CharField(
        label="Anything else they should read",
        max_length=600,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, data=None, *, instrument, today, wishes: Sequence[Mapping] = (), **options):
        super().__init__(data, **options)
        self.instrument, self.today = instrument, today
        tasks = Task.objects.in_use()
        wishes = [*wishes, *({} for _ in range(MOST_WISHES - len(wishes)))]
        self.rows = [
            WishForm(data, prefix=f"wish-{number}", initial=wish, tasks=tasks)
            for number, wish in enumerate(wishes, start=1)
        ]

    @property
    def rows_open(self) -> list[WishForm]:
        return self.rows[: self._open_count]

    @property
    def rows_folded(self) -> list[WishForm]:
        return self.rows[self._open_count :]

    @property
    def _open_count(self) -> int:
        """As many as hold something, and at least a few."""
        filled = [
            number
            for number, row in enumerate(self.rows, start=1)
            if row["words"].value() or (row.is_bound and row.errors)
        ]
        return max([ROWS_OPEN, *filled])

    def is_valid(self) -> bool:
        faulty = [row for row in self.rows if not row.is_valid()]  # every one, so that each shows its errors
        return super().is_valid() and not faulty

    def clean_valid_until(self):
        until = self.cleaned_data["valid_until"]
        if until < self.today:
            raise forms.ValidationError("That day has passed.")
        return until

    def clean(self) -> dict:
        cleaned = super().clean()
        if all(row.is_valid() for row in self.rows):
            for problem in wishes_problems(self.wishes(), self.instrument):
                self.add_error(None, problem.sentence)
            total = sum(wish["price_minor"] for wish in self.wishes())
            if (cleaned.get("deposit_minor") or 0) > total:
                self.add_error("deposit_minor", "That is more than the work comes to.")
        return cleaned

    def wishes(self) -> list[dict]:
        return [row.wish() for row in self.rows if row.is_filled]

    def terms(self) -> dict:
        cleaned = self.cleaned_data
        return {
            "valid_until": cleaned["valid_until"],
            "deposit_minor": cleaned["deposit_minor"] or 0,
            "extras_cap_minor": cleaned["extras_cap_minor"] or 0,
            "note": cleaned["note"],
        }


class ApprovalScanField(ScanField):
    """The approval itself, where it is a file."""

    def clean(self, data, initial=None):
        return super().clean(data, initial) if data else None


class ApprovalForm(forms.Form):
    """The customer's written yes, with a tick for each line that cannot be undone."""

    approved_by_name = forms.CharField(label="Who approved it", max_length=120)
    way = forms.ChoiceField(label="How", choices=ApprovalWay, widget=forms.RadioSelect)
    approved_on = PastDayField(label="On what day")
    file = ApprovalScanField(
        label="The signed paper or the message",
        required=False,
        help_text="PDF, JPEG, PNG, WebP or HEIC, up to 30 MB. Kept byte for byte, and never public.",
    )
    reference = forms.CharField(
        label="Or where it can be found",
        max_length=120,
        required=False,
        help_text="“E-mail of 3 May, 14:20”, “folder of May”.",
    )

    def __init__(self, *args, quote: Quote, **options):
        super().__init__(*args, **options)
        self.final = [wish for wish in quote.wishes.all() if wish.is_irreversible]
        for wish in self.final:
            self.fields[_tick(wish)] = forms.BooleanField(
                label=f"“{wish.words}” cannot be undone", required=False, help_text=wish.caution
            )

    @property
    def ticks(self):
        return [self[_tick(wish)] for wish in self.final]

    def clean(self) -> dict:
        cleaned = super().clean()
        for wish in self.final:
            if not cleaned.get(_tick(wish)):
                self.add_error(_tick(wish), "The customer has to have ticked this line by itself.")
        if not cleaned.get("file") and not cleaned.get("reference") and "file" not in self.errors:
            self.add_error("file", "Add the approval as a file, or say where it can be found.")
        return cleaned

    def agreed(self) -> list:
        return [wish for wish in self.final if self.cleaned_data.get(_tick(wish))]


def _tick(wish) -> str:
    return f"final_{wish.pk}"


class ExtraForm(forms.Form):
    words = forms.CharField(label="What it is", max_length=200)
    price_minor = MoneyField(label="Price, with tax")

    def clean_price_minor(self):
        amount = self.cleaned_data["price_minor"]
        if amount == 0:
            raise forms.ValidationError("An extra that costs nothing needs no line.")
        return amount


class BecauseForm(forms.Form):
    reason = forms.CharField(label="Why", max_length=300, widget=forms.Textarea(attrs={"rows": 3}))
