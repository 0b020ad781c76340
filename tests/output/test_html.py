"""The report page: self-contained, closed to strangers' markup, usable with and without its script."""

from __future__ import annotations

import base64
import hashlib
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest

from dxf2turn.output import html
from dxf2turn.output.model import OutputOptions
from tests.output import jobs

BROWSER = shutil.which("chromium")
HOSTILE = "</script><img src=x onerror=alert(1)>{{7*7}}'\".dxf"


@pytest.fixture(scope="module")
def page() -> str:
    return html.render(jobs.job(), OutputOptions())


class Tags(HTMLParser):
    """All tags and attributes of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_nothing_is_fetched(page: str) -> None:
    """No element of the page names an address."""
    for tag, attributes in Tags(page).found:
        assert tag not in ("link", "img", "iframe", "object", "embed", "base", "form")
        assert not {"src", "href", "srcset", "action"} & attributes.keys()


def test_policy_allows_just_the_one_script_and_style(page: str) -> None:
    """The hashes in the policy are those of what stands in the page (Content Security Policy Level 3)."""
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page).group(1)
    for tag, name in (("script", "script-src"), ("style", "style-src")):
        content = re.search(rf"<{tag}>(.*?)</{tag}>", page, re.S).group(1)
        digest = base64.b64encode(hashlib.sha256(content.encode()).digest()).decode()
        assert f"{name} 'sha256-{digest}'" in policy
    assert "default-src 'none'" in policy and "unsafe" not in policy


def test_no_inline_style_or_handler(page: str) -> None:
    """The policy would block them; none is there."""
    for _, attributes in Tags(page).found:
        assert not any(name == "style" or name.startswith("on") for name in attributes)


def test_hostile_name_stays_text() -> None:
    """A file name is neither markup nor a template."""
    page = html.render(jobs.job(source=jobs.drawing(HOSTILE)), OutputOptions())
    tags = [tag for tag, _ in Tags(page).found]

    assert "img" not in tags and tags.count("script") == 1
    assert "{{7*7}}" in page


def test_one_frame_a_step_without_script(page: str) -> None:
    """Every step's picture and words are in the page; the controls are hidden until the script runs."""
    found = Tags(page).found
    frames = [a for tag, a in found if tag == "figure" and a.get("class") == "frame"]
    controls = next(a for _, a in found if a.get("id") == "controls")

    assert len(frames) == len(jobs.STEPS)
    assert "hidden" in controls
    assert "gives the datum Z 0" in page


def test_ids_are_unique(page: str) -> None:
    """Several pictures in one page don't share ids."""
    ids = [attributes["id"] for _, attributes in Tags(page).found if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_an_unplanned_job_has_a_page() -> None:
    """Nothing planned: the page says so instead of failing."""
    from dxf2turn.job import Job

    assert "Removal check: not run" in html.render(Job(jobs.drawing()), OutputOptions())


@pytest.mark.skipif(BROWSER is None, reason="the page is looked at in chromium, where it is installed")
def test_script_shows_one_step_at_a_time(page: str, tmp_path: Path) -> None:
    """In a browser the controls appear and just the first step is shown: policy and script fit each other."""
    file = tmp_path / "report.html"
    file.write_text(page, encoding="utf-8")
    command = [
        BROWSER,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        f"--user-data-dir={tmp_path / 'profile'}",
    ]
    result = subprocess.run(
        [*command, "--dump-dom", file.as_uri()], capture_output=True, text=True, timeout=60, check=True
    )
    found = Tags(result.stdout).found
    controls = next(a for _, a in found if a.get("id") == "controls")

    assert "hidden" not in controls
    assert sum("shown" in (a.get("class") or "").split() for _, a in found) == 1
