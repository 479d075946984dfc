from django.urls import path

from instruments.views import (
    dates,
    dating,
    documents,
    evidence,
    findings,
    identity,
    moves,
    photo_files,
    photos,
    serial_marks,
    statements,
    tell_tales,
    weighings,
)

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
    path("stock/<str:stock_number>/statements/<int:pk>/", evidence.statement_page, name="statement_page"),
    path(
        "stock/<str:stock_number>/statements/<int:pk>/evidence/", evidence.evidence_add, name="evidence_add"
    ),
    path(
        "stock/<str:stock_number>/evidence/<int:pk>/retract/",
        evidence.evidence_retract,
        name="evidence_retract",
    ),
    path("stock/<str:stock_number>/tell-tales/", tell_tales.tell_tales, name="tell_tales"),
    path("tell-tales/", tell_tales.tell_tale_list, name="tell_tale_list"),
    path("tell-tales/new/<slug:question>/", tell_tales.tell_tale_add, name="tell_tale_add"),
    path("tell-tales/<int:pk>/", tell_tales.tell_tale_edit, name="tell_tale_edit"),
    path("stock/<str:stock_number>/dating/", dating.dating, name="dating"),
    path("stock/<str:stock_number>/dating/take/", dating.dating_take, name="dating_take"),
    path("marks/", serial_marks.serial_marks, name="serial_marks"),
    path("marks/export/", serial_marks.serial_mark_export, name="serial_mark_export"),
    path("marks/import/", serial_marks.serial_mark_import, name="serial_mark_import"),
    path("marks/new/", serial_marks.serial_mark_add, name="serial_mark_add"),
    path("marks/<int:pk>/", serial_marks.serial_mark_edit, name="serial_mark_edit"),
    path("marks/<int:pk>/remove/", serial_marks.serial_mark_remove, name="serial_mark_remove"),
    path("stock/<str:stock_number>/documents/", documents.documents, name="documents"),
    path("stock/<str:stock_number>/documents/<int:pk>/", documents.document_file, name="document_file"),
]
