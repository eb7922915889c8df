#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/pages/browser.py -- looks at pages with a browser, by way of its
# WebDriver (W3C Recommendation "WebDriver", 2018), with Python's own library.
#
#   browser.py check [--numbered] [--print N] FILE.html...
#               what is wrong with each, a line each; the first N (all) are
#               printed too; --numbered: with a number on every sheet
#   browser.py shot FILE.html WIDTH OUT.png
#   browser.py pdf FILE.html letter|a4 OUT.pdf
#   browser.py eval FILE.html WIDTH SCRIPT
import base64
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request

PAPERS = {"letter": (21.59, 27.94), "a4": (21.0, 29.7)}  # cm
# A phone, a desk.
WIDTHS = (390, 1280)


def browsers():
    """The browser and its driver, or None."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    driver = shutil.which("chromedriver")
    return (browser, driver) if browser and driver else None


class Browser:
    def __init__(self):
        found = browsers()
        if not found:
            raise SystemExit("no chromium, or no chromedriver")
        self.folder = tempfile.mkdtemp(prefix="flushcalc-pages.")
        # The driver tells the port that it was given.
        self.log = open(os.path.join(self.folder, "log"), "w+")
        self.driver = subprocess.Popen([found[1], "--port=0"],
                                       stdout=self.log,
                                       stderr=subprocess.STDOUT)
        try:
            self.port = self._port()
            self.session = self._begin(found[0])
        except BaseException:
            self.close()
            raise

    def _port(self):
        for _ in range(300):
            with open(self.log.name) as log:
                found = re.search(r"on port ([1-9][0-9]*)\b", log.read())
            if found:
                return int(found.group(1))
            time.sleep(0.1)
        raise SystemExit("chromedriver did not start")

    def _begin(self, browser):
        self.session = None
        options = {
            "binary": browser,
            "args": ["--headless=new", "--no-sandbox", "--disable-gpu",
                     "--hide-scrollbars", "--force-device-scale-factor=1",
                     "--user-data-dir=" + os.path.join(self.folder, "user")],
        }
        always = {"browserName": "chrome", "goog:chromeOptions": options,
                  "goog:loggingPrefs": {"browser": "ALL"}}
        made = self._call("POST", "/session",
                          {"capabilities": {"alwaysMatch": always}})
        session = made["sessionId"]
        # ms: a machine may be busy
        self._call("POST", "/session/%s/timeouts" % session,
                   {"script": 240000, "pageLoad": 240000})
        return session

    def _call(self, method, path, body=None):
        data = None if body is None else json.dumps(body).encode()
        if method == "POST" and data is None:
            data = b"{}"
        request = urllib.request.Request(
            "http://127.0.0.1:%d%s" % (self.port, path), data, method=method,
            headers={"Content-Type": "application/json"})
        # whatever proxy there is, this is the same machine
        direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        try:
            with direct.open(request, timeout=300) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as refusal:
            said = json.load(refusal)["value"]["message"]
            raise SystemExit("%s: %s" % (path, said.split("\n")[0]))

    def call(self, method, path, body=None):
        return self._call(method, "/session/%s%s" % (self.session, path), body)

    def devtools(self, command, **parameters):
        return self.call("POST", "/goog/cdp/execute",
                         {"cmd": command, "params": parameters})

    def resize(self, width, height=900):
        self.devtools("Emulation.setDeviceMetricsOverride", width=width,
                      height=height, deviceScaleFactor=1, mobile=width < 600)

    def open(self, path, width, height=900):
        self.resize(width, height)
        self.call("POST", "/url",
                  {"url": "file://" + os.path.abspath(path)})

    def media(self, kind):
        self.devtools("Emulation.setEmulatedMedia", media=kind)

    def evaluate(self, script):
        return self.call("POST", "/execute/sync", {"script": script,
                                                   "args": []})

    def messages(self):
        return [m["message"] for m in
                self.call("POST", "/se/log", {"type": "browser"})]

    def shot(self, path):
        size = self.devtools("Page.getLayoutMetrics")["cssContentSize"]
        picture = self.devtools(
            "Page.captureScreenshot", captureBeyondViewport=True,
            clip={"x": 0, "y": 0, "width": size["width"],
                  "height": size["height"], "scale": 1})
        with open(path, "wb") as out:
            out.write(base64.b64decode(picture["data"]))

    def pdf(self, path, paper):
        width, height = PAPERS[paper]
        text = self.call("POST", "/print", {
            "page": {"width": width, "height": height}, "background": True})
        with open(path, "wb") as out:
            out.write(base64.b64decode(text))

    def close(self):
        try:
            if getattr(self, "session", None):
                self.call("DELETE", "")
        except OSError:
            pass
        self.driver.terminate()
        self.driver.wait()
        self.log.close()
        shutil.rmtree(self.folder, ignore_errors=True)


# Boxes of each drawing that lie over one another, or out of it; labels in any
# font that are wider than they were reckoned; characters without a glyph, as
# wide as that of a character that no font has.
MEASURE = r"""
const faults = [];
const name = e => (e.firstChild && e.firstChild.nodeValue || e.outerHTML)
    .slice(0, 60);
