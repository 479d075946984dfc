"""The usual after-care of the shop, its parts, and what is agreed with one sale."""

from dataclasses import replace

from django import forms
from django.utils.text import slugify

from shop.actions.care_terms import save_guarantee_part
from shop.calc.after_care import CareTerms, PartTerms
from shop.models import GuaranteePart, UsualCare
from shop.models.care_terms import MOST_MONTHS

RESERVED = {"", "new"}  # this word stands in the addresses of the parts
OF_ONE_SALE = (
    *("runs_from", "tunings_a_year", "keeps_receipts", "humidity_low", "humidity_high", "asks_first"),
    *("excluded", "included_tunings", "first_from_days", "first_to_days", "first_year", "later"),
)
WHOLE_NUMBER = {"invalid": "Give a whole number, such as 12."}


class BandMixin:
    """A band of air, and a first visit that begins before it ends."""

    def clean(self):
        cleaned = super().clean()
        low, high = cleaned.get("humidity_low"), cleaned.get("humidity_high")
        if low is not None and high is not None and low >= high:
            self.add_error("humidity_high", f"Give more than {low} %.")
        begins, ends = cleaned.get("first_from_days"), cleaned.get("first_to_days")
        if begins is not None and ends is not None and begins > ends:
            self.add_error("first_to_days", f"Give {begins} days or more.")
        return cleaned


class UsualCareForm(BandMixin, forms.ModelForm):
    class Meta:
        model = UsualCare
        fields = [*OF_ONE_SALE, "answer_days", "answer_urgent_days"]
        widgets = {"excluded": forms.Textarea(attrs={"rows": 5, "data-wide": ""})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        dress(self)
        self.fields["answer_days"].unit = self.fields["answer_urgent_days"].unit = "days"


def dress(form) -> None:
    for name in ("humidity_low", "humidity_high"):
        form.fields[name].unit = "% RH"
    for name in ("first_from_days", "first_to_days"):
        form.fields[name].unit = "days after delivery"
    for field in form.fields.values():
        if isinstance(field, forms.IntegerField):
            field.error_messages |= WHOLE_NUMBER


class GuaranteePartForm(forms.ModelForm):
    class Meta:
        model = GuaranteePart
        fields = ["name", "covered", "months", "note", "position"]
        help_texts = {"position": "Smaller numbers come first."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["months"].unit = "months"
        for name in ("months", "position"):
            self.fields[name].error_messages |= WHOLE_NUMBER

    def clean_name(self):
        name = self.cleaned_data["name"]
        self.instance.code = self.instance.code or slugify(name)[:40]
        same = GuaranteePart.objects.filter(code=self.instance.code).exclude(pk=self.instance.pk)
        if self.instance.code in RESERVED or same.exists():
            raise forms.ValidationError("A part of that name is there already; choose another.")
        return name

    def save_by(self, by) -> GuaranteePart:
        return save_guarantee_part(part=super().save(commit=False), by=by)


class SaleCareForm(BandMixin, forms.ModelForm):
    """The usual terms, changed where this sale differs. Each part has its tick and its months."""

    special = forms.CharField(
        label="Agreed besides",
        max_length=1500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "data-wide": ""}),
        help_text="Printed in the guarantee. Nothing in it can take away a buyer’s legal rights.",
    )
    reminds = forms.BooleanField(label="Remind them of tunings", required=False, initial=True)

    class Meta:
        model = UsualCare
        fields = [*OF_ONE_SALE]
        widgets = {"excluded": forms.Textarea(attrs={"rows": 4, "data-wide": ""})}

    def __init__(self, *args, terms: CareTerms, reminds: bool = True, **options):
        self.terms = terms
        initial = {name: getattr(terms, name) for name in (*OF_ONE_SALE, "special")} | {"reminds": reminds}
        for part in terms.parts:
            initial |= {f"covered-{part.code}": part.covered, f"months-{part.code}": part.months}
        super().__init__(*args, initial=initial, **options)
        for part in terms.parts:
            self.fields[f"covered-{part.code}"] = forms.BooleanField(label=part.name, required=False)
            self.fields[f"months-{part.code}"] = self._months(part)
        dress(self)

    @staticmethod
    def _months(part: PartTerms) -> forms.IntegerField:
        return forms.IntegerField(
            label=f"Months for {part.name.lower()}",
            min_value=1,
            max_value=MOST_MONTHS,
            widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        )

    @property
    def rows(self) -> list[tuple]:
        """Part, its tick and its months, as the page lays them out."""
        return [
            (part, self[f"covered-{part.code}"], self[f"months-{part.code}"]) for part in self.terms.parts
        ]

    @property
    def needs(self) -> list:
        names = (
            "runs_from",
            "tunings_a_year",
            "keeps_receipts",
            "humidity_low",
            "humidity_high",
            "asks_first",
        )
        return [self[name] for name in (*names, "excluded")]

    @property
    def tunings(self) -> list:
        names = ("included_tunings", "first_from_days", "first_to_days", "first_year", "later", "reminds")
        return [self[name] for name in names]

    def agreed(self) -> CareTerms:
        given = self.cleaned_data
        parts = tuple(
            replace(part, covered=given[f"covered-{part.code}"], months=given[f"months-{part.code}"])
            for part in self.terms.parts
        )
        return replace(
            self.terms,
            parts=parts,
            special=given["special"],
            **{name: given[name] for name in OF_ONE_SALE},
        )


class RemindingForm(forms.Form):
    why = forms.CharField(
        label="Why", max_length=300, help_text="Sold on, moved away, has a tuner of their own."
    )
