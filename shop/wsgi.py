"""The door for gunicorn: `gunicorn shop.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application
from django.utils.module_loading import import_string

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
application = get_wsgi_application()
# It asks after the models' tables, so it can only be imported once the apps are loaded.
import_string("shop.serving.refuse_unsound_ground")()
import_string("shop.serving.open_the_store")()
