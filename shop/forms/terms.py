from django import forms
from django.utils.text import slugify

from shop.actions.terms import save_clause
from shop.documents.clauses import PLACES, unknown_places
from shop.models import AgreementClause

RESERVED = {"", "new"}  # this word stands in the addresses of the terms


class ClauseForm(forms.ModelForm):
    class Meta:
        model = AgreementClause
        fields = ["heading", "text", "when", "position", "in_use"]
        widgets = {"text": forms.Textarea(attrs={"rows": 7, "data-wide": ""})}
        help_texts = {
            "text": "An agreement fills in "
            + ", ".join(f"${name}" for name in sorted(PLACES))
            + ". Plain words, as you would say them.",
            "position": "Smaller numbers come first.",
        }

    def clean_heading(self):
        heading = self.cleaned_data["heading"]
        self.instance.code = self.instance.code or slugify(heading)[:60]
        same = AgreementClause.objects.filter(code=self.instance.code).exclude(pk=self.instance.pk)
        if self.instance.code in RESERVED or same.exists():
            raise forms.ValidationError("A clause of that heading is there already; choose another.")
        return heading

    def clean_text(self):
        text = self.cleaned_data["text"]
        if unknown := unknown_places(text):
            named = ", ".join(f"${name}" for name in unknown)
            raise forms.ValidationError(f"An agreement cannot fill in {named}.")
        return text

    def save_by(self, by) -> AgreementClause:
        return save_clause(clause=super().save(commit=False), by=by)


class PutInForceForm(forms.Form):
    keeping_is_buying = forms.TypedChoiceField(
        label="If they say nothing and keep it past the last day",
        choices=[("no", "It stays ours, and we fetch it"), ("yes", "They have bought it")],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
        initial="no",
    )
    note = forms.CharField(label="What changed, in a few words", max_length=300, required=False)
