"""Records that are added to and never edited; a correction is a new row that points at what it replaces."""

from instruments.models.saving import SavedInWords


class RecordIsPermanent(Exception):
    """Somebody tried to change or remove a row that must stay as it was written."""


class AppendOnly(SavedInWords):
    class Meta:
        abstract = True

    def save(self, *args, **kwargs):
        if not self._state.adding:
            name = self._meta.verbose_name.capitalize()
            raise RecordIsPermanent(f"{name} {self.pk} cannot be changed; add a correction instead.")
        super().save(*args, **kwargs)

    def delete(self, *args, **kwargs):
        raise RecordIsPermanent(f"{self._meta.verbose_name.capitalize()} {self.pk} cannot be removed.")
