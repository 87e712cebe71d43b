"""The bench screen in a real browser: keys, touch, states, reconnecting, sizes."""

from __future__ import annotations

import os
import re
from fractions import Fraction
from pathlib import Path

import pytest

from assistant.keypad.jobs import JOBS
from assistant.keypad.keys import Key, Talk
from assistant.printing.printer import ToFolder
from assistant.session.answer import Answer
from tests.screen.conftest import ARTIFACTS, PICTURES, ShownBench

pytestmark = pytest.mark.real

SIZES = [(1920, 1080), (1280, 800), (480, 800)]
STATES = {
    "use the keys": "Ready",
    "listening": "Listening",
    "hearing": "Hearing you",
    "thinking": "Thinking",
    "speaking": "Speaking",
    "too loud": "Too loud",
    "microphone lost: use the keys": "No microphone",
}
NUMPAD = {str(n): f"Numpad{n}" for n in range(10)} | {
    ".": "NumpadDecimal",
    "/": "NumpadDivide",
    "*": "NumpadMultiply",
    "-": "NumpadSubtract",
    "+": "NumpadAdd",
    "E": "NumpadEnter",
}
# What NumLock off makes of the same keys: W3C UI Events KeyboardEvent code values, "Numpad" section.
MOVES = dict(zip("0123456789", (45, 35, 40, 34, 37, 12, 39, 36, 38, 33), strict=True)) | {".": 46}
NAMES = {
    "5": "Clear",
    "4": "ArrowLeft",
    "6": "ArrowRight",
    "8": "ArrowUp",
    "2": "ArrowDown",
    "7": "Home",
    "1": "End",
}
NAMES |= {"9": "PageUp", "3": "PageDown", "0": "Insert", ".": "Delete"}


def sees(page, text: str, where: str = "#figures") -> None:
    """Wait until the figures (or another place) read so, spaces aside."""
    page.wait_for_function(
        "([where, text]) => document.querySelector(where).innerText.replace(/\\s+/g, ' ').trim().includes(text)",
        arg=[where, text],
    )


def figures(page) -> str:
    return re.sub(r"\s+", " ", page.locator("#figures").inner_text()).strip()


def types(page, keys: str) -> None:
    for key in keys:
        page.keyboard.press(NUMPAD[key], delay=1)
        page.wait_for_timeout(26)  # sooner, the same key again is its contact bouncing


def test_the_main_job_by_keys_alone(pages) -> None:
    page = pages()
    types(page, "53.5/8E")
    sees(page, "53 5 8")
    types(page, "E")
    sees(page, "26 13 16")
    assert page.locator("#tape svg").get_attribute("aria-label") == "Tape at 26 13/16"
    types(page, "/")
    sees(page, "twenty-six and thirteen sixteenths", "#steps")
    assert page.locator("#steps svg").count() >= 3
    types(page, "53.5/8E/7EEE")
    sees(page, "2 of 7" if page.locator("#place").inner_text().endswith("7") else "2 of 6", "#place")
    types(page, "-")
    sees(page, "1 of", "#place")


def test_the_main_job_by_touch_alone(pages) -> None:
    page = pages(has_touch=True)
    page.wait_for_selector("#pad", state="visible")  # where there is a touch screen the keypad lies open

    def touch(keys: str) -> None:
        for key in keys:
            page.locator(f"#pad [data-press='{key}']").tap()
            page.wait_for_timeout(26)

    touch("53.5/8E")
    sees(page, "53 5 8")
    touch("E")
    sees(page, "26 13 16")
    touch("53.5E")
    page.locator("#choices .choice", has_text="five eighths").tap()
    sees(page, "53 5 8")
    page.locator("#close-pad").tap()
    page.locator("#actions [data-press='E']").tap()
    sees(page, "26 13 16")
    page.locator("#actions [data-press='*']").tap()
    sees(page, "", "#figures")


