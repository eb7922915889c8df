# SPDX-License-Identifier: GPL-3.0-or-later
# tests/pages/told_numbers.py -- no report for people shows a number that its data
# do not have.
#
# told_numbers.py COMMAND DATA REPORT...: DATA is the report of COMMAND as JSON, each
# REPORT the same as text, or as a page where its name ends in .html.  Every
# number of a REPORT must be a number of DATA at the precision that it is
# printed with.  What stands in a REPORT as DATA has it in words (names, events,
# findings, assumptions) is left out before.  A number may also be
#
#   - a sum, difference or share that SUMS works out here from numbers of DATA;
#   - a per cent of a number of DATA between 0 and 1;
#   - a whole number without a unit that counts something: the items of a list
#     of DATA, those of them that have the same word, or what is folded behind
#     some of them ("and 12 more");
#   - part of a phrase of PHRASES, which say how it was done and not what came
#     out.
#
# What a page tells of the building itself (OWN: its inputs, calculation sheet,
# fixture table and sources) is of the site file and the tables and is left out.
# Signs are left out, as a loss may be shown as a fall.  Drawings have tests of
# their own.  Prints what is found nowhere, each with the words around it.
import html.parser
import json
import re
import sys

# ---- Numbers of the data ----------------------------------------------------


def walk(value, out):
    """All values of JSON that are no list and no object."""
    if isinstance(value, dict):
        for item in value.values():
            walk(item, out)
    elif isinstance(value, list):
        for item in value:
            walk(item, out)
    else:
        out.append(value)
    return out


def is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def counts_of(value, out):
    """How many a list has, and how many of them say the same of a key."""
    if isinstance(value, dict):
        for item in value.values():
            counts_of(item, out)
    elif isinstance(value, list):
        out.add(len(value))
        same = {}
        for item in value:
            counts_of(item, out)
            for word in words_of(item):
                same[word] = same.get(word, 0) + 1
        out.update(same.values())
    return out


def words_of(item, prefix=""):
    if not isinstance(item, dict):
        return []
    words = []
    for key, value in item.items():
        if isinstance(value, dict):
            words += words_of(value, prefix + key + ".")
        elif isinstance(value, (str, bool)) or value is None:
            words.append((prefix + key, value))
    return words


# ---- Sums that the reports make ---------------------------------------------


def differences(value, out):
    """Of what is told of both states: by how much they differ."""
    if isinstance(value, dict):
        before, after = value.get("existing"), value.get("retrofit")
        if isinstance(before, dict) and isinstance(after, dict):
            for key in before:
                a, b = before[key], after.get(key)
                if is_number(a) and is_number(b):
                    out.append(b - a)
        for item in value.values():
            differences(item, out)
    elif isinstance(value, list):
        for item in value:
            differences(item, out)
    return out


def sums_of_verify(data):
    """How far from a claim a reading decides: by what it may be off."""
    sums = []
    for claim in data["claims"]:
        if claim["within"] is not None:
            sums += [claim["claimed"] + claim["within"],
                     claim["claimed"] - claim["within"]]
    return sums


# What a foot, or a meter, of water weighs from 32 to 80 F (0.9966 to 1.0000
# g/cm3), in the pressure of the report.
WATER = {"psi": (0.4320, 0.4336), "kPa": (9.773, 9.807)}


def sums_of_path(data):
    """The rows of the ledger, shares of all that is lost, and the height."""
    b = data["budget"]
    flow = (b["friction_loss"] + b["fitting_loss"] + b["street_main_drop"]
            + b["device_loss"] + b["backflow_loss"] + b["prv_loss"])
    up = max(b["elevation_loss"], 0.0)
    sums = [b["friction_loss"] + b["fitting_loss"],
            b["start"] + b["throttled"], flow,
            flow - b["friction_loss"] - b["fitting_loss"] - b["pump_boost"]]
    lost = flow + up
    for key in b:
        if is_number(b[key]) and lost > 0:
            sums += [100 * b[key] / lost]
    for step in data["steps"]:
        sums += [step["pressure"] + step["street_main_drop"],
                 step["friction_loss"] + step["fitting_loss"]]
    # alike steps that follow one another may be one row
    for keys in (("elevation_loss",), ("friction_loss",), ("fitting_loss",),
                 ("friction_loss", "fitting_loss")):
        for i in range(len(data["steps"])):
            total = 0
            for step in data["steps"][i:]:
                total += sum(step[key] for key in keys)
                sums.append(total)
    low, high = WATER[data["units"]["pressure"]]
    sums.append((b["elevation_loss"] / high, b["elevation_loss"] / low))
    return sums


