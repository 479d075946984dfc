"""The addresses of the shop and, for measuring alone, those of Django's admin over the same table."""

from django.contrib import admin
from django.urls import path

from instruments.models import Instrument
from shop.urls import handler500, urlpatterns

__all__ = ["handler500", "urlpatterns"]


class StockAdmin(admin.ModelAdmin):
    """As good an admin list as one gets by settings alone: columns of the one table, its words to search."""

    list_display = [
        "stock_number",
        "maker",
        "model",
        "serial",
        "kind",
        "place",
        "made",
        "height_cm",
        "key_count",
        "case_wood",
        "logged_at",
        "logged_by",
    ]
    list_select_related = ["logged_by"]
    list_filter = ["kind", "place", "case_wood"]
    search_fields = ["stock_number", "maker", "model", "serial", "search_text"]
    list_per_page = 30


admin.site.register(Instrument, StockAdmin)
urlpatterns = [path("admin/", admin.site.urls), *urlpatterns]
