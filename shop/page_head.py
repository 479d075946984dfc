"""What a public page says of itself to search engines and to whoever shares it."""

from dataclasses import dataclass

from django.conf import settings
from django.utils.text import Truncator

from shop.showing import Shown
from shop.site_address import Site
from shop.window_pictures import Picture

LONGEST_DESCRIPTION = 200


@dataclass(frozen=True)
class PageHead:
    """`address` is the one address of the page, whatever it was reached by."""

    title: str
    description: str
    address: str
    kind: str = "website"
    picture: Picture | None = None
    picture_address: str = ""
    may_be_indexed: bool = True

    @property
    def language_tag(self) -> str:
        """As HTML and hreflang want it: en-GB (BCP 47)."""
        return _tag("-")

    @property
    def locale(self) -> str:
        return _tag("_")


def _tag(joint: str) -> str:
    language, _, country = settings.LANGUAGE_CODE.partition("-")
    return f"{language}{joint}{country.upper()}" if country else language


def listing_head(showing: Shown, pictures: list[Picture], site: Site) -> PageHead:
    first = pictures[0] if pictures else None
    said = " ".join([f"{showing.headline.rstrip('.')}.", showing.instrument.sentence])
    return PageHead(
        title=showing.headline,
        description=Truncator(said).chars(LONGEST_DESCRIPTION),
        address=site.whole(showing.listing.get_absolute_url()),
        kind="product",
        picture=first,
        picture_address=site.whole(first.large) if first else "",
    )


def window_head(site: Site, *, page_number: int, is_narrowed: bool) -> PageHead:
    """A narrowed list is the same pianos again: it is not indexed, and its address is the whole list's."""
    further = f"?page={page_number}" if page_number > 1 and not is_narrowed else ""
    return PageHead(
        title="Pianos to see and try",
        description="Older pianos, each described by what we have seen, measured and done, and have not.",
        address=site.named("window") + further,
        may_be_indexed=not is_narrowed,
    )