const inside = 0.75; // px: a box has room about its glyphs
for (const svg of document.querySelectorAll('svg')) {
    const outer = svg.getBoundingClientRect();
    const boxes = [];
    for (const e of svg.querySelectorAll('.label, .symbol')) {
        const b = e.getBoundingClientRect();
        if (b.width === 0 && b.height === 0)
            continue;
        boxes.push({e: e, l: b.left + inside, r: b.right - inside,
                    t: b.top + inside, b: b.bottom - inside});
        if (b.left < outer.left - 1 || b.right > outer.right + 1
            || b.top < outer.top - 1 || b.bottom > outer.bottom + 1)
            faults.push('outside: ' + name(e));
    }
    boxes.sort((a, b) => a.l - b.l);
    for (let i = 0; i < boxes.length && faults.length < 20; i++)
        for (let k = i + 1; k < boxes.length && boxes[k].l < boxes[i].r; k++)
            if (boxes[k].t < boxes[i].b && boxes[i].t < boxes[k].b)
                faults.push('overlap: ' + name(boxes[i].e) + ' / '
                            + name(boxes[k].e));
}
return faults.slice(0, 20);
"""
WIDE = r"""
const body = document.scrollingElement;
return body.scrollWidth > window.innerWidth + 1
    ? ['wider than the window: ' + body.scrollWidth + ' px'] : [];
"""
# Texts that are wider than their cells; cells and blocks that lie over the next
# one.
CELLS = r"""
const faults = [];
const said = e => e.textContent.trim().slice(0, 40);
const range = document.createRange();
for (const row of document.querySelectorAll('tr')) {
    let edge = -Infinity, bottom = -Infinity;
    for (const cell of row.cells) {
        const box = cell.getBoundingClientRect();
        range.selectNodeContents(cell);
        const text = range.getBoundingClientRect();
        if (text.width > 0 && (text.left < box.left - 1
                               || text.right > box.right + 1))
            faults.push('wider than its cell: ' + said(cell));
        if (box.width === 0)
            continue; // it is not shown
        // the last cell of a row may stand below the others
        if (box.left < edge - 1 && box.top < bottom - 1)
            faults.push('cell over cell: ' + said(cell));
        bottom = Math.max(bottom, box.bottom);
        edge = box.right;
    }
}
for (const e of document.querySelectorAll(
        'main > *, section > *, dl > *, ul > *, tbody > *, figure > *')) {
    const next = e.nextElementSibling;
    const box = e.getBoundingClientRect();
    const other = next && next.getBoundingClientRect();
    if (other && other.height > 0 && box.height > 0
        && other.top < box.bottom - 1 && other.left < box.right - 1
        && box.left < other.right - 1)
        faults.push('block over block: ' + said(e) + ' / ' + said(next));
}
return faults.slice(0, 20);
"""
# What keeps rows whole on paper, and heads on every sheet.
RULES = r"""
const faults = [];
for (const row of document.querySelectorAll('tr'))
    if (getComputedStyle(row).breakInside !== 'avoid') {
        faults.push('a row may be split: ' + row.textContent.slice(0, 40));
        break;
    }
