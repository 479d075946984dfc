from django import forms

from shop.models import Listing


class ListingForm(forms.ModelForm):
    class Meta:
        model = Listing
        fields = [
            *("headline", "body", "history_words", "work_done", "not_done", "faults"),
            *("short_text", "print_words", "social_text"),
        ]
        widgets = {
            "headline": forms.TextInput(attrs={"data-wide": ""}),
            "body": forms.Textarea(attrs={"rows": 7}),
            "history_words": forms.Textarea(attrs={"rows": 5}),
            "work_done": forms.Textarea(attrs={"rows": 6}),
            "not_done": forms.Textarea(attrs={"rows": 4}),
            "faults": forms.Textarea(attrs={"rows": 4}),
            "short_text": forms.Textarea(attrs={"rows": 4, "data-count": "short_text-count"}),
            "print_words": forms.Textarea(attrs={"rows": 5}),
            "social_text": forms.Textarea(attrs={"rows": 5, "data-count": "social_text-count"}),
        }
        help_texts = {
            "work_done": "One line for each thing done.",
            "not_done": "One line for each thing left as it is or not examined.",
            "faults": "One line for each fault that a buyer should know of.",
            "print_words": "The sheet prints its facts, what was done and the faults besides.",
            "social_text": "To be copied and sent by hand; nothing here sends it.",
        }
