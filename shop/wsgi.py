"""The door for gunicorn: `gunicorn shop.wsgi`."""

import gc
import os

from django.core.wsgi import get_wsgi_application
from django.utils.module_loading import import_string

# What is loaded here stays for good: looking through it for rubbish again and again only delays the start.
gc.disable()
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
application = get_wsgi_application()
# It asks after the models' tables, so it can only be imported once the apps are loaded.
for needed in (
    "refuse_unsound_ground",
    "open_the_store",
    "load_the_pages",
    "load_what_the_first_would_wait_for",
    "keep_turns_short",
    "collect_seldom",
):
    import_string(f"shop.serving.{needed}")()
# A server that forks now shares it all with its processes, which leave it unread and so undoubled.
gc.freeze()
gc.enable()
