"""Lead sizes, the lever of the keys, and leads found in them."""

from decimal import Decimal

from django import forms

from instruments.calc import compass
from instruments.calc.exact import exact
from instruments.calc.touchweight import LeadSize as Lead
from instruments.calc.touchweight import Lever, PlacedLead, lead_mass_g
from instruments.calc.touchweight.weighoff import SLOW_RETURN_G
from instruments.forms.fields import DayField, NumberField
from instruments.models import Instrument, LeadSize, LeverMeasure

MOST_LINES = 400
MEASURES = ("natural_front_mm", "sharp_front_mm", "nearest_mm", "farthest_mm", "behind_mm", "least_up_g")


def measure(label: str, unit: str, **options) -> NumberField:
    field = NumberField(label=label, max_digits=5, decimal_places=options.pop("decimal_places", 1), **options)
    field.unit = unit
    return field


class LeadSizeForm(forms.Form):
    """A lead is weighed, or reckoned from its size."""

    name = forms.CharField(
        label="Name", max_length=40, help_text="As it stands on the drawer: half-inch, 10 mm long."
    )
    diameter_mm = measure("Diameter", "mm", min_value=Decimal(3), max_value=Decimal(30))
    length_mm = measure("Length", "mm", min_value=Decimal(2), max_value=Decimal(40), required=False)
    mass_g = measure(
        "Mass",
        "g",
        decimal_places=2,
        min_value=Decimal("0.5"),
        max_value=Decimal(60),
        required=False,
        help_text="Weighed. Left empty, it is reckoned from the size, as solid lead.",
    )
    in_use = forms.BooleanField(label="Plan with it", required=False, initial=True)

    def __init__(self, *args, size: LeadSize | None = None, **options):
        self.size = size or LeadSize()
        names = ("name", "diameter_mm", "mass_g", "in_use")
        initial = {name: getattr(size, name) for name in names} if size else {}
        super().__init__(*args, initial=initial, **options)

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if LeadSize.objects.filter(name__iexact=name).exclude(pk=self.size.pk).exists():
            raise forms.ValidationError("There is a lead of that name already.")
        return name

    def clean(self) -> dict:
        cleaned = super().clean()
        if cleaned.get("mass_g") is None and not self.errors:
            if cleaned.get("length_mm") is None:
                self.add_error("mass_g", "Give the mass, or the length to reckon it from.")
            else:
                mass = lead_mass_g(cleaned["diameter_mm"], cleaned["length_mm"])
                cleaned["mass_g"] = round(mass, 2)
        return cleaned

    def filled(self) -> LeadSize:
        for name in ("name", "diameter_mm", "mass_g", "in_use"):
            setattr(self.size, name, self.cleaned_data[name])
        return self.size


class LeverForm(forms.Form):
    natural_front_mm = measure(
        "Naturals: balance rail to the weight", "mm", min_value=Decimal(100), max_value=Decimal(400)
    )
    sharp_front_mm = measure(
        "Sharps: balance rail to the weight", "mm", min_value=Decimal(60), max_value=Decimal(400)
    )
    nearest_mm = measure(
        "Nearest place for a lead",
        "mm",
        min_value=Decimal(5),
        max_value=Decimal(400),
        help_text="From the balance rail to the middle of the lead.",
    )
    farthest_mm = measure("Farthest place for a lead", "mm", min_value=Decimal(5), max_value=Decimal(400))
    behind_mm = measure(
        "Room behind the rail",
        "mm",
        min_value=Decimal(0),
        max_value=Decimal(400),
        help_text="0 where no lead shall go behind it.",
    )
    least_up_g = measure(
        "Least up-weight",
        "g",
        min_value=Decimal(0),
        max_value=Decimal(60),
        help_text="What a key must still lift to return: 20 g is common practice, no source.",
    )
    measured_on = DayField(label="Measured on")

    def __init__(self, *args, last: LeverMeasure | None, today, **options):
        initial = {"measured_on": today, "behind_mm": Decimal(0), "least_up_g": SLOW_RETURN_G}
        initial |= {name: getattr(last, name) for name in MEASURES} if last else {}
        super().__init__(*args, initial=initial, **options)
        self.today = today

    def clean_measured_on(self):
        if self.cleaned_data["measured_on"] > self.today:
            raise forms.ValidationError("That day has not come yet.")
        return self.cleaned_data["measured_on"]

    def clean(self) -> dict:
        cleaned = super().clean()
        if not self.errors:
            shorter = min(cleaned["natural_front_mm"], cleaned["sharp_front_mm"])
            try:
                Lever(shorter, cleaned["nearest_mm"], cleaned["farthest_mm"], cleaned["behind_mm"])
            except ValueError as reason:
                self.add_error("farthest_mm", str(reason))
        return cleaned

    def measures(self) -> dict:
        return {name: self.cleaned_data[name] for name in MEASURES}


