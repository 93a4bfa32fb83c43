"""The small script: what is typed outlives a lost connection, and Enter goes on to the next reading."""

from pathlib import Path

import pytest
from django.contrib.staticfiles import finders

pytestmark = pytest.mark.browser

HOST = "http://bench.example"
FORM = """<!doctype html><title>t</title>{meta}<form data-keep="job-7" method="post">
<input name="csrfmiddlewaretoken" type="hidden" value="{token}"><input name="secret" type="password">
<div class="reading"><input name="uv" id="uv"></div><div class="reading"><input name="vw" id="vw"></div>
<textarea name="words" id="words"></textarea><input type="checkbox" name="signs" value="c" id="c">
<input type="checkbox" name="signs" value="f" id="f"><select name="state" id="state"><option>dead<option>live</select>
<button>Keep</button></form><script src="/bench.js"></script>"""


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    switches = "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking"
    return {**browser_type_launch_args, "executable_path": "/usr/bin/chromium", "args": switches.split()}


@pytest.fixture
def served(page):
    """A page of its own host that the test can change between two visits."""
    served = {"meta": "", "token": "first"}
    script = Path(finders.find("portal/js/bench.js")).read_text()
    page.route(f"{HOST}/bench.js", lambda route: route.fulfill(body=script, content_type="text/javascript"))
    page.route(f"{HOST}/", lambda route: route.fulfill(body=FORM.format(**served), content_type="text/html"))
    page.goto(HOST)
    return served


def typed(page):
    page.fill("#uv", "93.6")
    page.fill("#words", "stops uphill")
    page.check("#f")
    page.select_option("#state", "live")
    page.fill("[name=secret]", "hush")


def test_what_was_typed_is_there_again_after_a_lost_connection(page, served):
    typed(page)
    page.goto("about:blank")
    page.goto(HOST)
    assert page.input_value("#uv") == "93.6"
    assert page.input_value("#words") == "stops uphill"
    assert (page.is_checked("#c"), page.is_checked("#f")) == (False, True)
    assert page.input_value("#state") == "live"


def test_neither_passwords_nor_tokens_are_kept(page, served):
    typed(page)
    kept = page.evaluate("localStorage.getItem('kept:job-7')")
    assert "93.6" in kept
    assert "hush" not in kept
    assert "first" not in kept


def test_a_new_token_is_not_overwritten_by_an_old_one(page, served):
    typed(page)
    served["token"] = "second"
    page.goto(HOST)
    assert page.input_value("[name=csrfmiddlewaretoken]") == "second"


def test_it_is_thrown_away_when_the_server_has_accepted_it(page, served):
    typed(page)
    served["meta"] = '<meta name="kept-clear" content="job-7">'
    page.goto(HOST)
    assert page.input_value("#uv") == ""
    assert page.evaluate("localStorage.length") == 0


def test_another_form_keeps_what_is_its_own(page, served):
    typed(page)
    served["meta"] = '<meta name="kept-clear" content="job-8">'
    page.goto(HOST)
    assert page.input_value("#uv") == "93.6"


def test_enter_goes_on_to_the_next_reading_and_sends_from_the_last(page, served):
    sent = []
    page.on("request", lambda request: sent.append(request.method))
    page.focus("#uv")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "vw"
    assert "POST" not in sent
    with page.expect_request(lambda request: request.method == "POST"):
        page.keyboard.press("Enter")


def test_enter_in_words_stays_a_new_line(page, served):
    page.focus("#words")
    page.keyboard.type("a")
    page.keyboard.press("Enter")
    page.keyboard.type("b")
    assert page.input_value("#words") == "a\nb"


RECORD = """<!doctype html><meta charset="utf-8"><title>t</title><form id="record-form" method="post">
<select name="instrument_range"><option data-decimals="1">Tarn, 200 milliohm</select>
<input name="uv" id="uv" inputmode="decimal" data-keys="OL > <" data-read-with="instrument_range">
<input name="vw" id="vw" inputmode="decimal" data-keys="OL \u2212 ohm"><input name="last" id="last" inputmode="decimal">
<textarea name="remark"></textarea><div id="keys" data-label="Keys for" data-next="Next" data-minus="sign" hidden></div>
<button type="submit" id="keep">Keep</button></form><script src="/bench.js"></script>"""


@pytest.fixture
def record(page, served):
    page.route(f"{HOST}/record", lambda route: route.fulfill(body=RECORD, content_type="text/html"))
    page.goto(f"{HOST}/record")


def has_focus(page):
    return page.evaluate("document.activeElement.id")


def test_a_reading_goes_on_by_itself_after_the_last_decimal_of_its_range(page, record):
    page.focus("#uv")
    page.keyboard.type("93.")
    assert has_focus(page) == "uv"
    page.keyboard.type("6")
    assert has_focus(page) == "vw"
    page.keyboard.type("93.6")
    assert has_focus(page) == "vw"  # nothing tells how many decimals it has


def test_the_last_field_of_a_record_goes_on_to_the_button_and_does_not_send(page, record):
    page.focus("#last")
    page.keyboard.press("Enter")
    assert has_focus(page) == "keep"


def test_keys_write_what_the_keyboard_of_a_phone_lacks(page, record):
    page.focus("#uv")
    page.get_by_role("button", name="OL").click()
    assert (page.input_value("#uv"), has_focus(page)) == ("OL", "vw")
    page.keyboard.type("0.2")
    page.get_by_role("button", name="sign").click()
    page.get_by_role("button", name="ohm").click()
    assert (page.input_value("#vw"), has_focus(page)) == ("\u22120.2 ohm", "last")
    page.get_by_role("button", name="Next").click()
    assert has_focus(page) == "keep"


def test_a_page_that_comes_back_with_errors_opens_at_them(page, served):
    served["meta"] = "<main><p style='height:3000px'>long</p><div class='errors' id='wrong'>One thing</div></main>"
    page.goto(HOST)
    assert page.evaluate("document.activeElement.id") == "wrong"
    assert page.evaluate("scrollY") > 1000


WRONG = """<!doctype html><meta charset="utf-8"><title>t</title><form><div class="field wrong">
<input id="uv" aria-invalid="true"><div><p class="error">“abc” is not a figure.</p></div></div>
<div class="field wrong"><input id="vw" aria-invalid="true"><div><p class="error">too much</p></div></div></form>
<script src="/bench.js"></script>"""


def test_what_was_said_of_a_field_goes_as_soon_as_something_else_is_typed(page, served):
    page.route(f"{HOST}/wrong", lambda route: route.fulfill(body=WRONG, content_type="text/html"))
    page.goto(f"{HOST}/wrong")
    page.fill("#uv", "93.6")
    assert page.locator(".error").all_inner_texts() == ["too much"]
    assert page.locator(".wrong").count() == 1 and page.locator("[aria-invalid]").get_attribute("id") == "vw"
