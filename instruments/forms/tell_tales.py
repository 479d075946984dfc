from django import forms

from instruments.calc.evidence.tell_tales import Question
from instruments.forms.photos import PhotosField, ReceivedPhotos
from instruments.models import Instrument, Photo, TellTale

MOST_PHOTOS = 120


class SightingForm(forms.Form):
    """One tell-tale as looked for in one instrument."""

    is_seen = forms.BooleanField(required=False)
    # As the page showed it: a tick that somebody else set meanwhile is not taken back unseen.
    was_seen = forms.BooleanField(required=False, widget=forms.HiddenInput)
    note = forms.CharField(
        label="What exactly, and where",
        max_length=300,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    new_photo = PhotosField(label="Photograph it now", help_text="", required=False)
    photo = forms.ChoiceField(label="Or one that is here already", required=False)

    def __init__(self, data, files, *, tell_tale: TellTale, earlier, photos: list[Photo]):
        self.tell_tale = tell_tale
        initial = {"is_seen": True, "was_seen": True} if earlier else {}
        initial |= {"note": earlier.note, "photo": earlier.photo_id} if earlier else {}
        super().__init__(data, files, prefix=f"tell-tale-{tell_tale.pk}", initial=initial)
        self.fields["is_seen"].label = tell_tale.text
        shown = [(str(photo.pk), f"{photo.position}: {photo}") for photo in photos]
        if earlier and earlier.photo and earlier.photo not in photos:
            shown.append((str(earlier.photo_id), f"Put away: {earlier.photo}"))
        self.fields["photo"].choices = [("", "None"), *shown]

    @property
    def has_more(self) -> bool:
        """Whether there is a note, a photograph or a mistake that must not be folded away."""
        return bool(self["note"].value() or self["photo"].value() or (self.is_bound and self.errors))

    @property
    def received(self) -> ReceivedPhotos:
        """The photographs that came with this tell-tale, whatever else is wrong on the sheet."""
        return getattr(self, "cleaned_data", {}).get("new_photo") or ReceivedPhotos()

    @property
    def is_looked_for(self) -> bool:
        return self.cleaned_data["is_seen"] or self.cleaned_data["was_seen"]


class TellTaleSheet:
    """Every tell-tale in use, question by question, with what is seen of it now."""

    def __init__(self, data, files=None, *, instrument: Instrument, library: tuple[Question, ...]):
        rows = {(each.question, each.code): each for each in TellTale.objects.filter(in_use=True)}
        seen = {row.tell_tale_id: row for row in instrument.sightings.seen().select_related("photo")}
        self.photos = list(instrument.photos.kept()[:MOST_PHOTOS])
        self.questions = []
        for question in library:
            asked = [rows[question.code, each.code] for each in question.tell_tales]
            forms_of_it = [
                SightingForm(data, files, tell_tale=row, earlier=seen.get(row.pk), photos=self.photos)
                for row in asked
            ]
            self.questions.append((question, forms_of_it))

    @property
    def forms(self) -> list[SightingForm]:
        return [form for _, forms_of_it in self.questions for form in forms_of_it]

    def is_valid(self) -> bool:
        return all(form.is_valid() for form in self.forms)

    @property
    def wrong(self) -> list[SightingForm]:
        return [form for form in self.forms if form.is_bound and form.errors]

    def add_error(self, field, error) -> None:
        self.forms[0].add_error(field, error)

    def sightings(self) -> dict:
        """What `record_sightings` takes of it."""
        seen = [form for form in self.forms if form.cleaned_data["is_seen"]]
        photos = Photo.objects.in_bulk(
            {int(form.cleaned_data["photo"]) for form in seen if form.cleaned_data["photo"]}
        )
        return {
            "seen": [form.tell_tale for form in seen],
            "looked_for": [form.tell_tale for form in self.forms if form.is_looked_for],
            "notes": {form.tell_tale.pk: form.cleaned_data["note"] for form in seen},
            "photos": {form.tell_tale.pk: photos.get(int(form.cleaned_data["photo"] or 0)) for form in seen},
        }


class TellTaleForm(forms.ModelForm):
    """One tell-tale of the library; its question is settled before."""

    speaks_for = forms.MultipleChoiceField(label="It speaks for", widget=forms.CheckboxSelectMultiple)
    speaks_against = forms.MultipleChoiceField(
        label="It speaks against", required=False, widget=forms.CheckboxSelectMultiple
    )

    class Meta:
        model = TellTale
        fields = ("text", "look", "speaks_for", "speaks_against", "strength", "source", "caution", "in_use")
        widgets = {"text": forms.Textarea(attrs={"rows": 2}), "look": forms.Textarea(attrs={"rows": 2})}
        labels = {"text": "What is seen", "caution": "What to take care of"}
        help_texts = {
            "source": "A book, a maker’s paper, a bench; or “common practice, no source”.",
            "in_use": "Out of use it is offered no more and weighs nothing, also where it was seen before.",
        }

    def __init__(self, *args, question: Question, **options):
        super().__init__(*args, **options)
        for name in ("speaks_for", "speaks_against"):
            self.fields[name].choices = [(answer.code, answer.words) for answer in question.answers]

    def clean(self) -> dict:
        cleaned = super().clean()
        if set(cleaned.get("speaks_for", [])) & set(cleaned.get("speaks_against", [])):
            self.add_error("speaks_against", "One thing cannot speak for an answer and against it.")
        return cleaned

    def said(self) -> dict:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}
