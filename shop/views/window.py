"""What a stranger may see. Every view here says so by name, and a test pins the list."""

from django.contrib.auth.decorators import login_not_required
from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from instruments.media import serve_file
from instruments.models import Photo
from shop.life import public_life_of
from shop.linked_data import listing_data
from shop.models import Listing, ShopProfile
from shop.showing import public_facts, shown, shown_as_it_stands
from shop.views.answers import today

PUBLIC_SIZES = {"thumb": "image/webp", "page": "image/webp"}


@login_not_required
@require_GET
def window(request):
    listings = (
        Listing.objects.in_window()
        .select_related("instrument")
        .prefetch_related("instrument__photos", "instrument__asking_prices")
    )
    page = Paginator(listings, 24).get_page(request.GET.get("page"))
    return render(request, "shop/window.html", {"page": page, "cards": [shown(each) for each in page]})


@login_not_required
@require_GET
def listing_public(request, slug):
    listing = get_object_or_404(Listing.objects.select_related("instrument"), slug=slug)
    if listing.first_published_at is None:
        raise Http404
    if not Listing.objects.in_window().filter(pk=listing.pk).exists():
        return render(request, "shop/listing_gone.html", {"listing": listing}, status=410)
    showing, facts = shown_as_it_stands(listing), public_facts(listing.instrument)
    context = {
        "listing": listing,
        "instrument": listing.instrument,
        "shown": showing,
        "facts": facts,
        "is_examined": listing.instrument.findings.public().exists(),
        "linked_data": listing_data(showing, facts, request),
        "life": public_life_of(listing.instrument, today=today()),
        "profile": ShopProfile.current(),
    }
    return render(request, "shop/listing_public.html", context)


@login_not_required
@require_GET
def listing_photo(request, slug, pk, size):
    """A picture made for the public, without hidden data, of an instrument in the window."""
    listing = get_object_or_404(Listing.objects.in_window(), slug=slug)
    photo = get_object_or_404(Photo.objects.public(), pk=pk, instrument=listing.instrument_id)
    if size not in PUBLIC_SIZES:
        raise Http404
    return serve_file(request, getattr(photo, size), media_type=PUBLIC_SIZES[size], public=True)
