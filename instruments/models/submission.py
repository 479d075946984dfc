from django.conf import settings
from django.db import connection, models

from instruments.models.saving import SavedInWords

# Found anew for each act by Django, while everybody else who saves waits for it to end.
KEEP_URL = "UPDATE instruments_submission SET url = %s WHERE id = %s"


class Submission(SavedInWords):
    """One answered form. The same token sent again gets the same answer and does nothing twice."""

    token = models.CharField(max_length=64, unique=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    fingerprint = models.CharField(max_length=64)
    url = models.CharField(max_length=300, blank=True)
    at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self) -> str:
        return self.token

    def keep_url(self) -> None:
        with connection.cursor() as cursor:
            cursor.execute(KEEP_URL, [self.url, self.pk])
