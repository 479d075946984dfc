"""One settings file. What differs between installations comes from the environment (see .env.example)."""

import os
from pathlib import Path

from csp.constants import NONE, SELF
from django.conf.global_settings import STATICFILES_FINDERS as USUAL_FINDERS
from whitenoise.compress import Compressor

from shop.db.address import database
from shop.environment import (
    cookie_names,
    environment_flag,
    environment_list,
    files_are_collected,
    kept_secret_key,
    media_storage,
)
from shop.mail import mail_server
from shop.request_log import logging_settings

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("WRESTPLANK_DATA", BASE_DIR / ".data"))
(DATA_DIR / "static").mkdir(parents=True, exist_ok=True)

SECRET_KEY = os.environ.get("SECRET_KEY") or kept_secret_key(DATA_DIR)
SECRET_KEY_FALLBACKS = environment_list("WRESTPLANK_KEYS_BEFORE", "")
DEBUG = environment_flag("WRESTPLANK_DEBUG", default=False)
ALLOWED_HOSTS = environment_list("WRESTPLANK_HOSTS", "localhost,127.0.0.1,[::1]")
CSRF_TRUSTED_ORIGINS = environment_list("WRESTPLANK_ORIGINS", "")
HTTPS = environment_flag("WRESTPLANK_HTTPS", default=False)

INSTALLED_APPS = [
    "shop",
    "workorders",
    "instruments",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.humanize",
    "django_htmx",
    "template_partials",
    "simple_history",
    "csp",
    "django_otp",
    "django_otp.plugins.otp_totp",
]

MIDDLEWARE = [
    "shop.request_log.RequestLog",
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "shop.security.policy.OnePolicy",
    "shop.middleware.OutboxAnswers",
    "shop.middleware.Discretion",
    "shop.middleware.NoNulInAddresses",
    "shop.middleware.BodyLimit",
    "shop.not_now.NotNow",
    "shop.security.refusals.RefusalsInTheLog",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "shop.security.sessions.SessionLimits",
    "django.contrib.auth.middleware.LoginRequiredMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "shop.page_made.OneProfile",
]

ROOT_URLCONF, WSGI_APPLICATION = "shop.urls", "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "shop.context.words_to_be_read",
                "shop.context.shop",
                "shop.navigation.navigation",
            ],
        },
    },
]

DATABASES = {"default": database(DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTHENTICATION_BACKENDS, SESSION_ENGINE = ["shop.security.rights.RightsAtOnce"], "shop.security.kept_sessions"
PASSWORD_HASHERS = [
    "shop.security.hashers.ModestArgon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in ("UserAttributeSimilarityValidator", "CommonPasswordValidator")
] + [{"NAME": f"shop.security.passwords.{name}"} for name in ("LongEnough", "NotMadeOfNames", "NotStolen")]
PASSWORD_RESET_TIMEOUT = 10_800  # seconds
LOGIN_URL, LOGIN_REDIRECT_URL = "login", "today"
SESSION_COOKIE_AGE = 7 * 86_400  # seconds from signing in, whatever is done meanwhile
SESSION_IDLE_SECONDS = 12 * 3_600

FORM_RENDERER = "instruments.forms.plain.PlainRenderer"
LANGUAGE_CODE = "en-gb"
TIME_ZONE = os.environ.get("WRESTPLANK_TIME_ZONE", "Europe/London")
CURRENCY = os.environ.get("WRESTPLANK_CURRENCY", "GBP")  # ISO 4217; set it before the first price
USE_I18N = USE_TZ = True

STATIC_URL, STATIC_ROOT = "static/", DATA_DIR / "static"
STATICFILES_DIRS = [BASE_DIR / "static"]
STATICFILES_FINDERS = [*USUAL_FINDERS, "shop.bound_files.BoundFiles"]
# `collectstatic` packs files and gives them hashed names; before it is run they are served as they lie.
COLLECTED = files_are_collected(STATIC_ROOT, BASE_DIR)
WHITENOISE_USE_FINDERS = not COLLECTED
# The faces with which papers are printed lie beside those of the pages, and nobody fetches them.
WHITENOISE_SKIP_COMPRESS_EXTENSIONS = [*Compressor.SKIP_COMPRESS_EXTENSIONS, "ttf"]
STATIC_BACKEND = "whitenoise.storage.CompressedManifestStaticFilesStorage"
MEDIA_ROOT = Path(os.environ.get("WRESTPLANK_MEDIA", DATA_DIR / "media"))
STORAGES = {
    "default": media_storage(),
    "staticfiles": {
        "BACKEND": STATIC_BACKEND if COLLECTED else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}
FILE_UPLOAD_PERMISSIONS, FILE_UPLOAD_DIRECTORY_PERMISSIONS = 0o600, 0o700
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2000
globals().update(mail_server().settings, LOGGING=logging_settings(), **cookie_names(HTTPS))
SECURE_SSL_REDIRECT = SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = HTTPS
SECURE_HSTS_SECONDS = 31_536_000 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = HTTPS
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if HTTPS else None
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_REFERRER_POLICY, X_FRAME_OPTIONS = "same-origin", "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "blob:"],
        **{name: [NONE] for name in ("object-src", "base-uri", "frame-ancestors")},
        "form-action": [SELF],
    }
}
