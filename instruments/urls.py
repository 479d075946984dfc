from django.urls import path

from instruments.views import (
    condition_reports,
    dates,
    dating,
    documents,
    evidence,
    findings,
    identity,
    keys,
    leads,
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
    path("stock/<str:stock_number>/keys/", keys.keys, name="keys"),
    path("stock/<str:stock_number>/keys/clear/", keys.keys_clear, name="keys_clear"),
    path("stock/<str:stock_number>/keys/sheet.pdf", keys.key_sheet, name="key_sheet"),
    path(
        "stock/<str:stock_number>/condition/", condition_reports.condition_reports, name="condition_reports"
    ),
    path(
        "stock/<str:stock_number>/condition/new/", condition_reports.condition_begin, name="condition_begin"
    ),
    path(
        "stock/<str:stock_number>/condition/compare/",
        condition_reports.condition_compare,
        name="condition_compare",
    ),
    path(
        "stock/<str:stock_number>/condition/<int:pk>/",
        condition_reports.condition_report,
        name="condition_report",
    ),
    path(
        "stock/<str:stock_number>/condition/<int:pk>/edit/",
        condition_reports.condition_edit,
        name="condition_edit",
    ),
    path(
        "stock/<str:stock_number>/condition/<int:pk>/close/",
        condition_reports.condition_close,
        name="condition_close",
    ),
    path(
        "stock/<str:stock_number>/condition/<int:pk>/at/<slug:station>/",
        findings.condition_station,
        name="condition_station",
    ),
    path("stock/<str:stock_number>/move/", moves.move_record, name="move_record"),
    path("stock/<str:stock_number>/photos/", photos.photos, name="photos"),
    path("stock/<str:stock_number>/photos/<int:pk>/", photos.photo_describe, name="photo_describe"),
    path("stock/<str:stock_number>/photos/<int:pk>/shift/", photos.photo_shift, name="photo_shift"),
    path("stock/<str:stock_number>/photos/<int:pk>/remove/", photos.photo_remove, name="photo_remove"),
    path("stock/<str:stock_number>/photos/<int:pk>/restore/", photos.photo_restore, name="photo_restore"),
    path("stock/<str:stock_number>/photos/<int:pk>/<str:size>/", photo_files.photo_file, name="photo_file"),
    path("photos/waiting/<int:pk>/", photo_files.waiting_photo_file, name="waiting_photo_file"),
    path("stock/<str:stock_number>/touch-target/", weighings.touch_target, name="touch_target"),
    path("stock/<str:stock_number>/weigh-off/", weighings.weighing_add, name="weighing_add"),
    path("stock/<str:stock_number>/weigh-off/<int:pk>/", weighings.weighing_page, name="weighing_page"),
    path(
        "stock/<str:stock_number>/weigh-off/<int:pk>/readings/",
        weighings.weighing_entry,
        name="weighing_entry",
    ),
    path(
        "stock/<str:stock_number>/weigh-off/<int:pk>/weigh-off.pdf",
        weighings.weighing_print,
        name="weighing_print",
    ),
    path(
        "stock/<str:stock_number>/weigh-off/<int:pk>/close/", weighings.weighing_close, name="weighing_close"
    ),
    path("leads/", leads.lead_sizes, name="lead_sizes"),
    path("leads/new/", leads.lead_size_add, name="lead_size_add"),
    path("leads/<int:pk>/", leads.lead_size_edit, name="lead_size_edit"),
    path("stock/<str:stock_number>/lead-plan/", leads.lead_plan, name="lead_plan"),
    path("stock/<str:stock_number>/lead-plan/lever/", leads.lever_measure, name="lever_measure"),
    path("stock/<str:stock_number>/lead-plan/found/", leads.leads_found, name="leads_found"),
    path("stock/<str:stock_number>/lead-plan/<int:pk>/moved/", leads.leads_moved, name="leads_moved"),
    path("stock/<str:stock_number>/lead-plan/<int:pk>.pdf", leads.lead_plan_print, name="lead_plan_print"),
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
