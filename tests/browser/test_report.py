"""The report of a case in a browser."""
import json
import math
import pathlib
import re
import tempfile
import unittest

from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from browser import SOURCE, Browser, PageChecks, program

HOSTILE = ['<script>document.title="taken"</script>', '"><img src=x onerror=alert(1)>', "</script><b>bold</b>",
           "&lt;i&gt;", "<!-- -->"]


def setUpModule():
    global folder, page, relay_page, hostile_page, browser
    folder = tempfile.TemporaryDirectory()
    root = pathlib.Path(folder.name)
    page = root / "report.html"
    program("report", SOURCE / "examples/shop-cooler.xml", "-o", page)
    relay_page = root / "relay.html"
    program("report", SOURCE / "examples/circuits/csir-potential-relay.xml", "-o", relay_page)
    hostile_page = root / "hostile.html"
    escaped = [text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;") for text in HOSTILE]
    case = (SOURCE / "examples/circuits/csir-potential-relay.xml").read_text(encoding="utf-8")
    case = case.replace('name="ice-cream chest in the shop"', f'name="{" ".join(escaped)}"')
    case = case.replace('file="../dairy-stock.xml"', 'file="stock.xml"')
    stock = (SOURCE / "examples/dairy-stock.xml").read_text(encoding="utf-8")
    stock = re.sub(r'description="[^"]*"', f'description="{escaped[0]} {escaped[1]}"', stock)
    (root / "stock.xml").write_text(stock, encoding="utf-8")
    (root / "hostile.xml").write_text(case, encoding="utf-8")
    program("report", root / "hostile.xml", "-o", hostile_page)
    browser = Browser()


def tearDownModule():
    browser.close()
    folder.cleanup()


class Report(PageChecks, unittest.TestCase):
    """A report of which everything passes."""

    def setUp(self):
        self.browser, self.page = browser, page

    def traces(self):
        return json.loads(self.browser.value("return document.getElementById('traces').textContent"))

    def test_says_first_what_check_says(self):
        verdict = json.loads(program("check", SOURCE / "examples/shop-cooler.xml", "--format", "json"))
        self.browser.show(self.page)
        box = self.browser.driver.find_element(By.CSS_SELECTOR, ".verdict").text
        self.assertIn(verdict["verdict"].upper(), box)
        shown = self.browser.value("return Object.fromEntries([...document.querySelectorAll('.check')]"
                                   ".map((c) => [c.dataset.check, c.children[1].textContent]))")
        words = {"pass": "passes", "fail": "FAILS", "undecided": "undecided"}
        self.assertEqual(shown, {each["id"]: words[each["verdict"]] for each in verdict["findings"]})

    def test_has_the_figures_of_a_start(self):
        self.browser.show(self.page)
        self.assertEqual(self.browser.value("return [...document.querySelectorAll('svg.figure')].map((f) => f.dataset.figure)"),
                         2 * ["start-volts", "start-amps", "start-speed", "opening-volts", "opening-amps"] +
                         ["torque-over-speed", "volts-over-speed", "amps-over-speed"])

    def test_bars_are_as_long_as_value_over_limit(self):
        findings = json.loads(program("check", SOURCE / "examples/shop-cooler.xml", "--format", "json"))["findings"]
        self.browser.show(self.page)
        bars = self.browser.value(
            "return [...document.querySelectorAll('.check')].filter((c) => c.querySelector('.bar')).map((c) => {"
            "const bar = c.querySelector('.bar'), limit = Number(bar.querySelector('path.limit').getAttribute('d').match(/M([0-9.]+)/)[1]);"
            "return [c.dataset.check, Number(bar.querySelector('rect').getAttribute('width')) / limit]; })")
        self.assertGreater(len(bars), 15)
        of = {each["id"]: each for each in findings}
        for check, share in bars:
            wanted = of[check]["value"] / of[check]["limit"]
            if wanted < 1.4:  # longer ones end with the picture
                self.assertAlmostEqual(share, wanted, delta=0.012, msg=check)

    def test_slider_reads_out_what_was_simulated(self):
        self.browser.show(self.page)
        trace = self.traces()[0]
        slider = self.browser.driver.find_element(By.CSS_SELECTOR, ".chart .instant")
        slider.send_keys(Keys.HOME)
        for _ in range(40):
            slider.send_keys(Keys.ARROW_RIGHT)
        text = self.browser.driver.find_element(By.CSS_SELECTOR, ".chart .read-out").text
        self.assertIn(f"at {trace['time_s'][40]} s", text)
        volts = next(each for each in trace["signals"] if each["name"] == "run_winding_v")["values"][40]
        self.assertIn(f"{volts:g} V", text)

    def test_buttons_zoom_by_keyboard(self):
        self.browser.show(self.page)
        trace = self.traces()[0]
        span = "return [...document.querySelectorAll('.chart')][0].querySelectorAll('.panel').length"
        self.assertEqual(self.browser.value(span), 4)
        ticks = ("return [...[...document.querySelectorAll('.chart .panel')][1].querySelectorAll('.dygraph-axis-label-x')]"
                 ".map((l) => parseFloat(l.textContent)).filter((v) => !isNaN(v))")
        whole = self.browser.value(ticks)
        self.assertGreater(max(whole), 0.7 * trace["time_s"][-1])
        for button in self.browser.driver.find_elements(By.CSS_SELECTOR, ".chart button"):
            if button.text == "Around the opening":
                button.send_keys(Keys.ENTER)
                break
        around = self.browser.value(ticks)
        opened = trace["start_contact_opened_s"]
        self.assertLess(max(around) - min(around), 12.5 / trace["frequency_hz"])
        self.assertTrue(min(around) < opened < max(around))

    def test_waves_obey_kirchhoff(self):
        self.browser.show(self.page)
        for trace in self.traces():
            of = {each["name"]: each["values"] for each in trace["signals"]}
            contact = of["start_contact"]
            start, capacitor, run = of["start_winding_v"], of["start_capacitor_v"], of["run_winding_v"]
            # With the contact made, start capacitor and start winding in series lie across the run winding, up to the
            # drop of relay coil and contact (volts, not tens of volts).
            off = [abs(abs(run[i] - start[i]) - abs(capacitor[i])) for i in range(len(contact)) if contact[i] > 0.5]
            self.assertLess(sorted(off)[int(0.95 * len(off))], 12)

    def test_can_be_read_without_scripts(self):
        plain = Browser(scripts=False)
        try:
            plain.show(self.page)
            body = plain.driver.find_element(By.TAG_NAME, "body").text
            for words in ("These parts, wired right, suit this compressor.", "Lock out and tag", "Wires: tick each", "Save this netlist",
                          "The motor"):
                self.assertIn(words, body)
            self.assertTrue(plain.driver.find_element(By.CSS_SELECTOR, "svg.figure").is_displayed())
            self.assertFalse(plain.driver.find_element(By.CSS_SELECTOR, ".chart").is_displayed())
        finally:
            plain.close()

    def test_prints_whole(self):
        self.browser.show(self.page)
        text = self.browser.pdf_text()
        for words in ("These parts, wired right, suit this compressor.", "Lock out and tag", "Volts through the start", ".endc",
                      "Wires: tick each"):
            self.assertIn(words, text)
        self.assertNotIn("Zoom in", text)

    def test_netlist_is_the_program_s(self):
        self.browser.show(self.page)
        text = self.browser.driver.find_element(By.CSS_SELECTOR, ".netlist").get_attribute("textContent")
        link = self.browser.driver.find_element(By.CSS_SELECTOR, "a[download]").get_attribute("href")
        saved = self.browser.value("return decodeURIComponent(arguments[0].split(',').slice(1).join(','))", link)
        self.assertEqual(saved, text)
        seconds = float(re.search(r"^\.tran \S+ (\S+)", text, re.M).group(1))
        # The run of the page ends where its start is over.
        wanted = program("netlist", SOURCE / "examples/shop-cooler.xml", "--seconds", max(0.5, round(seconds, 3)))
        parameters = [line for line in wanted.splitlines() if line.startswith(".param")]
        self.assertGreater(len(parameters), 20)
        for line in parameters:
            self.assertIn(line, text)

    def test_keyboard_reaches_all_that_can_be_used(self):
        self.browser.show(self.page)
        count = self.browser.value("return [...document.querySelectorAll('a[href],button,input,select,summary,[tabindex=\"0\"]')]"
                                   ".filter((e) => e.getClientRects().length && !e.disabled).length")
        seen = set()
        body = self.browser.driver.find_element(By.TAG_NAME, "body")
        body.click()
        for _ in range(count + 5):
            self.browser.driver.switch_to.active_element.send_keys(Keys.TAB)
            seen.add(self.browser.value("const all = [...document.querySelectorAll('*')];"
                                        "return all.indexOf(document.activeElement)"))
        self.assertGreaterEqual(len(seen), count)


class RelayReport(PageChecks, unittest.TestCase):
    """A report with a potential relay."""

    def setUp(self):
        self.browser, self.page = browser, relay_page

    def test_draws_the_relay_s_bands_where_its_label_has_them(self):
        self.browser.show(self.page)
        label = self.browser.driver.find_element(By.ID, "parts").text
        low, high = map(float, re.search(r"picks up at ([0-9.]+) to ([0-9.]+) V", label).groups())
        # The axis is linear: two ticks say where a value is.
        ticks = self.browser.value(
            "const figure = document.querySelector('svg[data-figure=\"volts-over-speed\"]');"
            "return [...figure.querySelectorAll('text[text-anchor=end]')].filter((t) => !isNaN(Number(t.textContent)))"
            ".map((t) => [Number(t.textContent), Number(t.getAttribute('y'))])")
        (v0, y0), (v1, y1) = ticks[0], ticks[-1]
        per_volt = (y1 - y0) / (v1 - v0)
        bands = self.browser.value(
            "return [...document.querySelectorAll('svg[data-figure=\"volts-over-speed\"] rect[fill-opacity]')]"
            ".map((r) => Number(r.getAttribute('height')))")
        wanted = abs(per_volt) * (high - low)
        self.assertTrue(any(math.isclose(wanted, band, abs_tol=0.3) for band in bands), (wanted, bands))


class HostileReport(PageChecks, unittest.TestCase):
    """A report whose names try to be markup."""

    def setUp(self):
        self.browser, self.page = browser, hostile_page

    def test_shows_text_as_text(self):
        self.browser.show(self.page)
        heading = self.browser.driver.find_element(By.TAG_NAME, "h1").text
        for text in HOSTILE:
            self.assertIn(text, heading)
        self.assertIn(HOSTILE[0], self.browser.driver.title)
        self.assertEqual(self.browser.value("return document.querySelectorAll('b, i, img').length"), 0)
        self.assertIn(HOSTILE[0], self.browser.driver.find_element(By.ID, "parts").text)


if __name__ == "__main__":
    unittest.main()
