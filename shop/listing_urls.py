"""Addresses of the listing writer; they stand among the shop's own."""

from django.urls import path

from shop.views import listing, listing_versions, listing_voice

listing_patterns = [
    path("stock/<str:stock_number>/listing/", listing.listing_edit, name="listing_edit"),
    path("stock/<str:stock_number>/listing/draft/", listing.listing_draft, name="listing_draft"),
    path("stock/<str:stock_number>/listing/publish/", listing.listing_publish, name="listing_publish"),
    path(
        "stock/<str:stock_number>/listing/published/<int:pk>/",
        listing_versions.listing_version,
        name="listing_version",
    ),
    path("stock/<str:stock_number>/listing/withdraw/", listing.listing_withdraw, name="listing_withdraw"),
    path("stock/<str:stock_number>/sale-sheet.pdf", listing.listing_sheet, name="listing_sheet"),
    path("terms/listings/", listing_voice.listing_voice, name="listing_voice"),
    path(
        "terms/listings/sentences/<slug:code>/",
        listing_voice.listing_sentence_edit,
        name="listing_sentence_edit",
    ),
    path(
        "terms/listings/sentences/<slug:code>/back/",
        listing_voice.listing_sentence_back,
        name="listing_sentence_back",
    ),
    path("terms/listings/texts/<slug:code>/", listing_voice.listing_order_edit, name="listing_order_edit"),
    path(
        "terms/listings/texts/<slug:code>/back/",
        listing_voice.listing_order_back,
        name="listing_order_back",
    ),
]
