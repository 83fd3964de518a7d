"""The guide in a browser: at the width of a phone and of a desk, and by a published set of rules for accessibility.

Chromium is looked for on the path. The rules are those of axe-core (MPL-2.0), whose `axe.min.js` the environment
variable `AXE_CORE` names; `npm install axe-core` brings it.
"""

from __future__ import annotations

import html
import json
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from cavata.cli.main import main
from cavata.resources import folder

pytestmark = pytest.mark.slow

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
AXE = os.environ.get("AXE_CORE", "")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="there is no Chromium on the path")
PHONE, DESK = 390, 1280

_FRAMES = """\
<!DOCTYPE html><title>frames</title><script>
const page = {page};
async function seen(width) {{
  const frame = document.createElement("iframe");
  frame.style = `border:0;width:${{width}}px;height:900px`;
  frame.srcdoc = page;
  const loaded = new Promise(done => frame.onload = done);
  document.documentElement.append(frame);
  await loaded;
  const inner = frame.contentDocument, told = {{
    width: frame.contentWindow.innerWidth, needed: inner.documentElement.scrollWidth,
    drawn: [...inner.images].filter(i => i.naturalWidth > 0).length, images: inner.images.length,
    beyond: [...inner.querySelectorAll("main *")].filter(e => e.getBoundingClientRect().right > width + 0.5).length,
  }};
  {more}
  return told;
}}
(async () => {{
  const told = [];
  for (const width of {widths}) told.push(await seen(width));
  document.documentElement.innerHTML = "<pre id=told></pre>";
  document.getElementById("told").textContent = JSON.stringify(told);
}})();
</script>
"""
_RULES = """
  const script = inner.createElement("script");
  script.textContent = {axe};
  inner.body.append(script);
  const run = await frame.contentWindow.axe.run(inner, {{ resultTypes: ["violations"] }});
  told.violations = run.violations.map(v => [v.id, v.nodes.length, v.nodes[0].html.slice(0, 200)]);
  told.passed = run.passes.length;
"""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> str:
    place = tmp_path_factory.mktemp("browser")
    assert main(["guide", str(folder("examples") / "piano" / "lamplight.cavata"), "--out", str(place)]) == 0
    return (place / "lamplight-guide.html").read_text("utf-8")


def opened(page: str, widths: tuple[int, ...], place: Path, rules: bool = False) -> list[dict[str, Any]]:
    """What the browser says of the page in frames of these widths; a window of its own cannot be so narrow."""

    def literal(text: str) -> str:
        return json.dumps(text).replace("</", "<\\/")

    more = _RULES.format(axe=literal(Path(AXE).read_text("utf-8"))) if rules else ""
    file = place / "frames.html"
    file.write_text(_FRAMES.format(widths=list(widths), page=literal(page), more=more), "utf-8")
    assert CHROMIUM is not None
    run = subprocess.run(
        [CHROMIUM, "--headless=new", "--no-sandbox", "--disable-gpu", f"--user-data-dir={place / 'profile'}",
         "--virtual-time-budget=120000", "--dump-dom", file.as_uri()],
        capture_output=True, text=True, timeout=900, check=False,
    )  # fmt: skip
    found = re.search(r'<pre id="told">(.*?)</pre>', run.stdout, re.DOTALL)
    assert found is not None, run.stdout[:500] + run.stderr[-500:]
    told: list[dict[str, Any]] = json.loads(html.unescape(found[1]))
    return told


@needs_chromium
def test_page_fits_the_screen_shows_every_picture_and_can_be_read_by_all(page: str, tmp_path: Path) -> None:
    """Source: axe-core, where it is there: all rules that hold for WCAG 2 at levels A and AA, and its best
    practices."""
    rules = Path(AXE).is_file()
    for width, told in zip((PHONE, DESK), opened(page, (PHONE, DESK), tmp_path, rules), strict=True):
        assert told["width"] == width and told["needed"] <= width and told["beyond"] == 0
        assert told["drawn"] == told["images"] > 12
        assert not rules or (told["violations"] == [] and told["passed"] > 20)
