from datetime import date

from django import forms
from django.utils import timezone

from instruments.calc.wording import names_in
from instruments.forms.fields import DayField, HalfKnownDateField
from instruments.models import Statement
from instruments.states import ASSERTIONS_ABOUT_SOMEBODY, Grade, Teller

SAYS_IN_NOTE = {
    Grade.MARK: "Say what the mark is and where it is.",
    Grade.DOCUMENT: "Name the document: an invoice, a card under the lid, a tuner’s label.",
    Grade.INFERRED: "Say what it is inferred from.",
}


class StatementForm(forms.ModelForm):
    told_on = DayField(label="Told on", required=False)

    class Meta:
        model = Statement
        fields = (
            *("text", "in_their_words", "topic", "dated", "place", "asserts", "who", "grade"),
            *("told_by", "teller", "told_on", "source_note", "is_public"),
        )
        field_classes = {"dated": HalfKnownDateField}
        widgets = {
            "text": forms.Textarea(attrs={"rows": 4}),
            "grade": forms.RadioSelect,
            "told_by": forms.TextInput(attrs={"autocomplete": "off"}),
            "who": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        labels = {
            "text": "What is said of it",
            "topic": "What it is about",
            "dated": "When it happened",
            "place": "Where it happened",
            "asserts": "What it asserts",
            "who": "Whom it names",
            "told_by": "Who told it",
            "teller": "Who that is to the piano",
            "source_note": "Where it is seen, or why it is inferred",
        }
        help_texts = {
            "asserts": "The one thing in it that can be proved wrong. It is held against the dates of other "
            "statements and against what the tell-tales show.",
            "who": "The maker, the owner or the player that it speaks of; the owner who had the work done.",
            "teller": "The public reads this in place of the name.",
            "grade": "Only what is seen, measured, marked or documented stands as fact in a listing.",
            "is_public": "What is only told is printed as told.",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["grade"].choices = self.fields["grade"].choices[1:]
        self.fields["teller"].choices = [("", "Not said"), *Teller.choices]

    def clean_told_on(self) -> date | None:
        told_on = self.cleaned_data["told_on"]
        if told_on and told_on > timezone.localdate():
            raise forms.ValidationError("That day has not come yet.")
        return told_on

    def clean(self) -> dict:
        cleaned = super().clean()
        grade = cleaned.get("grade")
        if grade == Grade.TOLD and not cleaned.get("told_by"):
            self.add_error("told_by", "Who told it? A claim without a teller cannot be weighed.")
        if grade in SAYS_IN_NOTE and not cleaned.get("source_note"):
            self.add_error("source_note", SAYS_IN_NOTE[grade])
        if grade == Grade.TOLD and cleaned.get("is_public") and not cleaned.get("teller"):
            self.add_error(
                "teller", "Say who that is to the piano: the public reads it in place of the name."
            )
        if cleaned.get("is_public") and _is_named(cleaned):
            self.add_error(
                "text",
                "It names who told it, and the public would read that. Say what they are to the piano.",
            )
        if cleaned.get("asserts") in ASSERTIONS_ABOUT_SOMEBODY and not cleaned.get("who"):
            self.add_error("who", "Whom does it name? Without a name it cannot be held against the others.")
        return cleaned

    def said(self) -> dict:
        return {name: self.cleaned_data[name] for name in StatementForm.Meta.fields}


def _is_named(cleaned: dict) -> bool:
    """Whether the teller's name stands where the public would read it."""
    teller = cleaned.get("told_by", "")
    said = " / ".join(cleaned.get(name, "") for name in ("text", "source_note", "place"))
    return any(word[:1].isupper() for word in teller.split()) and bool(names_in(said, [teller]))


class StatementCorrectionForm(StatementForm):
    supersede_reason = forms.CharField(
        label="Why it is corrected",
        max_length=300,
        help_text="Both stay in the record, the older one struck out.",
    )

    def __init__(self, *args, older: Statement, **options):
        self.older = older
        # Not every one who may correct it may read who told it, so the name is kept without being shown.
        names = [name for name in StatementForm.Meta.fields if name != "told_by"]
        super().__init__(*args, initial={name: getattr(older, name) for name in names}, **options)
        if older.told_by:
            self.fields["told_by"].help_text = "Left empty: whoever told it before."

    def clean_told_by(self) -> str:
        typed = self.cleaned_data["told_by"]
        return typed or (self.older.told_by if self.cleaned_data.get("grade") == Grade.TOLD else "")
