from dataclasses import dataclass, field

from django import forms

from instruments.models import Photo
from instruments.photos import LARGEST_BYTES, PreparedPhoto, prepare_photos
from instruments.states import Shot

MOST_AT_ONCE = 20
ACCEPTED = "image/jpeg,image/png,image/webp,image/heic,image/heif,.heic,.heif"


@dataclass(frozen=True)
class ReceivedPhotos:
    """The good photos of one sending, and a sentence for each file that was left out."""

    prepared: list[PreparedPhoto] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)


class ManyFilesInput(forms.ClearableFileInput):
    allow_multiple_selected = True


class PhotosField(forms.FileField):
    """Several photographs at once. A bad file spoils only itself: `refused` of what comes out names it."""

    widget = ManyFilesInput(attrs={"accept": ACCEPTED, "data-max-bytes": LARGEST_BYTES})

    def __init__(self, **options):
        options.setdefault("label", "Photographs")
        options.setdefault(
            "help_text", f"JPEG, PNG, WebP or HEIC, up to 30 MB each, {MOST_AT_ONCE} at a time."
        )
        super().__init__(**options)

    def clean(self, data, initial=None) -> ReceivedPhotos:
        files = data or []
        if self.required and not files:
            raise forms.ValidationError("Choose at least one photograph.", code="required")
        prepared, refused = prepare_photos(files[:MOST_AT_ONCE])
        if len(files) > MOST_AT_ONCE:
            left = len(files) - MOST_AT_ONCE
            refused.append(f"Only the first {MOST_AT_ONCE} were taken; send the other {left} again.")
        if self.required and not prepared:
            raise forms.ValidationError(refused, code="refused")
        return ReceivedPhotos(prepared, refused)


class PhotosForm(forms.Form):
    photos = PhotosField()


class ShotPhotosForm(PhotosForm):
    """Photographs that all show the same; what each shows can be said later as well."""

    shot = forms.ChoiceField(label="What they show", choices=Shot.choices, initial=Shot.OTHER, required=False)

    def clean_shot(self) -> str:
        return self.cleaned_data["shot"] or Shot.OTHER


class PhotoForm(forms.ModelForm):
    """What one photo shows, and who may see it."""

    class Meta:
        model = Photo
        fields = ("shot", "caption", "is_public")
        widgets = {"caption": forms.TextInput(attrs={"autocomplete": "off"})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.prefix = f"photo-{self.instance.pk}"