for (const head of document.querySelectorAll('thead'))
    if (getComputedStyle(head).display !== 'table-header-group') {
        faults.push('a head is not repeated: ' + head.textContent.slice(0, 40));
        break;
    }
return faults;
"""
GLYPHS = r"""
const canvas = document.createElement('canvas').getContext('2d',
    {willReadFrequently: true});
canvas.font = '32px sans-serif';
const seen = new Set(document.body.innerText
    + Array.from(document.querySelectorAll('text'), e => e.textContent)
        .join(''));
const picture = c => {
    canvas.clearRect(0, 0, 64, 64);
    canvas.fillText(c, 8, 40);
    return canvas.getImageData(0, 0, 64, 64).data.join();
};
const none = picture('\u{10FFFD}');
return Array.from(seen).filter(c => c.trim() && c !== '\ufffd'
    && picture(c) === none).map(c => 'no glyph: U+'
    + c.codePointAt(0).toString(16));
"""


def pages_of(pdf):
    """How many pages a PDF has, and their texts; None without pdftotext."""
    if not shutil.which("pdftotext"):
        return None
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"],
                          stdout=subprocess.PIPE, check=True).stdout
    return text.decode("utf-8", "replace").split("\f")[:-1]


def faults_on_paper(browser, path, paper, numbered):
    """A page that tells its number has "N of M" on it, or "page N"."""
    pdf = os.path.join(browser.folder, "page.pdf")
    browser.pdf(pdf, paper)
    pages = pages_of(pdf)
    if pages is None:
        return []
    if not pages:
        return ["no page"]
    if not numbered:
        return []
    return ["page %d has no number" % (i + 1) for i, text in enumerate(pages)
            if "%d of %d" % (i + 1, len(pages)) not in " ".join(text.split())
            and "page %d" % (i + 1) not in " ".join(text.lower().split())]


def check(browser, path, numbered, printed):
    """What is wrong with a page, which is printed too where that is asked."""
    browser.open(path, WIDTHS[0])
    faults = browser.evaluate(GLYPHS)
    for width in WIDTHS:
        browser.resize(width)
        for script in (MEASURE, WIDE, CELLS):
            faults += ["at %d px: %s" % (width, fault)
                       for fault in browser.evaluate(script)]
    browser.media("print")
    # what the narrower paper has between margins of 14 mm, 96 px to an inch
    browser.resize(int((PAPERS["a4"][0] - 2.8) / 2.54 * 96))
    for script in (MEASURE, WIDE, CELLS) + (RULES,) * numbered:
        faults += ["on paper: %s" % fault
                   for fault in browser.evaluate(script)]
    browser.media("")
    for paper in PAPERS if printed else ():
        faults += ["%s: %s" % (paper, fault) for fault in
                   faults_on_paper(browser, path, paper, numbered)]
    return faults + ["said: " + message for message in browser.messages()]


def main(arguments):
    if not arguments:
        raise SystemExit("usage: browser.py check|shot|pdf|eval FILE ...")
    command, *rest = arguments
    if command == "found":
        return 0 if browsers() else 1
    browser = Browser()
    wrong = 0
    try:
        if command == "check":
            numbered = rest[:1] == ["--numbered"]
            paths = rest[numbered:]
            first = len(paths)
            if paths[:1] == ["--print"]:
                first, paths = int(paths[1]), paths[2:]
            for i, path in enumerate(paths):
                for fault in check(browser, path, numbered, i < first):
                    print("%s: %s" % (path, fault))
                    wrong = 1
        elif command == "shot":
            browser.open(rest[0], int(rest[1]))
            browser.shot(rest[2])
        elif command == "pdf":
            browser.open(rest[0], 1280)
            browser.pdf(rest[2], rest[1])
        elif command == "eval":
            browser.open(rest[0], int(rest[1]))
            print(json.dumps(browser.evaluate(rest[2])))
    finally:
        browser.close()
    return wrong


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
