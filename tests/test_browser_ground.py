def test_page_opens_addresses_of_the_live_server(page):
    page.goto("/login/")
    assert page.locator("input[name=username]").count() == 1


def test_phone_is_narrow_and_touched(phone):
    phone.goto("/login/")
    assert phone.evaluate("[window.innerWidth, navigator.maxTouchPoints > 0]") == [360, True]


def test_server_and_test_see_the_same_rows(page, django_user_model):
    django_user_model.objects.create_user("ada", password="quiet-felt-52")
    page.goto("/login/?next=/window/")
    page.fill("input[name=username]", "ada")
    page.fill("input[name=password]", "quiet-felt-52")
    page.press("input[name=password]", "Enter")
    page.wait_for_url("**/window/")
    assert "sessionid" in {cookie["name"] for cookie in page.context.cookies()}


def test_a_request_to_any_other_machine_fails_and_is_noted(page, complaints):
    page.goto("about:blank")  # where no policy steps in before
    asked = ["https://fonts.example.org/a.woff2", "http://192.0.2.7/"]
    for url in asked:
        page.evaluate("url => fetch(url, {mode: 'no-cors'}).catch(() => 0)", url)
    assert sorted(complaints) == sorted(f"the page asked for {url}" for url in asked)
    complaints.clear()
