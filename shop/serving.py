"""What has to hold before a server may take its first request."""

import gc
import logging
import sys
from contextlib import nullcontext
from importlib import import_module

from django.core.exceptions import ImproperlyConfigured
from django.core.files.storage import default_storage
from django.db import DatabaseError, OperationalError, connection, transaction
from django.urls import reverse

from instruments.models.worded import BEFOREHAND
from shop.checks import check_database, check_settings
from shop.environment import environment_flag

logger = logging.getLogger(__name__)

# What only some requests need, and the first of them in each process would wait for at the moment at which a
# process was just replaced, and everybody waits anyway. Printing takes each start a twelfth of a second; the
# first paper of each process took three times as long as the next, and all that ran beside it stood still.
FIRST_WAITED_FOR = (
    "shop.documents.trial_layout",
    "PIL.BmpImagePlugin",
    "PIL.GifImagePlugin",
    "PIL.JpegImagePlugin",
    "PIL.PpmImagePlugin",
    "PIL.PngImagePlugin",
    "PIL.WebPImagePlugin",  # asked for a reader that it has not, Pillow would load all sixty
    "argon2",
    "django.conf.locale.en.formats",  # asked beside those of en_GB, for what these leave open
    "django.conf.locale.en_GB.formats",
    "django.contrib.auth.context_processors",
    "django.contrib.messages.context_processors",
    "django.contrib.sessions.serializers",
    "django.template.context_processors",
    "encodings.idna",
    "encodings.utf_16_be",
    "shop.context",
    "shop.navigation",
    "shop.security.hashers",
    "shop.security.rights",
    "_strptime",
)
# Whoever holds the database gives the interpreter away with each question, and may wait for it after each as
# long as this while other threads compute: with Python's own 5 ms, that was most of the time it was held.
TURN_SECONDS = 0.0005
# Python’s own are 700, 10, 10. With 20,000 of the first a process grew by four in a hundred more.
SELDOM = (2_000, 10, 50)


def keep_turns_short() -> None:
    """Let threads of this process wait for each other only briefly."""
    sys.setswitchinterval(TURN_SECONDS)


def collect_seldom() -> None:
    """Look for rubbish among what is young nearly as often as Python does, among all that is old seldom.

    What several requests are at just then is taken for old each time, and all that is old would be looked
    through every few seconds: nobody is answered meanwhile, and whoever holds the database holds it on.
    """
    gc.set_threshold(*SELDOM)


def open_the_store() -> None:
    """So that the first person who sends a photograph does not wait for what a store needs to begin."""
    getattr(default_storage, "connection", None)


def load_the_pages() -> None:
    """All addresses with their views, which would otherwise come with the first request to each process."""
    reverse("today")


def load_what_the_first_would_wait_for() -> None:
    """Once, for all processes that are forked afterwards: printing, pictures, questions put into words."""
    for name in FIRST_WAITED_FOR:
        import_module(name)
    # What is to be held can only be put into words where it would be; SQLite holds no rows.
    whole = transaction.atomic if connection.features.has_select_for_update else nullcontext
    try:
        with whole():
            for worded in BEFOREHAND:
                worded(connection.vendor)
    except DatabaseError:
        logger.warning("The database does not answer: questions are put into words when they are asked.")
    finally:
        connection.close()


def refuse_unsound_ground() -> None:
    """Raise `ImproperlyConfigured` with the sentences that stand against serving from this database.

    With WRESTPLANK_ONE_PROCESS=yes, where no second process writes, the old SQLite of W001 is let through.
    """
    try:
        messages = check_settings() + check_database(databases=["default"])
    except OperationalError:
        logger.exception("The database does not answer yet; pages will say so until it does.")
        return
    finally:
        connection.close()  # a server that forks must not share it
    if environment_flag("WRESTPLANK_ONE_PROCESS", default=False):
        messages = [each for each in messages if each.id != "shop.W001"]
    if messages:
        raise ImproperlyConfigured("\n".join(f"({each.id}) {each.msg} {each.hint}" for each in messages))