def test_a_sheet_is_printed_from_the_list_of_jobs(pages, benches, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))  # where no printer is
    bench = benches(printer=ToFolder(tmp_path / "Tapehand"))
    page = pages(at=bench, has_touch=True)
    bench.keys("53.5/8E/7E*E")
    page.locator("#actions [data-press='-']").tap()  # from the first page of jobs to the last
    page.locator("#choices .choice", has_text="print a sheet").tap()
    sees(page, "There is no printer here. Mark sheet one is in the folder Tapehand.", "#say")
    assert (tmp_path / "Tapehand" / "mark-sheet-1.pdf").read_bytes().startswith(b"%PDF-")


def test_numlock_off_types_the_same(pages, bench: ShownBench) -> None:
    page = pages()
    browser = page.context.new_cdp_session(page)
    for key in "53.5":
        event = {
            "code": NUMPAD[key],
            "key": NAMES.get(key, key),
            "windowsVirtualKeyCode": MOVES[key],
            "isKeypad": True,
        }
        browser.send("Input.dispatchKeyEvent", {"type": "rawKeyDown", **event})
        browser.send("Input.dispatchKeyEvent", {"type": "keyUp", **event})
        page.wait_for_timeout(26)
    sees(page, "fifty-three and five", "#heard")


def test_a_bounce_and_a_key_held_down_are_one_key_and_two_keys_are_two(pages, bench: ShownBench) -> None:
    page = pages()
    page.evaluate("""() => {
        const press = (code, more) => dispatchEvent(new KeyboardEvent("keydown", {code, key: "", ...more}));
        press("Numpad5"); press("Numpad5");              // a bounce
        press("Numpad3"); press("Numpad5");              // other keys, as fast as can be
        for (let n = 0; n < 5; n++) press("Numpad5", {repeat: true});
    }""")
    sees(page, "five hundred", "#heard")
    assert bench.pressed == [Key.FIVE, Key.THREE, Key.FIVE]


def test_keys_with_ctrl_and_other_keys_are_the_browsers(pages, bench: ShownBench) -> None:
    page = pages()
    page.keyboard.press("Control+5")
    page.keyboard.press("q")
    types(page, "7")
    sees(page, "seven", "#heard")
    assert bench.pressed == [Key.SEVEN]


def test_every_state_has_its_own_word_shape_and_color(pages, bench: ShownBench) -> None:
    page = pages()
    seen = []
    for words, label in STATES.items():
        bench.view.state(words)
        sees(page, label, "#label")
        shape = page.locator("#state use").get_attribute("href")
        color = page.locator("#state").evaluate("node => getComputedStyle(node).backgroundColor")
        seen.append((label, shape, color))
    bench.view.hearing("center of fifty")
    sees(page, "center of fifty", "#heard")
    assert len({shape for _, shape, _ in seen}) == len(seen)
    assert len({color for _, _, color in seen}) >= 5  # ready, going, busy, speaking, trouble


def test_the_level_goes_up_and_down(pages, bench: ShownBench) -> None:
    page = pages()
    for loudness, bars in ((0.5, 6), (2.0, 12), (0.0, 0)):
        bench.view.level(loudness)
        page.wait_for_function("n => document.querySelectorAll('#level .on').length === n", arg=bars)


def test_two_screens_stay_in_step_and_a_reload_shows_what_stands(pages) -> None:
    one, two = pages(), pages(480, 800)
    types(one, "53.5/8EE")
    sees(two, "26 13 16")
    types(two, "+.1/2E")
    sees(one, "54 1 8")
    one.reload()
    sees(one, "54 1 8")


def test_a_restart_is_told_and_the_screen_comes_back_by_itself(pages, benches) -> None:
    first = benches()
    page = pages(at=first)
    types(page, "53.5/8EE")
    sees(page, "26 13 16")
    first.close()
    page.wait_for_selector("#alarm", state="visible")
    assert page.locator("#alarm").inner_text() == "Not connected"
    page.screenshot(path=ARTIFACTS / "state-not-connected-1280x800.png")
    assert page.locator("#alarm").evaluate("node => getComputedStyle(node).borderTopWidth") != "0px"
    second = benches(port=first.view.port)
    second.keys("72EE")
    page.wait_for_selector("#alarm", state="hidden")
    sees(page, "36")
    pages.complaints.clear()  # the browser's own, that nobody answered for a while


