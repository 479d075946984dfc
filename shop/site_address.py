"""Where the public finds the shop's pages: the address it has named, else the one it was reached under."""

from urllib.parse import urlsplit

from django.urls import reverse

from shop.models import ShopProfile


def site_of(profile: ShopProfile) -> str:
    """The address above the window, without a slash at its end; nothing while the shop has not named it."""
    if not profile.public_address:
        return ""
    named = urlsplit(profile.public_address)
    before = named.path.rstrip("/").removesuffix(reverse("window").rstrip("/"))
    return f"{named.scheme}://{named.netloc}{before}"


class Site:
    """Whole addresses for search engines, sitemaps and shared links.

    Without a named address the request's host is taken, and only one of ALLOWED_HOSTS gets so far.
    """

    def __init__(self, request, profile: ShopProfile | None = None):
        self._request, self.profile = request, profile or ShopProfile.current()
        self._named = site_of(self.profile)

    def whole(self, path: str) -> str:
        return f"{self._named}{path}" if self._named else self._request.build_absolute_uri(path)

    def named(self, name: str, *args) -> str:
        return self.whole(reverse(name, args=args))
