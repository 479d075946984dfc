"""What is noted at the bench while an item is worked on: words, a photograph before or after, or both."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from instruments.models import AppendOnly, Photo
from workorders.models.item import WorkItem
from workorders.states import PhotoMoment


class ItemNote(AppendOnly):
    item = models.ForeignKey(WorkItem, on_delete=models.PROTECT, related_name="notes")
    words = models.CharField(max_length=500, blank=True)
    photo = models.ForeignKey(
        Photo, null=True, blank=True, on_delete=models.PROTECT, related_name="item_notes"
    )
    moment = models.CharField(max_length=6, choices=PhotoMoment, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(words="") | Q(photo__isnull=False), name="item_note_says_or_shows_something"
            ),
            models.CheckConstraint(
                condition=Q(moment="") | Q(photo__isnull=False), name="item_note_moment_is_of_a_photo"
            ),
        ]

    def __str__(self) -> str:
        return self.words or f"Photograph {self.get_moment_display().lower()}".strip()
