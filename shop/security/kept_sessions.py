"""Sessions as Django keeps them in the database; the question for one is put into SQL once."""

from functools import cache

from django.contrib.sessions.backends import db
from django.contrib.sessions.models import Session
from django.db import connection
from django.utils import timezone

from shop.worded import ASKED, Worded


class SessionStore(db.SessionStore):
    def _get_session_from_db(self):
        found = _session(connection.vendor).asking(self.session_key).rows_of(Session)
        if found and found[0].expire_date > timezone.now():
            return found[0]
        self._session_key = None
        return None


@cache
def _session(vendor: str) -> Worded:
    return Worded.of(Session.objects.filter(pk=str(ASKED)))
