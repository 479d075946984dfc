"""Where each address leads. Names without a namespace are the project's own, open to every app."""

from django.contrib.auth import views as auth_views
from django.urls import include, path

from shop.views import (
    books,
    histories,
    holds,
    instrument,
    intake,
    listing,
    money,
    people,
    record,
    sales,
    stock,
    stock_import,
    today,
    trial_endings,
    trials,
    window,
)
from shop.views.health import health
from shop.views.offline import offline_worker

shop_patterns = [
    path("stock/log/", intake.instrument_log, name="instrument_log"),
    path("stock/log/photos/", intake.intake_photos, name="intake_photos"),
    path("stock/log/sellers/", intake.seller_matches, name="seller_matches"),
    path("stock/import/", stock_import.instrument_import, name="instrument_import"),
    path("stock/import/stock.csv", stock_import.import_template, name="import_template"),
    path("stock/import/<str:token>/", stock_import.import_preview, name="import_preview"),
    path("stock/import/<str:token>/confirm/", stock_import.import_confirm, name="import_confirm"),
    path("stock/export.csv", stock.stock_export, name="stock_export"),
    path("people/", people.people, name="people"),
    path("people/new/", people.person_add, name="person_add"),
    path("people/<int:pk>/", people.person_page, name="person_page"),
    path("people/<int:pk>/edit/", people.person_edit, name="person_edit"),
    path("stock/<str:stock_number>/price/", money.price_set, name="price_set"),
    path("stock/<str:stock_number>/cost/", money.cost_add, name="cost_add"),
    path("stock/<str:stock_number>/purchase/", money.purchase_record, name="purchase_record"),
    path("stock/<str:stock_number>/clearance/", money.clearance_add, name="clearance_add"),
    path("stock/<str:stock_number>/listing/", listing.listing_edit, name="listing_edit"),
    path("stock/<str:stock_number>/listing/draft/", listing.listing_draft, name="listing_draft"),
    path("stock/<str:stock_number>/listing/publish/", listing.listing_publish, name="listing_publish"),
    path("stock/<str:stock_number>/listing/withdraw/", listing.listing_withdraw, name="listing_withdraw"),
    path("stock/<str:stock_number>/sale-sheet.pdf", listing.listing_sheet, name="listing_sheet"),
    path("stock/<str:stock_number>/history/", histories.history_hand_over, name="history_hand_over"),
    path("histories/<str:number>/<str:form>.pdf", histories.history_print, name="history_print"),
    path("stock/<str:stock_number>/record/", record.record_page, name="record_page"),
    path("stock/<str:stock_number>/trial/", trials.trial_draft, name="trial_draft"),
    path("stock/<str:stock_number>/hold/", holds.hold_place, name="hold_place"),
    path("stock/<str:stock_number>/sell/", sales.sale_record, name="sale_record"),
    path("holds/<int:pk>/release/", holds.hold_release, name="hold_release"),
    path("trials/", trials.trials, name="trials"),
    path("trials/<str:number>/", trials.trial_page, name="trial_page"),
    path("trials/<str:number>/revise/", trials.trial_revise, name="trial_revise"),
    path("trials/<str:number>/start/", trials.trial_start, name="trial_start"),
    path("trials/<str:number>/agreement.pdf", trials.trial_agreement, name="trial_agreement"),
    path("trials/<str:number>/keep/", trial_endings.trial_keep, name="trial_keep"),
    path("trials/<str:number>/exchange/", trial_endings.trial_exchange, name="trial_exchange"),
    path("trials/<str:number>/return/", trial_endings.trial_return, name="trial_return"),
    path("sales/<str:number>/", sales.sale_page, name="sale_page"),
    path("promises/<int:pk>/payment/", sales.payment_take, name="payment_take"),
    path("promises/<int:pk>/credit/", sales.credit_spend, name="credit_spend"),
    path("books/", books.books, name="books"),
    path("terms/", today.profile_edit, name="profile_edit"),
]

urlpatterns = [
    path("healthz", health, name="health"),
    path("offline-worker.js", offline_worker, name="offline_worker"),
    path("", today.today, name="today"),
    path("login/", auth_views.LoginView.as_view(), name="login"),
    path("logout/", auth_views.LogoutView.as_view(), name="logout"),
    path("stock/", stock.stock, name="stock"),
    path("window/", window.window, name="window"),
    path("window/<slug:slug>/", window.listing_public, name="listing_public"),
    path("window/<slug:slug>/photo/<int:pk>/<str:size>/", window.listing_photo, name="listing_photo"),
    path("history/<str:token>/", histories.history_public, name="history_public"),
    path("history/<str:token>/photo/<int:pk>/<str:size>/", histories.history_photo, name="history_photo"),
    path("", include((shop_patterns, "shop"))),
    path("", include("instruments.urls")),
    path("", include("workorders.urls")),
    path("stock/<str:stock_number>/", instrument.instrument_page, name="instrument"),
]

handler500 = "shop.views.errors.server_error"
