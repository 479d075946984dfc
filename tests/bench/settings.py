"""The shop's settings with Django's own admin beside it, as a yardstick; served to nobody."""

from shop.settings import *  # noqa: F403
from shop.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "django.contrib.admin"]
ROOT_URLCONF = "tests.bench.urls"
SECURE_SSL_REDIRECT = False
ALLOWED_HOSTS = ["testserver"]
