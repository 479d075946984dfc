"""For search engines: what they may read, and where everything that stands in the window is."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.db.models import Max
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.models import Listing
from shop.site_address import Site

MOST_ADDRESSES = 50_000  # of one sitemap (sitemaps.org, protocol 0.9)


@login_not_required
@require_safe
def robots(request):
    """RFC 9309. Kept out of everything but the public pages and what they are drawn with."""
    site = Site(request)
    context = {"site_map": site.named("sitemap"), "static_path": settings.STATIC_URL}
    return render(request, "shop/robots.txt", context, content_type="text/plain; charset=utf-8")


@login_not_required
@require_safe
def sitemap(request):
    """Only what stands in the window at this moment; the day is when its words were last published."""
    site = Site(request)
    listings = Listing.objects.in_window().annotate(published_at=Max("publications__published_at"))
    rows = listings.order_by("-first_published_at", "-id").values_list("slug", "published_at")
    pieces = [
        (site.named("listing_public", slug), published_at)
        for slug, published_at in rows[: MOST_ADDRESSES - 2]
    ]
    context = {
        "fixed": [site.named("window"), site.named("listen")],
        "pieces": pieces,
    }
    return render(request, "shop/sitemap.xml", context, content_type="application/xml; charset=utf-8")
