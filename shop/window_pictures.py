"""Photographs for the window, with their measures: a page keeps its place while they load."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.urls import reverse

from instruments.models import Photo
from instruments.pictures import MEDIUM_SIDE, PAGE_SIDE, PRINT_SIDE, THUMB_SIDE
from shop.models import Listing

# What may be asked for: the field, what it is, and how long its longer side is at most.
SIZES = {
    "thumb": ("thumb", "image/webp", THUMB_SIDE),
    "medium": ("medium", "image/webp", MEDIUM_SIDE),
    "page": ("page", "image/webp", PAGE_SIDE),
    "large": ("print", "image/jpeg", PRINT_SIDE),
}
ON_A_PAGE = ("thumb", "medium", "page")


@dataclass(frozen=True)
class Picture:
    """One photograph: `srcset` names what a page may choose from, `large` is to look at closely."""

    src: str
    srcset: str
    large: str
    width: int
    height: int
    large_width: int
    large_height: int
    words: str
    caption: str


def pictures_of(listing: Listing, photos: Iterable[Photo]) -> list[Picture]:
    return [_picture(listing, photo) for photo in photos]


def _picture(listing: Listing, photo: Photo) -> Picture:
    address = {size: reverse("listing_photo", args=[listing.slug, photo.pk, size]) for size in SIZES}
    width, height = fitted(photo.width, photo.height, PAGE_SIDE)
    large_width, large_height = fitted(photo.width, photo.height, PRINT_SIDE)
    there = [size for size in ON_A_PAGE if getattr(photo, SIZES[size][0])]
    widths = {size: fitted(photo.width, photo.height, SIZES[size][2])[0] for size in there}
    return Picture(
        src=address["page"],
        srcset=", ".join(f"{address[size]} {widths[size]}w" for size in there),
        large=address["large"],
        width=width,
        height=height,
        large_width=large_width,
        large_height=large_height,
        words=photo.caption or f"{photo.get_shot_display()}, {listing.instrument.maker_name}",
        caption=photo.caption or photo.get_shot_display(),
    )


def fitted(width: int, height: int, side: int) -> tuple[int, int]:
    """The measures of a picture brought down until its longer side is `side` at most; never enlarged."""
    longer = max(width, height)
    if longer <= side:
        return width, height
    return max(1, round(width * side / longer)), max(1, round(height * side / longer))
