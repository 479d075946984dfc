"""What a stranger may see. Every view here says so by name, and a test pins the list."""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from instruments.media import serve_file
from instruments.models import Photo
from shop.actions.credit_terms import credit_terms_in_force
from shop.credit_words import offer_words
from shop.forms.window import WindowForm
from shop.life import public_life_of
from shop.linked_data import listing_data
from shop.listening import public_films, public_recordings
from shop.measured import not_known_of, public_measures
from shop.models import Listing
from shop.page_head import listing_head, window_head
from shop.pages import MOST_COUNTED, page_of_keys
from shop.showing import public_facts, shown_as_it_stands
from shop.site_address import Site
from shop.states import PromiseKind
from shop.views.answers import today
from shop.window_pictures import SIZES, pictures_of
from shop.window_stock import cards_of, listings_of, others_like

PAGE_SIZE = 24


@login_not_required
@require_safe
@gzip_page
def window(request):
    form = WindowForm(request.GET)
    page = page_of_keys(form.keys(most=MOST_COUNTED + 1), request.GET.get("page"), size=PAGE_SIZE)
    site = Site(request)
    context = {
        "form": form,
        "page": page,
        "cards": cards_of(listings_of(page.object_list)),
        "head": window_head(site, page_number=page.number, is_narrowed=form.is_narrowed),
        "profile": site.profile,
    }
    return render(request, "shop/window.html", context)


@login_not_required
@require_safe
@gzip_page
def listing_public(request, slug):
    listing = get_object_or_404(Listing.objects.select_related("instrument", "instrument__tone"), slug=slug)
    if listing.first_published_at is None:
        raise Http404
    if not Listing.objects.in_window().filter(pk=listing.pk).exists():
        return _gone(request, listing)
    showing, facts, site = shown_as_it_stands(listing), public_facts(listing.instrument), Site(request)
    pictures, measures = pictures_of(listing, showing.photos), public_measures(listing.instrument)
    context = {
        "listing": listing,
        "instrument": listing.instrument,
        "shown": showing,
        "pictures": pictures,
        "facts": facts,
        "measures": measures,
        "not_known": not_known_of(listing.instrument, measures),
        "is_examined": listing.instrument.findings.public().exists(),
        "head": listing_head(showing, pictures, site),
        "linked_data": listing_data(showing, facts, pictures, site),
        "recordings": public_recordings(listing.instrument),
        "films": public_films(listing.instrument),
        "life": public_life_of(listing.instrument, today=today()),
        "profile": site.profile,
        "credit_offer": offer_words(credit_terms_in_force().rule),
        "others": others_like(listing),
    }
    return render(request, "shop/listing_public.html", context)


def _gone(request, listing: Listing):
    """410 for what is sold: it will not be back, and a crawler may forget it at once (RFC 9110, 15.5.11).

    404 for what is promised for now or taken out: nobody can say whether it comes back (15.5.5). Either way
    people read the same short page.
    """
    is_sold = listing.instrument.promises.open().filter(kind=PromiseKind.SALE).exists()
    context = {"listing": listing, "is_sold": is_sold, "others": others_like(listing)}
    return render(request, "shop/listing_gone.html", context, status=410 if is_sold else 404)


@login_not_required
@require_safe
def listing_photo(request, slug, pk, size):
    """A picture made for the public, without hidden data, of an instrument in the window."""
    listing = get_object_or_404(Listing.objects.in_window(), slug=slug)
    photo = get_object_or_404(Photo.objects.public(), pk=pk, instrument=listing.instrument_id)
    if size not in SIZES:
        raise Http404
    field, media_type, _ = SIZES[size]
    return serve_file(request, getattr(photo, field), media_type=media_type, public=True)
