"""What stood in the window from a day on, as it stood, and what it changed."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shop.fingerprints import fingerprint
from shop.listing_words import changes_between, kept_parts
from shop.models import Publication
from shop.views.answers import the_instrument


@require_GET
@permission_required("shop.sell", raise_exception=True)
def listing_version(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    rows = Publication.objects.filter(listing__instrument=instrument).select_related("published_by")
    version = get_object_or_404(rows, pk=pk)
    before = rows.filter(pk__lt=version.pk).first()
    after = rows.filter(pk__gt=version.pk).last()
    context = {
        "instrument": instrument,
        "version": version,
        "words": version.words,
        "parts": kept_parts(version.words, instrument, user=request.user),
        "photos": instrument.photos.filter(sha256__in=version.words.get("photos", [])),
        "before": before,
        "after": after,
        "changes": changes_between(before.words, version.words) if before else [],
        "is_whole": fingerprint(version.words) == version.sha256,
    }
    return render(request, "shop/listing_version.html", context)
