"""Where the addresses lead of what strangers ask and of what somebody looks for."""

from django.urls import path

from shop.views import ask, enquiries, tellings, wanted

enquiry_patterns = [
    path("enquiries/", enquiries.enquiries, name="enquiries"),
    path("enquiries/<str:number>/", enquiries.enquiry_page, name="enquiry_page"),
    path("enquiries/<str:number>/answer/", enquiries.enquiry_answer, name="enquiry_answer"),
    path("enquiries/<str:number>/pass-on/", enquiries.enquiry_pass, name="enquiry_pass"),
    path("enquiries/<str:number>/on-file/", enquiries.enquiry_customer, name="enquiry_customer"),
    path("enquiries/<str:number>/real/", enquiries.enquiry_real, name="enquiry_real"),
    path("enquiries/<str:number>/close/", enquiries.enquiry_close, name="enquiry_close"),
    path("enquiries/<str:number>/erase/", enquiries.enquiry_erase, name="enquiry_erase"),
    path("wanted/", wanted.wanted, name="wanted"),
    path("wanted/new/", wanted.wanted_add, name="wanted_add"),
    path("wanted/<int:pk>/", wanted.wanted_page, name="wanted_page"),
    path("wanted/<int:pk>/tell/<str:stock_number>/", tellings.wanted_tell, name="wanted_tell"),
    path("wanted/<int:pk>/edit/", wanted.wanted_edit, name="wanted_edit"),
    path("wanted/<int:pk>/close/", wanted.wanted_close, name="wanted_close"),
]
public_patterns = [
    path("ask/", ask.ask, name="ask"),
    path("ask/thank-you/", ask.ask_thanks, name="ask_thanks"),
    path("ask/what-we-keep/", ask.ask_kept, name="ask_kept"),
    path("ask/about/<slug:slug>/", ask.ask_about, name="ask_about"),
    path("no-more/<str:token>/", tellings.tell_no_more, name="tell_no_more"),
]
