"""The HTML review, and the pages of a revamp, in a real Chromium: python3 page_check.py FOLDER-OF-REVIEWS FOLDER-OF-SHEETS"""

import base64
import os
import re
import sys

import check
import pages
from browser import Browser
from check import expect

MILLIMETRE = 72 / 25.4
SHEETS = {"A4": (210 / 25.4, 297 / 25.4), "Letter": (8.5, 11)}

# Text that is too faint against what lies behind it (WCAG 2.1, success criterion 1.4.3: 4.5 to 1).
FAINT = """(() => {
  const light = c => { const [r, g, b] = c.map(v => (v /= 255) <= .03928 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4);
    return .2126 * r + .7152 * g + .0722 * b; };
  const parse = s => s.match(/[\\d.]+/g).map(Number);
  // The fill of the last shape drawn before a text of a figure that lies under its middle.
  const under = text => {
    const box = text.getBoundingClientRect(), x = box.x + box.width / 2, y = box.y + box.height / 2;
    let fill = null;
    for (const e of text.ownerSVGElement.querySelectorAll('*')) {
      if (e === text) break;
      if (!(e instanceof SVGGeometryElement) || getComputedStyle(e).fill === 'none') continue;
      if (e.isPointInFill(new DOMPoint(x, y).matrixTransform(e.getScreenCTM().inverse()))) fill = parse(getComputedStyle(e).fill);
    }
    return fill;
  };
  const found = new Set();
  for (const e of document.querySelectorAll('body *')) {
    if (![...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) || e.closest('script, style, option, title, desc')) continue;
    const drawn = e.closest('svg') !== null;
    const ink = parse(drawn ? getComputedStyle(e).fill : getComputedStyle(e).color);
    let ground = [255, 255, 255];
    for (let p = e; p; p = p.parentElement) {
      const c = parse(getComputedStyle(p).backgroundColor);
      if (c.length < 4 || c[3] > 0) { ground = c; break; }
    }
    if (drawn) ground = under(e) || ground;
    const [a, b] = [light(ink.slice(0, 3)), light(ground.slice(0, 3))].sort((x, y) => y - x);
    if ((a + .05) / (b + .05) < 4.5) found.add(e.tagName + '.' + e.getAttribute('class') + ' ' + ((a + .05) / (b + .05)).toFixed(2));
  }
  return [...found];
})()"""

# Short plain words that a narrow column has broken in two, and letters of a figure over other letters.
BROKEN = """(() => {
  const found = new Set();
  for (const cell of document.querySelectorAll('td, th')) {
    const walk = document.createTreeWalker(cell, NodeFilter.SHOW_TEXT);
    while (walk.nextNode())
      for (const word of walk.currentNode.data.matchAll(/(?<![\\w./-])[A-Za-z]{3,9}(?![\\w./-])/g)) {
        const range = document.createRange();
        range.setStart(walk.currentNode, word.index);
        range.setEnd(walk.currentNode, word.index + word[0].length);
        const tops = [...range.getClientRects()].map(r => Math.round(r.top));
        if (new Set(tops).size > 1) found.add(word[0]);
      }
  }
  return [...found];
})()"""
OVERLAPPING = """(() => {
  const boxes = [...document.querySelectorAll('svg text')].map(e => [e.textContent, e.getBoundingClientRect()]);
  const found = [];
  boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
    if (p.left < q.right - 1 && q.left < p.right - 1 && p.top < q.bottom - 3 && q.top < p.bottom - 3) found.push(a + ' / ' + b);
  }));
  return found;
})()"""

SHOWN = """[...document.querySelectorAll('#flagged table.items > tbody')]
  .filter(item => item.getClientRects().length > 0).length"""
ORDER = "[...document.querySelectorAll('#flagged article.flag')].map(flag => flag.dataset.rule)"
FOCUS = """(() => { const e = document.activeElement;
  return (e.closest('label') ? e.closest('label').textContent : e.textContent).trim(); })()"""


def check_quiet(browser, name):
    expect(not browser.complaints, f"{name}: the console says {browser.complaints}")
    others = [url for url in browser.requests if url != browser.url]
    expect(not others, f"{name}: the page asks for {others}")


