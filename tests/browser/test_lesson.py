"""The lessons in a browser: the slider shows what was simulated."""
import json
import math
import pathlib
import tempfile
import unittest

from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from browser import Browser, PageChecks, program

LESSONS = ("phase-shift", "two-fields", "relay-opening", "capacitor-size", "run-capacitor", "swapped-wire")


def setUpModule():
    global folder, pages, browser
    folder = tempfile.TemporaryDirectory()
    pages = {}
    for name in LESSONS:
        pages[name] = pathlib.Path(folder.name) / f"{name}.html"
        program("lesson", name, "-o", pages[name])
    browser = Browser()


def tearDownModule():
    browser.close()
    folder.cleanup()


class Lesson(PageChecks):
    """What every lesson must do."""

    name = ""

    def setUp(self):
        self.browser, self.page = browser, pages[self.name]
        self.browser.show(self.page)

    def data(self):
        return json.loads(self.browser.value("return document.getElementById('lesson-data').textContent"))

    def slider(self):
        return self.browser.driver.find_element(By.ID, "slider")

    def shown(self):
        return self.browser.value("return [...document.querySelectorAll('.position')].filter((p) => p.getClientRects().length)"
                                  ".map((p) => Number(p.dataset.position))")

    def test_data_are_what_the_program_prints(self):
        self.assertEqual(self.data(), json.loads(program("lesson", self.name, "--format", "json")))

    def test_begins_at_the_standard_position(self):
        data = self.data()
        self.assertEqual(self.shown(), [data["standard_position"]])
        self.assertIn(data["positions"][data["standard_position"]]["label"],
                      self.browser.driver.find_element(By.ID, "slider-value").text)

    def test_slider_shows_each_position_by_keyboard(self):
        data = self.data()
        self.slider().send_keys(Keys.HOME)
        for number, position in enumerate(data["positions"]):
            self.assertEqual(self.shown(), [number])
            self.assertEqual(self.slider().get_attribute("aria-valuetext"), position["label"])
            text = self.browser.driver.find_element(By.CSS_SELECTOR, f".position[data-position='{number}']").text
            self.assertIn(position["says"], text)
            self.slider().send_keys(Keys.ARROW_RIGHT)
        self.assertEqual(self.shown(), [len(data["positions"]) - 1])

    def test_slider_moves_the_arrows_to_what_was_simulated(self):
        data = self.data()
        self.slider().send_keys(Keys.HOME)
        compared = 0
        for number, position in enumerate(data["positions"]):
            arrows = self.browser.value(
                "return [...document.querySelectorAll(`.position[data-position='${arguments[0]}'] line[data-phasor]`)]"
                ".filter((l) => l.getClientRects().length).map((l) => [l.dataset.phasor, l.dataset.scale,"
                "...['x1', 'y1', 'x2', 'y2'].map((k) => l.getAttribute(k))])", number)
            wanted = {each["name"]: each for each in position["phasors"]}
            for name, *numbers in arrows:
                scale, x1, y1, x2, y2 = map(float, numbers)
                across, up = x2 - x1, y1 - y2
                length = math.hypot(across, up) / scale
                self.assertAlmostEqual(length, wanted[name]["rms"], delta=0.2 / scale, msg=name)
                if math.hypot(across, up) > 3:
                    turn = math.degrees(math.atan2(up, across)) - wanted[name]["angle_deg"]
                    self.assertLess(abs((turn + 180) % 360 - 180), math.degrees(0.2 / math.hypot(across, up)), name)
                    compared += 1
            self.slider().send_keys(Keys.ARROW_RIGHT)
        if data["positions"][0]["phasors"]:
            self.assertGreater(compared, len(data["positions"]))

    def test_numbers_of_a_position_are_those_of_its_row(self):
        data = self.data()
        rows = self.browser.driver.find_elements(By.CSS_SELECTOR, ".positions-table tbody tr")
        self.assertEqual(len(rows), len(data["positions"]))

    def test_answer_opens_by_keyboard_and_is_printed(self):
        details = self.browser.driver.find_element(By.CSS_SELECTOR, "details.answer")
        self.assertIsNone(details.get_attribute("open"))
        details.find_element(By.TAG_NAME, "summary").send_keys(Keys.ENTER)
        self.assertIsNotNone(details.get_attribute("open"))
        answer = self.browser.value("return document.querySelector('details.answer').innerText").split("\n")[-1].strip()
        self.browser.show(self.page)
        printed = " ".join(self.browser.pdf_text().split())
        self.assertIn(" ".join(answer.split())[:40], printed)
        self.assertIn("Lock out and tag", printed)

    def test_hands_out_netlists_that_are_whole(self):
        saved = self.browser.value("return [...document.querySelectorAll('a[download]')].map((a) => [a.download,"
                                   "decodeURIComponent(a.getAttribute('href').split(',').slice(1).join(','))])")
        self.assertGreater(len(saved), 0)
        for name, netlist in saved:
            self.assertTrue(name.endswith(".cir"))
            self.assertTrue(netlist.rstrip().endswith(".end"), name)
            self.assertIn(".endc", netlist, name)

    def test_formula_is_mathml_and_has_a_textbook(self):
        self.assertGreater(self.browser.value("return document.querySelectorAll('math').length"), 0)
        body = self.browser.driver.find_element(By.TAG_NAME, "body").text
        self.assertTrue(any(name in body for name in ("Fitzgerald", "Chapman", "Veinott", "Krause")))

    def test_is_whole_without_scripts(self):
        plain = Browser(scripts=False)
        try:
            plain.show(self.page)
            positions = plain.driver.find_elements(By.CSS_SELECTOR, ".position")
            self.assertEqual(sum(each.is_displayed() for each in positions), 1)
            self.assertFalse(plain.driver.find_element(By.ID, "slider").is_displayed())
            rows = plain.driver.find_elements(By.CSS_SELECTOR, ".positions-table tbody tr")
            self.assertEqual(sum(each.is_displayed() for each in rows), len(positions))
        finally:
            plain.close()

    def test_turn_turns_the_arrows_and_leaves_their_numbers(self):
        if not self.browser.driver.find_elements(By.ID, "turn"):
            return
        state = ("const at = [...document.querySelectorAll('.position')].find((p) => p.getClientRects().length);"
                 "return [[...at.querySelectorAll('.turning, .turning-forward')].map((g) => g.getAttribute('transform')),"
                 "[...at.querySelectorAll('line[data-phasor]')].map((l) => l.getAttribute('x2'))]")
        before = self.browser.value(state)
        button = self.browser.driver.find_element(By.ID, "turn")
        button.send_keys(Keys.ENTER)
        self.browser.driver.implicitly_wait(0)
        self.browser.driver.execute_async_script("const done = arguments[0]; setTimeout(done, 400)")
        button.send_keys(Keys.ENTER)
        after = self.browser.value(state)
        self.assertNotEqual(before[0], after[0])
        self.assertEqual(before[1], after[1])
        self.browser.driver.execute_async_script("const done = arguments[0]; setTimeout(done, 200)")
        self.assertEqual(self.browser.value(state), after)


for _name in LESSONS:
    _class = type("Lesson_" + _name.replace("-", "_"), (Lesson, unittest.TestCase), {"name": _name})
    globals()[_class.__name__] = _class
del _class

if __name__ == "__main__":
    unittest.main()