def sums_of_check(data):
    """The ledger of the governing fixture; what others lose while valves
    flush; the intervals of weak flushes, which are rounded outward."""
    sums = []
    if data.get("budget") and data.get("steps"):
        sums += sums_of_path(data)
    for fixture in data["fixtures"] if "digest" in data else ():
        for state in (fixture["existing"], fixture["retrofit"]):
            if not state:
                continue
            if state.get("shared") is not None:
                sums.append(fixture["static"] - state["shared"])
            for key in ("weak_flush_chance", "weak_flush_chance_worst",
                        "weak_flush_chance_best"):
                if state.get(key):
                    sums += [100 * state[key]["estimate"],
                             (max(100 * state[key]["low"] - 0.05, 0),
                              100 * state[key]["low"]),
                             (100 * state[key]["high"],
                              100 * state[key]["high"] + 0.05)]
    return sums


def sums_of_flush(data):
    """What each place loses."""
    return [place["static"] - place["pressure"]
            for key in ("fixtures", "elements") for place in data[key]]


def sums_of_size(data):
    """What sizing by hand costs more, and its loss in 100 units of length."""
    by_hand, sums = data.get("uniform_friction"), []
    for key in ("length", "cost"):  # alike pipes are one row
        for i in range(len(data["pipes"])):
            total = 0
            for pipe in data["pipes"][i:]:
                total += pipe.get(key) or 0
                sums.append(total)
    if by_hand and by_hand.get("friction_rate"):
        sums.append(100 * by_hand["friction_rate"])
    if by_hand and by_hand.get("cost") and data["lowest_cost"]:
        sums.append(100 * (by_hand["cost"] / data["lowest_cost"] - 1))
    return sums


SUMS = {"verify": sums_of_verify, "path": sums_of_path,
        "check": sums_of_check, "flush": sums_of_flush, "size": sums_of_size}

# ---- What says how it was done ----------------------------------------------

PHRASES = {
    "": [
        r"\b\d{4}-\d\d-\d\d\b",  # a date
        r"\b[Aa]nd \d+ more\b",  # what is folded
        r"\b\d+ things? assumed\b",
        r"\b\d+ (?:more )?(?:warning|minimum|undecided claim)s?, see --full",
    ],
    "verify": [
        r"\bJCGM 10[16]\b",
        r"\b(?:at least|decided by|judged by|at most) (?:95|5)%",  # the bar of a verdict
        r"\b95% within\b",
        r"\bSHA-256\b",
        r"\b\d+ of \d+ claims\b",
        r"\bpage \d+ of \d+\b",
    ],
    "check": [r"\bUPC Table 610\.10\b",
              # the second line of a material, behind a limit of velocity
              r"\b\d\.\d+ (?:en 1057|40)\b(?!\.)",
              r"\b95% confidence\b", r"\b5%\s(?:below|of its flushes)"],
    "size": [r"\bper 100\b"],
    "path": [r"\bdownstream of \d+\b"],
}

# ---- Numbers of a report ----------------------------------------------------

NUMBER = re.compile(
    r"(?<![\w.,-])(?P<bound>[<>]?)[-+\u2212]?"
    r"(?P<digits>\d+-\d+/\d+|\d+/\d+|\d{1,3}(?:,\d{3})+(?:\.\d+)?"
    r"|\d+(?:\.\d+)?)"
    r"(?P<percent> ?%)?(?![\w/]|[.,]\d)")


# Headings of the parts of a page that are not the report's.
OWN = re.compile(r"Inputs: |Riser diagram|Pressure profile|Supply and demand"
                 r"|Calculation sheet: |Fixture table|Sources of the table"
                 r"|Set by the file otherwise|Signatures")