class FoundLeadsForm(forms.Form):
    """Leads that sit in the keys: a line for each, key or note, mass in grams, distance in millimetres."""

    lines = forms.CharField(
        label="Leads in the keys",
        max_length=12_000,
        widget=forms.Textarea(
            attrs={"rows": 10, "placeholder": "C4 14 110\n41 7 160", "spellcheck": "false"}
        ),
        help_text="One lead a line: key or note, its mass in g, its distance from the balance rail in mm"
        " (with a minus behind it).",
    )
    diameter_mm = measure(
        "Their diameter", "mm", min_value=Decimal(3), max_value=Decimal(30), initial=Decimal(12)
    )
    found_on = DayField(label="Looked at on")

    def __init__(self, *args, instrument: Instrument, today, **options):
        super().__init__(*args, initial={"found_on": today, "diameter_mm": Decimal(12)}, **options)
        self.instrument, self.today = instrument, today

    def clean_lines(self) -> list[tuple[int, Decimal, Decimal]]:
        lines = [line for line in self.cleaned_data["lines"].splitlines() if line.strip()]
        if len(lines) > MOST_LINES:
            raise forms.ValidationError(f"At most {MOST_LINES} lines at a time.")
        read, wrong = [], []
        for number, line in enumerate(lines, start=1):
            try:
                read.append(self._line(line))
            except ValueError as reason:
                wrong.append(f"Line {number}: {reason}")
        if wrong:
            raise forms.ValidationError([*wrong[:20], *(["And more."] if len(wrong) > 20 else [])])
        return read

    def clean_found_on(self):
        if self.cleaned_data["found_on"] > self.today:
            raise forms.ValidationError("That day has not come yet.")
        return self.cleaned_data["found_on"]

    def leads(self) -> list[tuple[int, PlacedLead]]:
        diameter = self.cleaned_data["diameter_mm"]
        return [
            (key, PlacedLead(Lead("as found", mass, diameter), distance))
            for key, mass, distance in self.cleaned_data["lines"]
        ]

    def _line(self, line: str) -> tuple[int, Decimal, Decimal]:
        words = line.replace(";", " ").split()
        if len(words) != 3:
            raise ValueError(f"“{line.strip():.40}” should be a key, a mass and a distance.")
        keys = compass.parse_keys(words[0], self.instrument.first_key, self.instrument.key_count)
        if len(keys) != 1:
            raise ValueError(f"“{words[0]:.20}” is not one key.")
        mass = exact(words[1].replace(",", ".").removesuffix("g"), "mass")
        distance = exact(words[2].replace(",", ".").removesuffix("mm"), "distance")
        if not Decimal("0.5") <= mass <= 60:
            raise ValueError("A key lead weighs between 0.5 and 60 g.")
        if not 5 <= abs(distance) <= 400:
            raise ValueError("A lead sits between 5 and 400 mm from the rail.")
        return keys[0], round(mass, 2), round(distance, 1)
