"""The phone's card in a real browser: the same strokes as Python's, nothing lost, nothing fetched, nothing run."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from designed_tests import design

from rangework.assessment.ball_draw import DistanceWish
from rangework.assessment.design import AssessmentDesign
from rangework.course import Course
from rangework.lie import Ground
from rangework.records import check_records, read_records
from rangework.report.card_data import STEP_STROKES, card_data, page_json
from rangework.report.phone_card import phone_card
from rangework.report.printed_card import printed_card
from rangework.report.style import TEXTURES
from rangework.units import YARD_M

HOSTILE = '</script><img src=x onerror="window.hit=1">&quot;\''
BROWSER, DRIVER = shutil.which("chromium") or shutil.which("chromium-browser"), shutil.which("chromedriver")
in_browser = pytest.mark.skipif(
    not (BROWSER and DRIVER),
    reason="no chromium and chromedriver on PATH (Debian: apt-get install chromium-driver)",
)


@pytest.fixture(scope="module")
def designed(demo_course: Course) -> AssessmentDesign:
    return design(demo_course, DistanceWish(), balls=6, pins=("back-left", "front-right", "middle"))


@pytest.fixture(scope="module")
def landed(demo_course: Course) -> AssessmentDesign:
    wish = DistanceWish(available_m=(60.0, 130.0, 170.0))
    return design(demo_course, wish, balls=4, seed=3, measured="carry", measured_by="paced", name=HOSTILE)


@pytest.fixture(scope="module")
def downloads(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("downloads")


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory, downloads: Path) -> Iterator[Any]:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = str(BROWSER)
    for word in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
                 "--window-size=390,844", f"--user-data-dir={tmp_path_factory.mktemp('chromium')}"):  # fmt: skip
        options.add_argument(word)
    options.add_experimental_option("prefs", {"download.default_directory": str(downloads)})
    driver = webdriver.Chrome(options=options, service=Service(str(DRIVER)))
    driver.implicitly_wait(1)
    yield driver
    driver.quit()


def opened(browser: Any, design: AssessmentDesign, folder: Path) -> Path:
    """The card in the browser, without what an earlier test kept there."""
    page = folder / "card.html"
    page.write_text(phone_card(design), encoding="utf-8")
    browser.get(page.as_uri())
    browser.execute_script("localStorage.clear()")
    browser.refresh()
    return page


def press(browser: Any, selector: str) -> None:
    browser.execute_script("document.querySelector(arguments[0]).click()", selector)


def type_into(browser: Any, name: str, text: str) -> None:
    field = browser.find_element("id", name)
    field.clear()
    field.send_keys(text)


def text_of(browser: Any, name: str) -> str:
    return str(browser.execute_script("return document.getElementById(arguments[0]).textContent", name))


def finishes(rng: np.random.Generator) -> np.ndarray:
    """Finishes (n, 2) in metres beyond the pin and right of it: near, far, and very far."""
    return np.concatenate([rng.normal(0.0, size, (150, 2)) for size in (3.0, 12.0, 35.0)])


@pytest.mark.slow
@in_browser
def test_the_phone_gains_what_python_gains(
    browser: Any, designed: AssessmentDesign, landed: AssessmentDesign, tmp_path: Path
) -> None:
    wet = out = held = 0
    for each in (designed, landed):
        opened(browser, each, tmp_path)
        places = finishes(np.random.default_rng(6))
        script = "const [ball, places] = arguments; return places.map(([l, r]) => gained(test, test.balls[ball], l, r))"
        for number, ball in enumerate(each.balls):
            possible = places[places[:, 0] >= -1.1 * ball.target_m]
            told = np.array(browser.execute_script(script, number, possible.tolist()))
            long, right = possible.T
            expected = ball.values.gained(long, right, ball.run_m or None)
            assert np.abs(told - expected).max() <= STEP_STROKES
            grounds = ball.values._ground(long, right)
            wet, out = wet + int((grounds == Ground.WATER).sum()), out + int((grounds == Ground.OUT).sum())
            held += int((expected != ball.values.gained(long, right)).sum())
    # the finishes reached every kind of ground that is treated apart, and some landings were held
    assert wet > 5
    assert out > 5
    assert held > 5


@pytest.mark.slow
@in_browser
def test_balls_are_noted_and_survive_a_reload(
    browser: Any, designed: AssessmentDesign, downloads: Path, tmp_path: Path
) -> None:
    opened(browser, designed, tmp_path)
    assert text_of(browser, "asked").startswith("Ball 1 of 6")
    type_into(browser, "long", "7")
    assert text_of(browser, "fault") == "short or long?"
    press(browser, "#long-way [data-sign='-1']")
    assert "left or right" in text_of(browser, "fault")
    type_into(browser, "right", "2,5")
    press(browser, "#right-way [data-sign='1']")
    first = designed.balls[0].values.gained(-7 * YARD_M, 2.5 * YARD_M)
    assert f"{abs(float(first)):.2f} strokes" in text_of(browser, "result")
    press(browser, "#next")
    press(browser, "#holed")
    press(browser, "#next")
    press(browser, "#unread")
    press(browser, "#next")
    type_into(browser, "long", "3")  # not finished when the page goes
    browser.refresh()
    assert text_of(browser, "asked").startswith("Ball 4 of 6")
    assert browser.find_element("id", "long").get_property("value") == "3"
    totals = text_of(browser, "totals")
    assert "3 of 6" in totals
    total = float(first) + designed.balls[1].values.strokes - 1.0
    assert f"{abs(total):.2f}" in totals
    press(browser, "#export")
    file = exported(downloads)
    assert check_records(file) == ([], [])
    aimed = read_records([file]).aimed
    assert aimed["ball"].tolist() == ["1", "2", "3"]
    assert aimed["long_m"].iloc[0] == pytest.approx(-7 * YARD_M)
    assert aimed["misread"].tolist() == [False, False, True]
    resumed(browser, file, designed, tmp_path)
    assert browser.execute_script("return performance.getEntriesByType('resource').length") == 0


def exported(downloads: Path) -> Path:
    """The file that the phone exported."""
    for _ in range(50):
        found = list(downloads.glob("*.csv"))
        if found:
            return found[0]
        time.sleep(0.1)
    raise AssertionError("nothing was exported")


def resumed(browser: Any, file: Path, design: AssessmentDesign, folder: Path) -> None:
    """The test goes on from the file, on a phone that knows nothing of it."""
    opened(browser, design, folder)
    assert "0 of 6" in text_of(browser, "totals")
    browser.find_element("id", "load").send_keys(str(file))
    for _ in range(50):
        if text_of(browser, "told") == "Loaded.":
            break
        time.sleep(0.1)
    assert "3 of 6" in text_of(browser, "totals")


@pytest.mark.slow
@in_browser
def test_touching_the_green(browser: Any, designed: AssessmentDesign, tmp_path: Path) -> None:
    opened(browser, designed, tmp_path)
    script = """
      const picture = document.getElementById("green"), at = new DOMPoint(arguments[0], -arguments[1]);
      const seen = at.matrixTransform(picture.getScreenCTM());
      picture.dispatchEvent(new MouseEvent("click", { clientX: seen.x, clientY: seen.y, bubbles: true }));
      return results()[0]"""
    touched = browser.execute_script(script, 4.0 * YARD_M, -6.0 * YARD_M)
    assert touched["right"] == pytest.approx(4.0, abs=0.11)
    assert touched["long"] == pytest.approx(-6.0, abs=0.11)
    faults = "return arguments[0].map(([long, right]) => faultOf(test, test.balls[0], long ?? NaN, right))"
    far, letters, fine = browser.execute_script(faults, [[500, 0], [None, 3], [3, 1]])
    assert far
    assert letters
    assert not fine
    type_into(browser, "long", "ten")
    assert "is no number" in text_of(browser, "fault")


@pytest.mark.slow
@in_browser
def test_hostile_names_are_texts(browser: Any, landed: AssessmentDesign, tmp_path: Path) -> None:
    opened(browser, landed, tmp_path)
    assert browser.title == HOSTILE
    assert text_of(browser, "name") == HOSTILE
    assert browser.execute_script("return window.hit") is None
    assert browser.execute_script("return document.images.length") == 0
    page = tmp_path / "printed.html"
    page.write_text(printed_card(landed), encoding="utf-8")
    browser.get(page.as_uri())
    assert browser.find_element("tag name", "h1").text == HOSTILE
    assert browser.execute_script("return document.images.length") == 0


@pytest.mark.slow
@in_browser
def test_the_page_fits_a_phone(browser: Any, designed: AssessmentDesign, tmp_path: Path) -> None:
    opened(browser, designed, tmp_path)
    wide = browser.execute_script("return [document.documentElement.scrollWidth, innerWidth]")
    assert wide[0] <= wide[1]
    small = """return [...document.querySelectorAll("button, .button")]
      .filter((each) => { const box = each.getBoundingClientRect(); return box.width < 40 || box.height < 44; })
      .map((each) => each.textContent)"""
    assert browser.execute_script(small) == []


def test_a_page_fetches_nothing(designed: AssessmentDesign) -> None:
    for page in (phone_card(designed), printed_card(designed)):
        assert "default-src 'none'" in page
        assert "{{" not in page
        for word in ("src=", "@import", "url(", "fetch(", "XMLHttp", "http://", "https://"):
            assert word not in page.replace("http://www.w3.org/2000/svg", "")


def test_data_cannot_leave_their_script(landed: AssessmentDesign) -> None:
    text = page_json(card_data(landed))
    assert "<" not in text
    assert json.loads(text)["name"] == HOSTILE


def test_the_printed_card_has_a_row_for_every_ball(designed: AssessmentDesign) -> None:
    page = printed_card(designed)
    assert page.count("class='write'") == 2 * len(designed.balls)
    assert page.count("<svg") == len(designed.balls)


def test_ground_has_the_colours_of_our_pictures(designed: AssessmentDesign) -> None:
    page = phone_card(designed)
    for ground in (Ground.FAIRWAY, Ground.GREEN, Ground.SAND, Ground.TREES, Ground.WATER, Ground.OUT):
        assert f"--{ground.name.lower()}: {TEXTURES[ground].colour.lower()}" in page