class Text(html.parser.HTMLParser):
    """The words of the report on a page: without its style, its drawings, its
    head and the parts of its own."""

    LEFT_OUT = ("style", "svg", "script")

    def __init__(self):
        super().__init__()
        self.words, self.depth = [], 0
        self.begun = self.own = self.in_heading = False
        self.heading = ""

    def handle_starttag(self, tag, attrs):
        self.depth += tag in self.LEFT_OUT
        if tag == "dl" and not self.begun:
            self.begun = self.own = True
        elif tag == "h2":
            self.heading, self.in_heading = "", True
        elif tag == "section" and self.heading:
            self.own = False
        self.words.append(" ")

    def handle_endtag(self, tag):
        self.depth -= tag in self.LEFT_OUT
        if tag == "dl" and not self.heading:
            self.own = False
        elif tag == "h2":
            self.in_heading = False
            self.own = OWN.match(self.heading) is not None
        elif tag == "section":
            self.own = False
        self.words.append(" ")

    def handle_data(self, data):
        if self.in_heading:
            self.heading += data
        if not self.depth and not self.own:
            self.words.append(data)


def text_of(path):
    with open(path, encoding="utf-8") as file:
        text = file.read()
    if path.endswith(".html"):
        page = Text()
        page.feed(text)
        text = "".join(page.words)
    # "34.4..40.3" are two numbers
    text = re.sub(r"(?<=\d)\.\.(?=-?\d)", " .. ", " ".join(text.split()))
    return re.sub(r"\bless than (?=\d)", "<", text)


def without(text, strings, phrases):
    """A report without what the data have in words, the longest first."""
    for string in sorted(strings, key=len, reverse=True):
        pattern = r"\s".join(map(re.escape, string.split()))
        pattern = pattern.replace(re.escape(".."), r" ?\.\. ?")
        text = re.sub(r"(?<![\w.-])" + pattern + r"(?![\w-]|\.\d)", " | ",
                      text)
    for phrase in phrases:
        text = re.sub(phrase, " | ", text)
    return text


def value_of(digits):
    """The value, and by how much it may be off for its digits."""
    whole, _, part = digits.rpartition("-")
    if "/" in part:
        over, under = part.split("/")
        return (float(whole or 0) + float(over) / float(under)), 1e-6
    plain = digits.replace(",", "")
    decimals = len(plain.partition(".")[2])
    return float(plain), 0.5 * 10 ** -decimals


def is_near(x, numbers, value, off):
    for number in numbers:
        if isinstance(number, tuple):
            low, high = sorted(map(abs, number))
            if low - off <= x <= high + off:
                return True
        elif abs(abs(number) - x) <= off + 1e-7 * x:
            return True
    return False


def is_known(match, numbers, sums, counts):
    x, off = value_of(match["digits"])
    shares = [100 * n for n in numbers if 0 <= n <= 1]
    if match["bound"]:  # "<0.1%", ">99.9%"
        all_of = shares if match["percent"] else numbers + sums
        below = match["bound"] == "<"
        return any(abs(n) < x if below else abs(n) > x for n in all_of
                   if not isinstance(n, tuple))
    if match["percent"] and is_near(x, shares, x, off):
        return True
    if is_near(x, numbers, x, off) or is_near(x, sums, x, off):
        return True
    return match["digits"].isdigit() and int(match["digits"]) in counts


def strangers(command, data, path):
    """Numbers of a report that are found nowhere, with words around them."""
    leaves = walk(data, [])
    numbers = [leaf for leaf in leaves if is_number(leaf)]
    strings = {" ".join(leaf.split()) for leaf in leaves
               if isinstance(leaf, str) and re.search(r"\d", leaf)}
    # sources are told without the addresses of pages
    strings |= {" ".join(re.sub(r",? https?://\S+?(?=[.,;]?(?: |$))", "",
                                string).split()) for string in strings}
    # a sentence may be told behind another, with its first letter large
    strings |= {string[0].upper() + string[1:] for string in strings}
    sums = differences(data, [])
    if command in SUMS:
        sums += SUMS[command](data)
    counts = counts_of(data, set())
    text = without(text_of(path), strings,
                   PHRASES[""] + PHRASES.get(command, []))
    found = []
    for match in NUMBER.finditer(text):
        if not is_known(match, numbers, sums, counts):
            found.append("%s in: %s" % (
                match[0], text[max(match.start() - 50, 0):match.end() + 30]))
    return found


def main():
    command, data_path = sys.argv[1:3]
    with open(data_path, encoding="utf-8") as file:
        data = json.load(file)
    bad = 0
    for path in sys.argv[3:]:
        for stranger in strangers(command, data, path):
            print("%s: %s" % (path.rpartition("/")[2], stranger))
            bad = 1
    return bad


sys.exit(main())
