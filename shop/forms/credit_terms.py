"""Terms of credit as a form: the shop's own for every new trial, and those of one trial inside its draft."""

from django import forms

from shop.calc.credit_terms import FEES, LONGEST_MONTHS, MOST_STEPS, CreditRule, scale_faults

ANY, DEARER = "any", "dearer"
FURTHER = range(2, MOST_STEPS + 1)


class CreditTermsFields(forms.Form):
    """A scale without gaps: each step holds until the next begins. Empty further steps are left out."""

    credit_percent = forms.IntegerField(
        label="Share that counts from the start", min_value=0, max_value=100, help_text="Of what was paid."
    )
    fees_that_count = forms.MultipleChoiceField(
        label="Beside what is paid toward the price, these count too",
        choices=[(fee, f"What is paid for {fee}") for fee in FEES],
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="If a fee counts later toward another instrument, ask your accountant about its VAT.",
    )
    reach = forms.ChoiceField(
        label="It counts toward",
        choices=[(ANY, "Any other instrument"), (DEARER, "A dearer one only")],
        required=False,
        initial=ANY,
        widget=forms.RadioSelect,
    )
    expires_after_months = forms.IntegerField(
        label="What is left in credit runs out after",
        min_value=1,
        max_value=LONGEST_MONTHS,
        required=False,
        help_text="Left empty, it never does.",
    )

    rises = forms.BooleanField(
        label="Yes: a later step counts more than an earlier one", required=False, widget=forms.HiddenInput
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for place in FURTHER:
            self.fields[f"from_{place}"] = forms.IntegerField(
                label=f"Step {place}: from month",
                min_value=1,
                max_value=LONGEST_MONTHS,
                required=False,
            )
            self.fields[f"share_{place}"] = forms.IntegerField(
                label=f"Step {place}: share", min_value=0, max_value=100, required=False
            )
            self.fields[f"share_{place}"].unit = "%"
        self.fields["credit_percent"].unit = "%"
        self.fields["expires_after_months"].unit = "months"

    @property
    def further_steps(self) -> list:
        return [(self[f"from_{place}"], self[f"share_{place}"]) for place in FURTHER]

    @property
    def has_wrong_terms(self) -> bool:
        own = {"credit_percent", "fees_that_count", "reach", "expires_after_months"}
        own |= {f"{name}_{place}" for place in FURTHER for name in ("from", "share")}
        return bool(own & set(self.errors))

    def clean(self):
        cleaned = super().clean()
        steps = [(0, cleaned["credit_percent"], 1)] if "credit_percent" in cleaned else []
        for place in FURTHER:
            month, share = cleaned.get(f"from_{place}"), cleaned.get(f"share_{place}")
            names = {f"from_{place}": month, f"share_{place}": share}
            if names.keys() & self.errors.keys() or month is share is None:
                continue
            if None in names.values():
                missing = next(name for name, value in names.items() if value is None)
                self.add_error(missing, "A step has both: the month it begins, and its share.")
                continue
            steps.append((month, share, place))
        for place, sentence in scale_faults([step[:2] for step in steps]) if steps else []:
            at = steps[min(place, len(steps) - 1)][2]
            self.add_error(f"from_{at}" if at > 1 else "credit_percent", sentence)
        if not self.has_wrong_terms:
            cleaned["credit"] = CreditRule(
                scale=tuple(step[:2] for step in steps),
                fees_that_count=tuple(cleaned["fees_that_count"]),
                only_dearer=cleaned.get("reach") == DEARER,
                expires_after_months=cleaned.get("expires_after_months"),
            )
            self._ask_whether_it_rises(cleaned["credit"])
        return cleaned

    def _ask_whether_it_rises(self, rule: CreditRule) -> None:
        if rule.rises:
            self.fields["rises"].widget = forms.CheckboxInput()
            if not self.cleaned_data.get("rises"):
                self.add_error("rises", "A share that grows is seldom meant. Tick that it is, or correct it.")


class CreditTermsForm(CreditTermsFields):
    """`in_force` is the rule that holds; another is shown beside it first, and holds by a second press."""

    note = forms.CharField(label="What changed, in a few words", max_length=300, required=False)
    looked_at = forms.CharField(required=False, max_length=200, widget=forms.HiddenInput)

    def __init__(self, *args, in_force: CreditRule, **options):
        super().__init__(*args, **options)
        self.in_force = in_force
        self.preview: CreditRule | None = None

    def clean(self):
        cleaned = super().clean()
        rule = cleaned.get("credit")
        if self.errors or rule is None or rule == self.in_force:
            return cleaned
        self.preview = rule
        if cleaned.get("looked_at") != self.mark:
            self.add_error(None, "Look at what changes, at the foot of the form; then press once more.")
        return cleaned

    @property
    def mark(self) -> str:
        """Stands for the rule that is shown, so that a second press cannot put another one in force."""
        return repr(self.preview)[:200] if self.preview else ""


def as_initial(rule: CreditRule) -> dict:
    initial = {
        "credit_percent": rule.share_at_first,
        "fees_that_count": list(rule.fees_that_count),
        "reach": DEARER if rule.only_dearer else ANY,
        "expires_after_months": rule.expires_after_months,
    }
    for place, (month, share) in enumerate(rule.scale[1:], start=2):
        initial |= {f"from_{place}": month, f"share_{place}": share}
    return initial


class RanOutForm(forms.Form):
    told = forms.CharField(
        label="How and when they were told",
        max_length=150,
        help_text="A letter or an e-mail in good time before the last day.",
    )
