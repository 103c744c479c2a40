"""Pages of the program in a headless Chromium: what it loads, says, names, and how it looks.

Uses Debian's python3-selenium, chromium and chromium-driver; a page of pages comes from the binary named by
SPLITSTART_BINARY.
"""
import json
import os
import pathlib
import subprocess
import tempfile

from selenium import webdriver
from selenium.webdriver.chrome.service import Service

BINARY = os.environ["SPLITSTART_BINARY"]
SOURCE = pathlib.Path(os.environ["SPLITSTART_SOURCE_DIR"])
MOST_BYTES = 1_500_000
PHONE = (390, 844)
DESKTOP = (1280, 900)

# WCAG 2.2, success criterion 1.4.3: relative luminance and contrast as defined there; 4.5 for ordinary text.
CONTRASTS = """
const luminance = (c) => { const f = c.map((v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
  return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2]; };
const numbers = (text) => (text.match(/[0-9.]+/g) || []).map(Number);
const found = [];
for (const node of document.querySelectorAll("body *")) {
  const own = [...node.childNodes].filter((n) => n.nodeType === 3 && n.textContent.trim()).map((n) => n.textContent.trim()).join(" ");
  if (!own || !node.getClientRects().length || ["SCRIPT", "STYLE", "TITLE", "DESC"].includes(node.tagName.toUpperCase())) continue;
  const style = getComputedStyle(node), ink = numbers(node instanceof SVGElement ? style.fill : style.color);
  let paper = [255, 255, 255];
  for (let at = node; at; at = at.parentElement) {
    const back = numbers(getComputedStyle(at).backgroundColor);
    if (back.length === 3 || back[3] === 1) { paper = back.slice(0, 3); break; }
  }
  const a = luminance(ink.slice(0, 3)), b = luminance(paper);
  found.push([(Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), own.slice(0, 60)]);
}
return found;
"""


def program(*arguments, allowed=(0, 1)):
    """Runs the program and gives what it printed."""
    done = subprocess.run([BINARY, *map(str, arguments)], capture_output=True, text=True, check=False,
                          env={**os.environ, "SOURCE_DATE_EPOCH": "1780000000"})
    if done.returncode not in allowed:
        raise AssertionError(f"{arguments}: status {done.returncode}: {done.stderr}")
    return done.stdout


class Browser:
    """One Chromium; a page that is shown has to load without a message and without asking anybody."""

    def __init__(self, scripts=True, size=DESKTOP):
        options = webdriver.ChromeOptions()
        options.binary_location = "/usr/bin/chromium"
        for flag in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage",
                     "--disable-background-networking", "--force-color-profile=srgb"):
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        if not scripts:
            options.add_experimental_option("prefs", {"profile.managed_default_content_settings.javascript": 2})
        self.driver = webdriver.Chrome(service=Service("/usr/bin/chromedriver"), options=options)
        self.resize(size)

    def close(self):
        self.driver.quit()

    def resize(self, size):
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride",
                                    {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": False})

    def show(self, page):
        self.driver.get_log("browser")
        self.driver.get_log("performance")
        self.driver.get(pathlib.Path(page).resolve().as_uri())

    def messages(self):
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def requests(self):
        """Addresses asked for since the page was shown."""
        asked = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                asked.append(message["params"]["request"]["url"])
        return asked

    def accessible(self):
        """(role, name) of all that the accessibility tree has."""
        nodes = self.driver.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
        return [(node.get("role", {}).get("value", ""), node.get("name", {}).get("value", ""))
                for node in nodes if not node.get("ignored")]

    def contrasts(self):
        return self.driver.execute_script(CONTRASTS)

    def pdf_text(self):
        """The text of the page as it is printed."""
        import base64
        data = self.driver.execute_cdp_cmd("Page.printToPDF", {"printBackground": False})["data"]
        with tempfile.TemporaryDirectory() as folder:
            path = pathlib.Path(folder) / "page.pdf"
            path.write_bytes(base64.b64decode(data))
            return subprocess.run(["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True,
                                  check=True).stdout

    def value(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)


class PageChecks:
    """What every page must be; mixed into test cases that have `browser` and `page`."""

    NAMED = {"button", "link", "slider", "checkbox", "image", "combobox", "textbox", "radio", "region"}

    def test_loads_without_messages_and_asks_nobody(self):
        self.browser.show(self.page)
        self.assertEqual(self.browser.messages(), [])
        elsewhere = [url for url in self.browser.requests()
                     if not url.startswith("data:") and url.split("#")[0] != self.page.resolve().as_uri()]
        self.assertEqual(elsewhere, [])

    def test_is_small_enough(self):
        self.assertLess(self.page.stat().st_size, MOST_BYTES)

    def test_names_all_that_can_be_used_or_seen(self):
        self.browser.show(self.page)
        nameless = [node for node in self.browser.accessible() if node[0] in self.NAMED and not node[1].strip()]
        self.assertEqual(nameless, [])
        self.assertEqual(self.browser.value("return document.documentElement.lang"), "en")
        self.assertEqual(self.browser.value("return document.querySelectorAll('h1').length"), 1)

    def test_headings_leave_no_level_out(self):
        self.browser.show(self.page)
        levels = self.browser.value("return [...document.querySelectorAll('h1,h2,h3,h4,h5')].filter((h) => h.getClientRects().length)"
                                    ".map((h) => Number(h.tagName[1]))")
        for before, after in zip(levels, levels[1:]):
            self.assertLessEqual(after, before + 1)

    def test_contrast_is_enough(self):
        self.browser.show(self.page)
        contrasts = self.browser.contrasts()
        self.assertGreater(len(contrasts), 50)
        self.assertEqual([each for each in contrasts if each[0] < 4.5], [])

    def test_fits_a_phone_and_a_desk(self):
        for size in (PHONE, DESKTOP):
            self.browser.resize(size)
            self.browser.show(self.page)
            self.assertLessEqual(self.browser.value("return document.documentElement.scrollWidth"), size[0])
        self.browser.resize(DESKTOP)

    def test_figures_are_told_apart_in_black_and_white(self):
        self.browser.show(self.page)
        figures = self.browser.value(
            "return [...document.querySelectorAll('svg.figure')].map((f) => [...f.querySelectorAll('path[data-curve]')]"
            ".map((p) => [p.getAttribute('stroke-dasharray'), p.getAttribute('stroke-width')].join('/')))")
        for curves in figures:
            self.assertEqual(len(curves), len(set(curves)))

    def test_ids_are_there_once(self):
        self.browser.show(self.page)
        ids = self.browser.value("return [...document.querySelectorAll('[id]')].map((e) => e.id)")
        self.assertEqual(len(ids), len(set(ids)))
        missing = self.browser.value("return [...document.querySelectorAll('a[href^=\"#\"]')]"
                                     ".filter((a) => !document.getElementById(a.getAttribute('href').slice(1))).length")
        self.assertEqual(missing, 0)
