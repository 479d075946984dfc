"""What every page is told: whose shop this is, whether anything can be saved, what was just done."""

from django.contrib.messages.context_processors import messages
from django.utils.functional import SimpleLazyObject

from shop import read_only
from shop.models import ShopProfile
from shop.security.sessions import seconds_left


def shop(request) -> dict:
    """`shop_name` and `shop_address`, read once when a template first asks; why only reading is possible.

    `session_seconds` is asked for only by pages of who is signed in: those of strangers touch no session.
    """
    profile = SimpleLazyObject(ShopProfile.current)
    return {
        "shop_name": SimpleLazyObject(lambda: profile.name),
        "shop_address": SimpleLazyObject(lambda: ", ".join(profile.address.splitlines())),
        "only_reading": read_only.reason(),
        "session_seconds": lambda: seconds_left(request),
    }


def words_to_be_read(request) -> dict:
    """Django's `messages`, but not for a page that a script puts by on the device (X-Puts-By).

    Nobody reads it now: to show them there would use them up before the person who waits for them sees them.
    """
    return {} if request.headers.get("X-Puts-By") else messages(request)
