from django.urls import path

from instruments.views import dates, findings, identity, moves, photo_files, photos, statements, weighings

app_name = "instruments"
urlpatterns = [
    path("dates/read/", dates.date_read, name="date_read"),
    path("stock/<str:stock_number>/identity/", identity.identity_edit, name="identity_edit"),
    path("stock/<str:stock_number>/statements/new/", statements.statement_add, name="statement_add"),
    path(
        "stock/<str:stock_number>/statements/<int:pk>/correct/",
        statements.statement_correct,
        name="statement_correct",
    ),
    path("stock/<str:stock_number>/walk-round/", findings.findings_record, name="findings_record"),
    path("stock/<str:stock_number>/move/", moves.move_record, name="move_record"),
    path("stock/<str:stock_number>/photos/", photos.photos, name="photos"),
    path("stock/<str:stock_number>/photos/<int:pk>/", photos.photo_describe, name="photo_describe"),
    path("stock/<str:stock_number>/photos/<int:pk>/shift/", photos.photo_shift, name="photo_shift"),
    path("stock/<str:stock_number>/photos/<int:pk>/remove/", photos.photo_remove, name="photo_remove"),
    path("stock/<str:stock_number>/photos/<int:pk>/restore/", photos.photo_restore, name="photo_restore"),
    path("stock/<str:stock_number>/photos/<int:pk>/<str:size>/", photo_files.photo_file, name="photo_file"),
    path("photos/waiting/<int:pk>/", photo_files.waiting_photo_file, name="waiting_photo_file"),
    path("stock/<str:stock_number>/weigh-off/", weighings.weighing_add, name="weighing_add"),
    path("stock/<str:stock_number>/weigh-off/<int:pk>/", weighings.weighing_page, name="weighing_page"),
]
