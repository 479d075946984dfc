"""Sessions as Django keeps them in the database; the question for one is put into SQL once.

Who checked the password is written into a session by the name that the releases before know as well: while
this one is rolled out, or back, a session begun on one machine is one on the other.
"""

from django.contrib.auth import BACKEND_SESSION_KEY
from django.contrib.sessions.backends import db
from django.contrib.sessions.models import Session
from django.db import connection
from django.utils import timezone

from instruments.models.worded import ASKED, Worded, beforehand

OURS, AS_WRITTEN = "shop.security.rights.RightsAtOnce", "django.contrib.auth.backends.ModelBackend"


class SessionStore(db.SessionStore):
    def _get_session_from_db(self):
        found = _session(connection.vendor).asking(self.session_key).found()
        if found and found[0].expire_date > timezone.now():
            return found[0]
        self._session_key = None
        return None

    def encode(self, session_dict):
        return super().encode(_called(session_dict, OURS, AS_WRITTEN))

    def decode(self, session_data):
        return _called(super().decode(session_data), AS_WRITTEN, OURS)


def _called(session: dict, name: str, other: str) -> dict:
    return session | {BACKEND_SESSION_KEY: other} if session.get(BACKEND_SESSION_KEY) == name else session


@beforehand
def _session(vendor: str) -> Worded:
    return Worded.of(Session.objects.filter(pk=str(ASKED)))
