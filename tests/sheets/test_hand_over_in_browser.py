"""The hand-over sheet in a real browser: what fits on paper, and what a hostile note does there.

Skipped where there is no headless Chromium; `pdfinfo` of poppler counts the pages.
"""

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from bay import Bay
from demo_days import play_day
from hand_over_bench import html, worst_job

from baycompanion.job.actions import Note
from baycompanion.sheets.handover.pictures import Small
from baycompanion.working.hand_over import SHEET
from baycompanion.working.small_photo import make_small

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
PDFINFO = shutil.which("pdfinfo")
DEMO = Path(__file__).parents[2] / "demo"
CLOSED = ("good-day", "bad-day", "claim-day", "comeback", "dash-camera", "draw-hunt")
"""The jobs of the demo that are closed, and so have a sheet."""

pytestmark = pytest.mark.skipif(BROWSER is None, reason="there is no headless Chromium")

HOSTILE_NOTE = (
    "<img src=x onerror=\"document.title='it ran'\"><script>document.title='it ran'</script>"
    "<svg onload=\"document.title='it ran'\"></svg>\u202e" + "w" * 400
)
PROBE = """<script>
const wide = [...document.querySelectorAll("body *")].filter(
  (each) => each.getBoundingClientRect().right > document.documentElement.clientWidth + 1
);
document.body.dataset.wide = wide.map((each) => each.tagName).join(" ");
document.body.dataset.title = document.title;
</script>"""


def browse(page: Path, *options: str) -> str:
    """Let the browser open a page, and return what it prints."""
    assert BROWSER is not None
    done = subprocess.run(
        [
            BROWSER,
            *("--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"),
            f"--user-data-dir={page.parent / 'browser'}",
            *options,
            page.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return done.stdout


def pages(text: str, paper: str, folder: Path) -> int:
    """Return on how many pages of `paper` a sheet prints."""
    if PDFINFO is None:
        pytest.skip("there is no pdfinfo")
    page, pdf = folder / f"{paper}.html", folder / f"{paper}.pdf"
    sized = text.replace("@page {", f"@page {{ size: {paper};", 1)
    assert sized != text
    page.write_text(sized, encoding="utf-8")
    browse(page, "--no-pdf-header-footer", f"--print-to-pdf={pdf}")
    told = subprocess.run([PDFINFO, pdf], capture_output=True, text=True, timeout=60, check=True)
    [count] = re.findall(r"^Pages: +(\d+)$", told.stdout, flags=re.MULTILINE)
    size = {"A4": "594.96 x 841.92", "letter": "612 x 792"}[paper]
    assert size in told.stdout
    return int(count)


@pytest.fixture(scope="module", params=CLOSED)
def day(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the sheet that a job of the demo leaves in its folder, for each in turn."""
    folder = tmp_path_factory.mktemp(request.param)
    played = play_day(DEMO / f"{request.param}.yaml", folder / "shop")
    assert played.stop is None
    return (played.folder / SHEET).read_text(encoding="utf-8")


def test_every_job_of_the_demo_that_is_closed_is_printed_here() -> None:
    assert {path.stem for path in DEMO.glob("*.yaml")} == {*CLOSED, "half-way"}


@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_a_job_of_the_demo_prints_on_one_or_two_sheets(
    day: str, paper: str, tmp_path: Path
) -> None:
    assert pages(day, paper, tmp_path) <= 2


@pytest.mark.parametrize("paper", ["A4", "letter"])
def test_a_job_with_everything_wrong_still_prints_on_two_sheets(paper: str, tmp_path: Path) -> None:
    assert pages(html(worst_job()), paper, tmp_path) <= 2


def test_no_text_of_the_sheet_is_smaller_than_eight_points() -> None:
    sizes = re.findall(r"(?:font-size|font): (?:bold )?([0-9.]+)pt", html(worst_job()))
    assert sizes
    assert min(map(float, sizes)) >= 8


def hostile() -> str:
    """Return the sheet of a job with a hostile note, shop and warranty."""
    bay = Bay().walk("join")
    bay.do(Note(note=HOSTILE_NOTE))
    return html(bay, shop=HOSTILE_NOTE, warranty=(HOSTILE_NOTE,))


def probed(text: str, folder: Path) -> dict[str, str]:
    """Return what a script of our own finds in a page that does not forbid scripts."""
    bare = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    assert bare != text
    page = folder / "probed.html"
    page.write_text(bare.replace("</body>", f"{PROBE}</body>"), encoding="utf-8")
    dom = browse(page, "--dump-dom", "--window-size=800,1100")
    return dict(re.findall(r'data-(wide|title)="([^"]*)"', dom))


def test_a_hostile_note_runs_nothing_even_where_scripts_may_run(tmp_path: Path) -> None:
    found = probed(hostile(), tmp_path)
    assert found["title"].startswith("Hand-over sheet: ")


def test_a_hostile_note_and_very_long_words_stay_on_the_page(tmp_path: Path) -> None:
    assert probed(hostile(), tmp_path)["wide"] == ""


def test_the_probe_finds_what_runs_and_what_is_too_wide(tmp_path: Path) -> None:
    """The two tests above are no good unless it does."""
    text = hostile().replace(
        "</main>", "<script>document.title='it ran'</script><p style='width: 2000px'>x</p></main>"
    )
    found = probed(text, tmp_path)
    assert found["title"] == "it ran"
    assert "P" in found["wide"].split()


def test_the_page_as_it_is_runs_no_script_whoever_put_one_in(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(hostile().replace("</body>", f"{PROBE}</body>"), encoding="utf-8")
    dom = browse(page, "--dump-dom")
    assert 'data-title="' not in dom
    assert "Hand-over sheet" in dom


def test_a_picture_is_shown_though_nothing_is_fetched(tmp_path: Path) -> None:
    """A data URI passes the page's own policy: the browser draws it at its size."""
    small = make_small((DEMO / "pictures" / "marks.png").read_bytes())
    assert isinstance(small, Small)
    bay = Bay().walk("joins-hold")
    text = html(bay, pictures={photo.data.file: small for photo in bay.state.photos})
    policy = "style-src 'unsafe-inline';"
    allowed = text.replace(policy, f"{policy} script-src 'unsafe-inline';")
    assert allowed != text
    look = "onload = () => { document.body.dataset.title = document.images[0].naturalWidth; };"
    page = tmp_path / "picture.html"
    page.write_text(allowed.replace("</body>", f"<script>{look}</script></body>"), encoding="utf-8")
    assert 'data-title="160"' in browse(page, "--dump-dom")
