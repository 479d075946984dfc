import json

from instruments.templatetags.linked_data import linked_data


def test_words_cannot_leave_their_block():
    hostile = "</script><script>alert(1)</script> & \u2028 “”"
    block = linked_data({"name": hostile})
    assert block.count("<") == 2
    words = block.removeprefix('<script type="application/ld+json">').removesuffix("</script>")
    assert json.loads(words) == {"name": hostile}


def test_nothing_to_say_makes_no_block():
    assert linked_data({}) == ""