def test_keys_that_go_nowhere_are_told_by_a_red_frame(pages) -> None:
    page = pages()
    page.context.new_cdp_session(page).send("Emulation.setFocusEmulationEnabled", {"enabled": False})
    other = page.context.new_page()
    other.bring_to_front()
    page.wait_for_selector("#alarm", state="visible")
    assert page.locator("#alarm").inner_text() == "Touch the screen"
    page.screenshot(path=ARTIFACTS / "state-touch-the-screen-1280x800.png")
    page.bring_to_front()
    page.wait_for_selector("#alarm", state="hidden")


def test_hold_to_talk_and_a_pedal_taught_by_stepping_on_it(pages, benches) -> None:
    talking = benches(voice=True)
    page = pages(at=talking)

    def told(*presses: Talk) -> None:
        page.wait_for_function("() => true")
        deadline = 200
        while talking.pressed != list(presses) and deadline:
            page.wait_for_timeout(10)
            deadline -= 1
        assert talking.pressed == list(presses)

    talk = page.locator("#talk")
    talk.hover()
    page.mouse.down()
    told(Talk.DOWN)
    page.keyboard.press("b")  # the pedal, stepped on while the key on the screen is held
    page.mouse.up()
    told(Talk.DOWN, Talk.UP)
    page.keyboard.down("b")
    told(Talk.DOWN, Talk.UP, Talk.DOWN)
    page.keyboard.up("b")
    told(Talk.DOWN, Talk.UP, Talk.DOWN, Talk.UP)
    page.keyboard.down("b")
    told(Talk.DOWN, Talk.UP, Talk.DOWN, Talk.UP, Talk.DOWN)
    page.close()  # gone with the key down
    deadline = 200
    while len(talking.pressed) < 6 and deadline:
        page.context.pages or page.context.new_page()
        page.context.pages[0].wait_for_timeout(10)
        deadline -= 1
    assert talking.pressed[-1] is Talk.UP


def test_the_talk_key_of_the_settings_until_another_is_taught(pages, benches) -> None:
    talking = benches(voice=True, talk_key="b")
    page = pages(at=talking)
    page.keyboard.press("Space")
    page.keyboard.press("b")
    page.locator("#talk").hover()
    page.mouse.down()
    page.keyboard.press("F9")  # this one, from now on
    page.mouse.up()
    page.keyboard.press("b")
    page.keyboard.press("F9")
    types(page, "7")
    sees(page, "seven", "#heard")
    assert talking.pressed == [*[Talk.DOWN, Talk.UP] * 3, Key.SEVEN]


def test_choices_are_numbers_pictures_and_words(pages) -> None:
    page = pages()
    types(page, "*")
    seen: list[str] = []
    while True:
        page.wait_for_selector(".choice")
        for choice in page.locator(".choice").all():
            assert choice.locator("b").inner_text().isdigit()
            assert choice.locator("svg").count() == 1, choice.inner_text()
            seen.append(choice.locator("span").inner_text())
        types(page, "E")
        sees(page, JOBS[len(seen) % len(JOBS)].name, "#choices")
        if len(seen) >= len(JOBS):
            break
    assert seen == [job.name for job in JOBS]


