"""The second step of signing in: what is asked of whom, and how a code is read."""

from base64 import b32encode
from binascii import unhexlify
from urllib.parse import quote

import segno
from django.contrib.auth.models import User
from django_otp.plugins.otp_totp.models import TOTPDevice

from shop.models import SecondStepRule, ShopProfile


def device_of(user) -> TOTPDevice | None:
    """The telephone or other device whose codes count."""
    return TOTPDevice.objects.filter(user=user, confirmed=True).order_by("id").first()


def is_wanted_of(user) -> bool:
    """Whether the owner laid down that somebody with one of their roles has to have it."""
    return SecondStepRule.objects.filter(role__user=user).exists()


def new_device(user, key: str) -> TOTPDevice:
    """Not saved: what a key would be. SHA-1, six figures, 30 seconds, which every such app can do.

    A code is good for as long as the telephone shows it, and neither before nor after (ASVS 5.0, 6.5.5).
    """
    return TOTPDevice(user=user, name="telephone", key=key, confirmed=True, tolerance=0)


def address_for_apps(device: TOTPDevice) -> str:
    """What the square code holds, as such apps read it: otpauth://totp/SHOP:NAME?secret=…"""
    issuer = quote((ShopProfile.current().name or "Wrestplank").replace(":", " "))
    label = f"{issuer}:{quote(device.user.get_username())}"
    secret = b32encode(unhexlify(device.key)).decode()
    return f"otpauth://totp/{label}?secret={secret}&issuer={issuer}&algorithm=SHA1&digits=6&period=30"


class Square:
    """A square code as one path for a page: `size` modules each way, the quiet edge counted in."""

    QUIET = 4  # ISO/IEC 18004, 6.3.8

    def __init__(self, address: str):
        rows = segno.make(address, error="m", micro=False).matrix
        self.size = len(rows) + 2 * self.QUIET
        self.path = "".join(
            f"M{x + self.QUIET} {y + self.QUIET}h1v1h-1z"
            for y, row in enumerate(rows)
            for x, is_dark in enumerate(row)
            if is_dark
        )


def key_in_fours(key: str) -> str:
    """As it is typed by hand: ABCD EFGH…"""
    letters = b32encode(unhexlify(key)).decode().rstrip("=")
    return " ".join(letters[start : start + 4] for start in range(0, len(letters), 4))


def bare_code(text: str) -> str:
    """What was typed without spaces and hyphens, in small letters."""
    return "".join(text.split()).replace("-", "").casefold()


def colleagues_without(role) -> list[User]:
    """Who has the role and no second step yet."""
    having = TOTPDevice.objects.filter(confirmed=True).values("user")
    return list(User.objects.filter(groups=role, is_active=True).exclude(pk__in=having))
