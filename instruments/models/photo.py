from django.conf import settings
from django.db import models

from instruments.models.instrument import Instrument
from instruments.models.saving import KeptHistory, SavedInWords
from instruments.states import Shot


class StoredPicture(SavedInWords):
    """The file as it came, byte for byte, and the pictures made from it, which carry no hidden data.

    A photo of before `medium` was made has none of that size.
    """

    original = models.FileField(max_length=200)
    original_name = models.CharField(max_length=200, blank=True)
    media_type = models.CharField(max_length=40)
    sha256 = models.CharField(max_length=64)
    byte_count = models.PositiveBigIntegerField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    taken_on = models.DateField(null=True, blank=True)
    thumb = models.FileField(max_length=200)
    medium = models.FileField(max_length=200, blank=True)
    page = models.FileField(max_length=200)
    print = models.FileField(max_length=200)
    uploaded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        abstract = True


class WaitingPhoto(StoredPicture):
    """A good picture from a form that could not be accepted yet; it is not asked for twice."""

    form_token = models.CharField(max_length=64, db_index=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["form_token", "sha256"], name="waiting_photo_once_per_form")
        ]

    def __str__(self) -> str:
        return self.original_name


class PhotoQuerySet(models.QuerySet):
    def kept(self):
        return self.filter(removed_at__isnull=True)

    def public(self):
        return self.kept().filter(is_public=True)


class Photo(StoredPicture):
    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="photos")
    shot = models.CharField("kind of shot", max_length=12, choices=Shot, default=Shot.OTHER)
    caption = models.CharField(max_length=200, blank=True)
    position = models.PositiveIntegerField(default=0)
    is_public = models.BooleanField("may be shown to the public", default=False)
    removed_at = models.DateTimeField(null=True, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["instrument", "sha256"], name="photo_once_per_instrument")
        ]

    def __str__(self) -> str:
        return self.caption or self.get_shot_display()

    @property
    def words(self) -> str:
        """What a person who cannot see it is told."""
        return self.caption or f"{self.get_shot_display()}, {self.instrument.maker_name}"
