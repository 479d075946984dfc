"""Columns of text that no adversary's text is put into, each with its reason.

The reasons are few: nobody types it, or a form reads it and writes it anew in a form of ours. A choice, and
what the column's own check refuses (an address, a slug), needs no line here.
"""

A_NUMBER = "a number the program gives, and addresses are made of it"
A_FINGERPRINT = "a fingerprint the program works out"
A_KEY = "a key of a word list of ours, by which the program finds its sentence"
WORKED_OUT = "worked out from other columns as the row is saved"
A_UNIT = "one of the units a form offers"
A_DATE = "a date in EDTF, which the form reads and writes anew"
NOTES = "notes of the compass, which the form reads and writes anew"

WRITTEN_BY_THE_PROGRAM = {
    **dict.fromkeys(
        (
            *("Trial.number", "Sale.number", "TakenIn.number", "Commission.number", "CallBack.number"),
            *("CareVisit.number", "Enquiry.number", "HistoryIssue.number", "HoldTerms.number"),
            *("Lead.number", "Receipt.number", "SaleOrReturn.number", "TrialExtension.number"),
            *("WorkOrder.number", "OutsideJob.number", "Instrument.stock_number", "NumberSeries.series"),
            *("Paper.number", "SaleEnding.credit_note", "Purchase.own_number", "BookLine.document"),
        ),
        A_NUMBER,
    ),
    **dict.fromkeys(
        (
            *("TermsVersion.sha256", "Paper.sha256", "Approval.wording_sha256", "SaleCare.sha256"),
            *("Enquiry.mark_sha256", "Enquiry.words_sha256", "Knock.address_hmac", "HistoryIssue.token"),
            *("HistoryIssue.sha256", "PhotoLink.seed", "PhotoLink.token_sha256", "LeadPhoto.sha256"),
            *("Publication.sha256", "PersonExport.sha256", "Removal.row_sha256", "Removal.file_sha256"),
            *("PaperSignature.content_hash", "ChainLink.row_sha256", "ChainLink.sha256", "Document.sha256"),
            *("WaitingPhoto.sha256", "WaitingPhoto.form_token", "Photo.sha256", "Recording.sha256"),
            *("Submission.token", "Submission.fingerprint", "Submission.url", "RecoveryCode.code_sha256"),
            *("SignInTry.account", "SignInTry.address", "LogSeal.sha256"),
        ),
        A_FINGERPRINT,
    ),
    **dict.fromkeys(
        (
            *("AgreementClause.code", "CallBack.part", "GuaranteePart.code", "ListingSentence.code"),
            *("ListingOrder.version", "Removal.kind", "ChainLink.kind", "Listing.slug", "Task.code"),
            *("TaskSet.code", "TaskSuggestion.part", "TaskSuggestion.condition", "TaskSuggestion.fault"),
            *("MeasuredValue.measure", "MeasuredValue.answer", "TellTale.question", "TellTale.code"),
            *("LeadPhoto.media_type", "Document.media_type", "WaitingPhoto.media_type"),
            *("Photo.media_type", "Recording.media_type", "Recording.copy_type"),
            *("ShopProfile.tax_country", "TaxRate.country", "LogLine.subject", "LogLine.address"),
        ),
        A_KEY,
    ),
    **dict.fromkeys(
        ("Person.search_text", "Instrument.search_text", "SerialMark.maker_folded"),
        WORKED_OUT,
    ),
}
LEFT_OUT = {
    **dict.fromkeys(
        ("Instrument.made", "Document.dated", "Statement.dated", "Clearance.made", "Clearance.added_taken"),
        A_DATE,
    ),
    **dict.fromkeys(("Finding.unit", "MeasuredValue.unit", "PartUsed.unit", "WireReading.given_as"), A_UNIT),
    **dict.fromkeys(
        ("WorkItem.keys", "WorkItem.keys_rechecked", "Finding.keys", "VisitRecord.keys"),
        NOTES,
    ),
}
# Text that a page shows in pieces: column, the addresses (none: everywhere), and why.
TAKEN_APART = {
    "Wanted.tone": ((), "each of its points is a sentence of its own"),
    "Person.name": (("shop:person_erase",), "each word of a name is looked for"),
    **dict.fromkeys(
        (
            *("Listing.body", "Listing.history_words", "Listing.work_done", "Listing.not_done"),
            *("Listing.faults", "Listing.print_words", "Listing.social_text", "Listing.short_text"),
        ),
        (("shop:listing_edit", "shop:listing_version"), "what nothing on file says is said line by line"),
    ),
}
