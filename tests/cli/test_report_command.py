"""`rangework report` writes one page that needs nothing else, with the numbers that the other commands tell."""

from __future__ import annotations

import json
import re
import shutil
from base64 import b64decode
from collections.abc import Iterator
from html import unescape
from importlib.resources import as_file, files
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from rangework.cli.main import rangework
from rangework.plan.cautions import ALWAYS

PICTURES = {"strokes", "steps", "drills", "spread", "putting"}
LARGEST_BYTES, MOST_SHEETS = 3_000_000, 8
BROWSER, DRIVER = shutil.which("chromium") or shutil.which("chromium-browser"), shutil.which("chromedriver")
in_browser = pytest.mark.skipif(
    not (BROWSER and DRIVER),
    reason="no chromium and chromedriver on PATH (Debian: apt-get install chromium-driver)",
)


def report(*arguments: str | Path) -> Result:
    return CliRunner().invoke(rangework, ["report", *map(str, arguments)])


@pytest.fixture(scope="module")
def folder(records: Path, small_course: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page, its pictures and its numbers, of a player with a hostile name."""
    folder = tmp_path_factory.mktemp("report")
    profile = folder / "profile.toml"
    profile.write_text('name = "<script>x</script> =cmd()"\nhandicap = 12\n', encoding="utf-8")
    with as_file(files("rangework.demo").joinpath("files", "availability.toml")) as file:
        days = shutil.copy(file, folder / "availability.toml")
    done = report(
        records, "--course", small_course, "--profile", profile, "--draws", "4", "--hours", "4",
        "--availability", days, "--first-round", "2026-10-03", "--temperature", "50F", "--ground", "firm",
        "--to", folder / "page.html", "--pictures", folder / "pictures", "--json", folder / "report.json",
    )  # fmt: skip
    assert done.exit_code == 0, done.output
    return folder


@pytest.fixture(scope="module")
def page(folder: Path) -> str:
    return (folder / "page.html").read_text("utf-8")


@pytest.mark.slow
def test_the_answer_is_on_the_page(page: str, folder: Path) -> None:
    told = json.loads((folder / "report.json").read_text("utf-8"))
    text = " ".join(unescape(re.sub(r"<[^>]+>", " ", page)).split())
    assert "Where an hour pays most" in text
    assert f"saves about {told['drills'][0]['first_hour']:.2f} strokes a round" in text
    assert all(each["name"] in text for each in told["hours"])
    assert all(caution in text for caution in ALWAYS)
    assert "`rangework" not in text  # the player has no keyboard at hand
    assert f"{told['rounds']['mean']:.1f} strokes on average" in text


@pytest.mark.slow
def test_the_day_played_in_is_on_the_page(page: str, folder: Path) -> None:
    assert "50 °F, firm ground" in page
    told = json.loads((folder / "report.json").read_text("utf-8"))
    assert told["inputs"]["conditions"] == {"temperature_c": pytest.approx(10.0), "ground": "firm"}
    assert {"published.conditions.air", "assumption.conditions.ground"} <= {
        each["id"] for each in told["assumptions"]
    }
    assert all(each["text"] in unescape(page) for each in told["assumptions"])


@pytest.mark.slow
def test_the_days_are_on_the_page(page: str) -> None:
    assert "Day by day to Querrowmoss Autumn Plate" in page
    assert "Friday 02 October, the day before" in page
    assert "warm up, 10 min" in page


@pytest.mark.slow
def test_hole_notes_are_those_of_aim(records: Path, small_course: Path, tmp_path: Path) -> None:
    player = [records, "--course", small_course, "--handicap", "12"]
    page, notes = tmp_path / "page.html", tmp_path / "notes.txt"
    assert report(*player, "--hours", "4", "--draws", "2", "--hole-notes", "--to", page).exit_code == 0
    alone = CliRunner().invoke(rangework, ["aim", *map(str, player), "--all", "--notes", str(notes)])
    assert alone.exit_code == 0, alone.output
    told = unescape(re.sub(r"<[^>]+>", " ", page.read_text("utf-8")))
    from_places = re.findall(r"^ +(From .*)$", notes.read_text("utf-8"), re.MULTILINE)
    assert len(from_places) >= 9
    shown = " ".join(told.split())
    assert [line for line in from_places if " ".join(line.split()) not in shown] == []


def test_days_need_an_availability_and_changes_two_cards(
    records: Path, small_course: Path, tmp_path: Path
) -> None:
    common = [records, "--course", small_course, "--hours", "4", "--to", tmp_path / "page.html"]
    alone = report(*common, "--first-round", "2026-10-03")
    assert alone.exit_code == 2
    assert "--availability" in alone.output
    single = report(*common, "--card", records)
    assert single.exit_code == 2
    assert f"{records}: none" in " ".join(single.output.split())
    absent = report(*common, "--card", "no-such-card.csv")
    assert absent.exit_code == 2
    assert "no-such-card.csv: expected a file, and there is none of this name" in absent.output
    assert not (tmp_path / "page.html").exists()


@pytest.mark.slow
def test_a_hostile_name_is_shown_and_not_run(page: str) -> None:
    assert "<script" not in page
    assert "&lt;script&gt;x&lt;/script&gt; =cmd()" in page


@pytest.mark.slow
def test_the_page_is_small_and_has_its_pictures(page: str, folder: Path) -> None:
    assert len(page.encode("utf-8")) < LARGEST_BYTES
    assert page.count("<img") == len(PICTURES)
    assert {file.stem for file in (folder / "pictures").glob("*.png")} == PICTURES
    assert {file.stem for file in (folder / "pictures").glob("*.svg")} == PICTURES


def test_a_folder_that_is_not_there_is_told_before_any_work(
    records: Path, small_course: Path, tmp_path: Path
) -> None:
    done = report(records, "--course", small_course, "--hours", "4", "--to", tmp_path / "no" / "page.html")
    assert done.exit_code == 2
    assert "does not exist" in done.output


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = str(BROWSER)
    quiet = ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking")
    for word in (*quiet, f"--user-data-dir={tmp_path_factory.mktemp('chromium')}"):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(str(DRIVER)))
    yield driver
    driver.quit()


@pytest.mark.slow
@in_browser
def test_it_opens_without_an_error_a_request_or_anything_cut_off(browser: Any, folder: Path) -> None:
    for width in (390, 1280):
        browser.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": width, "height": 800, "deviceScaleFactor": 1, "mobile": width < 500},
        )
        browser.get((folder / "page.html").as_uri())
        assert browser.execute_script("return document.documentElement.scrollWidth") <= width
        broken = "return [...document.images].filter(image => !image.complete || !image.naturalWidth).length"
        assert browser.execute_script(broken) == 0
        asked = "return performance.getEntriesByType('resource').map(entry => entry.name)"
        assert [name for name in browser.execute_script(asked) if not name.startswith("data:")] == []
        assert browser.get_log("browser") == []


@pytest.mark.slow
@in_browser
@pytest.mark.parametrize(("wide_cm", "high_cm"), [(21.0, 29.7), (21.59, 27.94)], ids=["A4", "Letter"])
def test_it_prints_on_few_sheets(browser: Any, folder: Path, wide_cm: float, high_cm: float) -> None:
    browser.get((folder / "page.html").as_uri())
    paper = {"paperWidth": wide_cm / 2.54, "paperHeight": high_cm / 2.54, "preferCSSPageSize": False}
    printed = b64decode(browser.execute_cdp_cmd("Page.printToPDF", paper)["data"])
    assert 4 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= MOST_SHEETS
