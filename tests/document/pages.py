"""The pages of a PDF as pdftotext sees them: words with their places, in points from the top left."""

import re
import subprocess
import xml.etree.ElementTree as tree


class Page:
    def __init__(self, number, node):
        self.number = number
        self.width, self.height = float(node.get("width")), float(node.get("height"))
        self.lines = []
        for line in node.iter("line"):
            words = [(word.text or "", *(float(word.get(side)) for side in ("xMin", "yMin", "xMax", "yMax")))
                     for word in line.iter("word")]
            self.lines.append(words)

    def words(self):
        return [word for line in self.lines for word in line]

    def between(self, top, bottom):
        """Lines of the text between two heights, from the top down."""
        lines = [line for line in self.lines if line and line[0][2] >= top and line[0][4] <= bottom]
        return sorted(lines, key=lambda line: (line[0][2], line[0][1]))


def pages_of(path):
    text = subprocess.run(["pdftotext", "-bbox-layout", path, "-"], check=True, capture_output=True).stdout.decode()
    text = re.sub(r"[^\x09\x0a\x0d\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", "", text)
    text = text.replace(' xmlns="http://www.w3.org/1999/xhtml"', "")
    return [Page(i + 1, node) for i, node in enumerate(tree.fromstring(text).iter("page"))]


def beyond(page, margin):
    """Words that reach into the margins at the sides or off the sheet."""
    return [word for word in page.words()
            if word[0].strip() and (word[1] < margin - 1 or word[3] > page.width - margin + 1 or word[2] < 0 or
                                    word[4] > page.height)]


def overlaps(page):
    """Pairs of words printed over each other: by more than a third of the smaller one's box."""
    found, words = [], [word for word in page.words() if word[0].strip()]
    words.sort(key=lambda word: word[2])
    for i, a in enumerate(words):
        for b in words[i + 1:]:
            if b[2] >= a[4]:
                break
            across = min(a[3], b[3]) - max(a[1], b[1])
            down = min(a[4], b[4]) - max(a[2], b[2])
            if across <= 0 or down <= 0:
                continue
            smaller = min((w[3] - w[1]) * (w[4] - w[2]) for w in (a, b))
            if across * down > smaller / 3:
                found.append((a[0], b[0]))
    return found