def test_words_from_outside_are_only_words(pages, bench: ShownBench) -> None:
    page = pages()
    evil = '<img src=x onerror="document.title=1"><svg onload="document.title=1">'
    bench.view.answer(Answer(evil, "done", evil, cautions=(f"{evil}!",)))
    bench.view.notice(evil)
    sees(page, evil, "#notice")
    assert page.locator("#say").inner_text() == evil
    assert page.locator("#cautions li").inner_text() == f"{evil}!"
    assert page.title() == "Tapehand"


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("padded", [False, True], ids=["answer", "keypad"])
def test_read_from_ten_feet_and_made_for_gloves(pages, benches, width, height, padded) -> None:
    """Digits at least 1/12 of the screen high, keys 20 mm on a ten-inch screen and 8 mm apart."""
    bench = benches(voice=True)  # with its talk key
    bench.keys("53.5/8EE")
    page = pages(width, height, at=bench)
    sees(page, "26")
    if padded:
        page.locator("#open-pad").click()
    ARTIFACTS.mkdir(parents=True, exist_ok=True)
    for keys, name in (("", "center"), ("11..11.15/16E", "feet"), ("53.5/8E/7EEE", "walk")):
        bench.keys(keys)
        if keys:
            sees(page, {"feet": "11'", "walk": "15"}[name])
        page.wait_for_timeout(150)  # a key that was pressed is shown pressed for 120 ms
        digits = page.evaluate("""() => [...document.querySelectorAll('.whole, .feet, .fraction b')]
            .map(node => parseFloat(getComputedStyle(node).fontSize) * 0.75)""")
        assert min(digits) >= height / 12
        page.screenshot(path=ARTIFACTS / f"{name}-{'keypad' if padded else 'answer'}-{width}x{height}.png")
    overflow = page.evaluate("""() => [...document.querySelectorAll('#figures > div, .key, #state, #tape svg')]
        .filter(node => node.offsetParent !== null || node.tagName === 'svg')
        .map(node => node.getBoundingClientRect())
        .filter(box => box.width)
        .filter(box => box.right > innerWidth + 1 || box.bottom > innerHeight + 1 || box.left < -1)""")
    assert overflow == []
    made_for_gloves(page, 17 if padded else 7)
    assert page.locator("#tape svg").is_visible()
    assert page.locator("#place").is_visible()


def seen_whole(page, where: str) -> None:
    box = page.locator("#beside").bounding_box()
    for node in page.locator(where).all():
        inside = node.bounding_box()
        assert inside["y"] + inside["height"] <= box["y"] + box["height"] + 1, node.inner_text()


def made_for_gloves(page, least: int) -> None:
    """Every key is 20 mm high and wide on a ten-inch screen of this shape, and 8 mm from the next."""
    mm = page.evaluate("Math.hypot(innerWidth, innerHeight) / 254")
    boxes = [key.bounding_box() for key in page.locator(".key, .choice").all() if key.is_visible()]
    assert len(boxes) >= least
    for box in boxes:
        assert min(box["width"], box["height"]) >= 20 * mm - 0.5
    for one in boxes:
        for two in boxes:
            if one is not two:
                across = max(one["x"], two["x"]) - min(one["x"] + one["width"], two["x"] + two["width"])
                down = max(one["y"], two["y"]) - min(one["y"] + one["height"], two["y"] + two["height"])
                assert max(across, down) >= 8 * mm - 0.5


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_pictures_of_the_other_views(pages, bench: ShownBench, width, height) -> None:
    page = pages(width, height, has_touch=True)  # the keypad lies open, and gives way to choices
    for keys, name, there in (
        ("*", "jobs", ".choice"),
        ("5", "asked", "#say"),
        ("78.7/8E.1/2E4E1EEE", "cautions", "#place"),
        ("53.5E", "question", ".choice"),
        ("153.5/8EE/", "explained", "#steps li"),
    ):
        bench.keys(keys)
        if name == "asked":
            sees(page, "How wide", "#say")
        page.wait_for_selector(there)
        page.wait_for_timeout(150)
        page.screenshot(path=ARTIFACTS / f"{name}-{width}x{height}.png")
        if name == "cautions" and width > height:
            seen_whole(page, "#cautions li")
        cut = page.evaluate(
            """there => [...document.querySelectorAll(there)].map(node => node.getBoundingClientRect())
            .filter(box => box.right > innerWidth || box.bottom > innerHeight)""",
            there,
        )
        assert cut == []
        made_for_gloves(page, 6)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_pictures_of_every_state(pages, benches, width, height) -> None:
    """Each is told on the page, seen whole, and kept as a picture."""
    bench = benches(voice=True)
    page = pages(width, height, at=bench)
    bench.keys("53.5/8EE")
    sees(page, "26 13 16")
    for words, label in STATES.items():
        bench.view.state(words)
        bench.view.hearing("fifty-three and five eighths" if words == "hearing" else "")
        bench.view.level(0.6 if words == "hearing" else 1.0 if words == "too loud" else 0.0)
        sees(page, label, "#label")
        box = page.locator("#state").bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
        page.screenshot(path=ARTIFACTS / f"state-{label.lower().replace(' ', '-')}-{width}x{height}.png")