def check_bar(browser, name):
    """Filter and sort, by the keyboard as a person would."""
    total = browser.run(SHOWN)
    printed = browser.run(ORDER)
    if len(printed) < 2:
        expect(browser.run("!document.querySelector('.choose')"), f"{name}: a bar for nothing to choose from")
        return
    names = [node["name"]["value"] for node in browser.call("Accessibility.getFullAXTree")["nodes"]
             if node.get("role", {}).get("value") in ("checkbox", "combobox", "searchbox", "button", "search")]
    expect(len(names) >= 6 and all(names), f"{name}: controls without a name: {names}")

    tag = browser.run("document.querySelector('#flagged th.tag bdi').textContent")
    browser.run("document.querySelector('.choose input[type=search]').focus()")
    browser.type(tag)
    some = browser.run(SHOWN)
    expect(0 < some <= total, f"{name}: filtered by {tag!r}, {some} of {total} are shown")
    status = browser.run("document.querySelector('.choose [role=status]').textContent")
    expect(some == total or status.startswith(f"{some} of {total} "), f"{name}: the status says {status!r}")
    browser.type("no such words anywhere")
    expect(browser.run(SHOWN) == 0, f"{name}: words that stand nowhere leave something")
    browser.run("document.querySelector('.choose button').focus()")
    browser.press("Enter", "\r")
    expect(browser.run(SHOWN) == total, f"{name}: Show all does not")

    # The first box, by the space bar: its action goes away and comes back.
    browser.run("document.querySelector('.choose input[type=checkbox]').focus()")
    action = browser.run(FOCUS)
    of_action = browser.run(f"document.querySelectorAll('article[data-action={action}] table.items > tbody').length")
    browser.press(" ", " ")
    expect(browser.run(SHOWN) == total - of_action, f"{name}: without {action} {browser.run(SHOWN)} of {total} are shown")
    target = browser.run("document.querySelector('.front a').hash")
    browser.run(f"location.hash = {target!r}")
    browser.run("new Promise(next => setTimeout(next, 100))")
    expect(browser.run(f"document.getElementById({target[1:]!r}).getClientRects().length > 0"),
           f"{name}: a link to what is filtered away leads nowhere")
    expect(browser.run(SHOWN) == total, f"{name}: a link does not show all again")

    # Sorting by rule, and back.
    orders = ".choose label:nth-of-type(4) select"
    browser.run(f"document.querySelector('{orders}').focus()")
    browser.press("ArrowDown")
    expect(browser.run(f"document.querySelector('{orders}').value") == "rule", f"{name}: the order does not change by key")
    expect(browser.run(ORDER) == sorted(printed), f"{name}: not sorted by rule: {browser.run(ORDER)}")
    browser.press("ArrowDown")
    counts = browser.run("[...document.querySelectorAll('#flagged article.flag')]"
                         ".map(flag => flag.querySelectorAll('table.items > tbody').length)")
    expect(counts == sorted(counts, reverse=True), f"{name}: not sorted by items: {counts}")
    browser.press("Home")
    expect(browser.run(ORDER) == printed, f"{name}: the printed order does not come back")


def check_paper(browser, name, path, folder):
    """Whatever is filtered away on the screen is printed, and nothing reaches over the edge of the sheet."""
    browser.run("""(() => { const field = document.querySelector('.choose input[type=search]');
        if (field) { field.value = 'no such words'; field.dispatchEvent(new Event('input', {bubbles: true})); } })()""")
    tags = browser.run("[...document.querySelectorAll('#flagged th.tag bdi')].map(e => e.textContent)")
    for sheet, (wide, high) in SHEETS.items():
        made = browser.call("Page.printToPDF", printBackground=True, paperWidth=wide, paperHeight=high)
        out = os.path.join(folder, f"{name}-{sheet}.pdf")
        with open(out, "wb") as file:
            file.write(base64.b64decode(made["data"]))
        printed = pages.pages_of(out)
        text = "".join("".join(word[0] for word in page.words()) for page in printed)
        for tag in tags:
            if tag.isascii() and len(tag) < 40:
                # A cell may break a tag behind a hyphen, with a line of its neighbour between the halves.
                expect(all(piece in text for piece in re.split(r"(?<=-)|\s+", tag)), f"{name}, {sheet}: {tag} is not printed")
        for page in printed:
            expect(not pages.beyond(page, 13 * MILLIMETRE),
                   f"{name}, {sheet}, page {page.number}: beyond the margins: {pages.beyond(page, 13 * MILLIMETRE)[:5]}")
        expect("Actions" not in " ".join(word[0] for word in printed[0].words() if word[2] > 200),
               f"{name}, {sheet}: the first page does not end with what was found")
        second = " ".join(word[0] for line in printed[1].lines[:3] for word in line)
        expect("Actions" in second, f"{name}, {sheet}: the second page starts with {second!r}")
    check_clipped(browser, name)


def check_clipped(browser, name):
    browser.call("Emulation.setEmulatedMedia", media="print")
    wide = int((SHEETS["A4"][0] - 28 / 25.4) * 96)
    browser.call("Emulation.setDeviceMetricsOverride", width=wide, height=1000, deviceScaleFactor=1, mobile=False)
    clipped = browser.run("[...document.querySelectorAll('table, svg')].filter(e => e.getBoundingClientRect().right > "
                          "document.body.getBoundingClientRect().right + 1)"
                          ".map(e => (e.caption || e).textContent.slice(0, 60))")
    expect(not clipped, f"{name}: clipped on A4: {clipped}")
    browser.call("Emulation.clearDeviceMetricsOverride")
    browser.call("Emulation.setEmulatedMedia", media="")


def check_screens(browser, name):
    for scheme in ("light", "dark"):
        browser.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])
        faint = browser.run(FAINT)
        expect(not faint, f"{name}, {scheme}: too faint to read: {faint}")
    browser.call("Emulation.setEmulatedMedia", features=[])
    for width in (360, 800, 1600):
        browser.call("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1, mobile=False)
        over = browser.run("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        expect(over <= 0, f"{name}: wider than a screen of {width} by {over}")
    browser.call("Emulation.clearDeviceMetricsOverride")


def check_without_script(browser, name, path):
    words = browser.run("document.querySelector('#flagged').querySelectorAll('article').length")
    browser.call("Emulation.setScriptExecutionDisabled", value=True)
    browser.open(path)
    browser.call("Emulation.setScriptExecutionDisabled", value=False)
    expect(browser.run("!document.querySelector('.choose')"), f"{name}: a bar that cannot work")
    expect(browser.run("[...document.querySelectorAll('#flagged article')].filter(e => e.getClientRects().length).length")
           == words, f"{name}: not all is there without the script")


def check_first_stop(browser, name):
    browser.press("Tab")
    expect(browser.run(FOCUS) == "To the findings", f"{name}: the first stop of the keyboard is {browser.run(FOCUS)!r}")


def check_nothing_runs(browser, name):
    """The names of the hostile design are text: nothing of them became a node, and no dialog came."""
    inside = browser.run("document.querySelectorAll('main script, main img, main iframe, main svg svg, svg a, u').length")
    expect(inside == 0, f"{name}: {inside} nodes made of names")
    expect(browser.run("document.querySelector('h1').textContent").startswith("<script>"),
           f"{name}: the name in the title is not there as text")


def check_sheet(browser, name):
    """A page beside the review: what it says of itself to a screen reader, the keyboard, and how it lies on a screen and on paper."""
    expect(": " in browser.run("document.title"), f"{name}: a title that does not name the unit")
    levels = browser.run("[...document.querySelectorAll('h1, h2, h3')].map(e => +e.tagName[1])")
    expect(levels[:2] == [1, 2] and levels.count(1) == 1 and all(b - a < 2 for a, b in zip(levels, levels[1:])),
           f"{name}: headings {levels}")
    nameless = [node.get("role", {}).get("value") for node in browser.call("Accessibility.getFullAXTree")["nodes"]
                if node.get("role", {}).get("value") in ("table", "region", "link", "graphics-document", "navigation")
                and not node.get("name", {}).get("value")]
    expect(not nameless, f"{name}: without a name: {nameless}")
    stops = browser.run("[...document.querySelectorAll('a[href], [tabindex]')].length")
    for _ in range(stops):
        browser.press("Tab")
    regions = browser.run("[...document.querySelectorAll('.region')].filter(e => e.tabIndex !== 0).length")
    expect(regions == 0, f"{name}: {regions} tables that the keyboard cannot scroll")
    expect(browser.run("document.activeElement !== document.body"), f"{name}: the keyboard is lost after {stops} stops")
    dead = browser.run("[...document.querySelectorAll('a[href^=\"#\"]')].filter(e => "
                       "!document.getElementById(e.getAttribute('href').slice(1))).length")
    expect(dead == 0, f"{name}: {dead} links to nowhere")
    for width in (390, 1280):
        browser.call("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1, mobile=False)
        expect(not browser.run(BROKEN), f"{name}, {width}: broken words: {browser.run(BROKEN)}")
        expect(not browser.run(OVERLAPPING), f"{name}, {width}: over each other: {browser.run(OVERLAPPING)[:5]}")
    browser.call("Emulation.clearDeviceMetricsOverride")
    check_screens(browser, name)
    check_clipped(browser, name)
    check_quiet(browser, name)


def check_sheets(browser, folder):
    paths = [os.path.join(at, file) for at, _, files in os.walk(folder) for file in files if file.endswith(".html")]
    expect(len(paths) >= 5, f"{folder}: only {len(paths)} pages")
    for path in sorted(paths):
        browser.open(path)
        check_sheet(browser, os.path.relpath(path, folder))


def main():
    folder = sys.argv[1]
    browser = Browser()
    try:
        for unit in sorted(os.listdir(folder)):
            path = os.path.join(folder, unit, "review.html")
            if not os.path.exists(path):
                continue
            browser.open(path)
            check_first_stop(browser, unit)
            check_bar(browser, unit)
            check_screens(browser, unit)
            check_paper(browser, unit, path, folder)
            if "script" in unit:
                check_nothing_runs(browser, unit)
            check_quiet(browser, unit)
            check_without_script(browser, unit, path)
        check_sheets(browser, sys.argv[2])
    finally:
        browser.close()
    check.done()


if __name__ == "__main__":
    main()