def test_pictures_of_the_readme(pages, benches) -> None:
    """A gate with pickets, walked to the fifth; then a size that was half heard. TAPEHAND_REDRAW=1 keeps them."""
    bench = benches(voice=True)
    page = pages(1280, 800, at=bench)
    pickets = "pickets in seventy eight and seven eighths half inch bar no more than four inch gap edge marks"
    for words in (pickets, *["next"] * 5):
        bench.hears(words)
    sees(page, "5 of 17", "#place")
    seen_whole(page, "#cautions li")
    shots = {}
    for name, state, level in (("walking", "listening", 0.2), ("asking", "listening", 0.4)):
        if name == "asking":
            bench.hears("center of fifty three and five")
            sees(page, "Five what?", "#say")
        bench.view.state(state)
        bench.view.level(level)
        sees(page, "Listening", "#label")
        page.wait_for_timeout(150)
        shots[name] = page.screenshot(path=ARTIFACTS / f"readme-{name}.png")
    text = (PICTURES.parents[2] / "README.md").read_text(encoding="utf-8")
    for name, shot in shots.items():
        kept = PICTURES / f"{name}.png"
        if os.environ.get("TAPEHAND_REDRAW"):
            PICTURES.mkdir(exist_ok=True)
            kept.write_bytes(shot)
        assert kept.relative_to(PICTURES.parents[2]).as_posix() in text
        assert kept.read_bytes()[16:24] == shot[16:24]  # wide and high, as PNG writes them (ISO/IEC 15948, 11.2.2)


def test_true_aspect(pages, bench: ShownBench) -> None:
    """An inch along the tape is as long as the drawing says, whatever the shape of the screen."""
    bench.keys("53.5/8EE")
    for width, height in SIZES:
        page = pages(width, height)
        sees(page, "26")
        page.wait_for_timeout(100)
        matrix = page.locator("#tape svg").evaluate(
            "node => { const m = node.getScreenCTM(); return [m.a, m.d, m.b, m.c]; }"
        )
        assert matrix[0] == pytest.approx(matrix[1])
        assert matrix[2:] == [0, 0]


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_serious_for_people_who_cannot_see_well(pages, benches, width, height) -> None:
    """axe-core's rules for WCAG 2.1 A and AA (deque systems), on each view, with the keypad closed and open."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed")
    bench = benches(voice=True)
    page = pages(width, height, at=bench)
    for keys, there, state in (
        ("53.5/8EE", "#tape svg", "listening"),
        ("/", "#steps li", "speaking"),
        ("53.5E", ".choice", "too loud"),
        ("1", "#tape svg", "microphone lost: use the keys"),
    ):
        if state.startswith("microphone"):
            page.locator("#open-pad").click()
        bench.keys(keys)
        page.wait_for_selector(there)
        bench.view.state(state)
        page.wait_for_timeout(150)
        found = axe.Axe().run(page).response["violations"]
        grave = [
            (rule["id"], rule["nodes"][0]["html"][:120]) for rule in found if rule["impact"] in ("serious", "critical")
        ]
        assert grave == []


def test_the_page_is_small_and_needs_nothing_from_elsewhere(pages, bench: ShownBench) -> None:
    page = pages()
    page.reload()
    page.wait_for_selector("#label:not(:empty)")
    page.wait_for_function("document.fonts.status === 'loaded' && document.fonts.check('bold 20px Tapehand')")
    asked = page.evaluate("performance.getEntriesByType('resource').map(entry => [entry.name, entry.decodedBodySize])")
    size = sum(size for _, size in asked) + page.evaluate(
        "performance.getEntriesByType('navigation')[0].decodedBodySize"
    )
    assert asked == []  # all that the first paint needs is in it
    assert 10_000 < size < 150_000


def test_an_exact_value_off_the_mark_is_shown_small(pages, bench: ShownBench) -> None:
    bench.keys("53.5/8E/7E")
    page = pages()
    sees(page, f"exactly {Fraction(429, 56).__floor__()} 37/56", "#name")
    sees(page, "minus")
