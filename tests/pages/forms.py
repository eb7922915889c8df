# SPDX-License-Identifier: GPL-3.0-or-later
"""tests/pages/forms.py -- reports for programs, read by other programs.

The JSON of every command on every example and case is valid by the JSON Schema
that is installed, and every CSV table that a spreadsheet reads has what the
JSON has: each figure to the last digit, each text, and nothing for null.  A
report without tables of its own has neither yet, and is left out with a word.
"""

import sys

# What stands beside this file is no module, whatever it is called.
sys.path.pop(0)

import csv
import functools
import io
import json
import os
import re
import subprocess

try:
    import jsonschema
except ImportError:
    jsonschema = None

COMMAND = os.environ["FLUSHCALC"]
SOURCE = os.environ["srcdir"]
# `make check-long` tries all.
LONG = "FLUSHCALC_LONG" in os.environ
# Each step of a sweep takes these seconds.
LARGE = ("clinic.ini", "tower.ini")
FORMULA = tuple("=+-@\t\r")


class Tap:
    """The results so far."""

    count = 0
    bad = False

    def tell(self, name, faults, skip=None):
        """No fault is good; the faults say what is wrong."""
        self.count += 1
        self.bad = self.bad or bool(faults)
        print("%sok %d - %s%s" % ("not " if faults else "", self.count, name,
                                  " # SKIP " + skip if skip else ""))
        for fault in faults[:10]:
            print("# " + str(fault).replace("\n", " ")[:300])
        sys.stdout.flush()


TAP = Tap()


def run(arguments):
    """Exit status, standard output and standard error of a run."""
    done = subprocess.run([COMMAND] + arguments, stdin=subprocess.DEVNULL,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                          check=False)
    return done.returncode, done.stdout, done.stderr.decode()


# ---- CSV beside JSON --------------------------------------------------------

@functools.lru_cache(None)
def installed():
    """The schema that is installed."""
    with open(os.path.join(SOURCE, "lib/report/flushcalc.schema.json"),
              encoding="utf-8") as file:
        return json.load(file)


def tables_in(shape, prefix=""):
    """The names of the lists in an object of the schema."""
    for key, member in shape["properties"].items():
        if "array" in member.get("type", []):
            yield prefix + key
        for inner in member.get("anyOf", []):
            if "$ref" in inner:
                name = inner["$ref"].rpartition("/")[2]
                yield from tables_in(installed()["$defs"][name],
                                     prefix + key + ".")


def table_names(report):
    """The names of all tables; None where the schema knows no such report."""
    for shape in installed()["oneOf"]:
        if shape["properties"]["report"]["const"] == report.get("report"):
            # what was set stands in the head of every report
            return [name for name in tables_in(shape) if name != "set"]
    return None


def at(value, path):
    """What stands at a path such as "existing.zones"; None where nothing."""
    for key in path.split(".") if path else []:
        value = value.get(key) if value is not None else None
    return value


def missing(row, path):
    """Whether the object that holds the last key lacks it."""
    parent, _, key = path.rpartition(".")
    holder = at(row, parent)
    return holder is not None and key not in holder


def text_as_cell(text):
    """A text is kept from being run as a formula by an apostrophe."""
    return "'" + text if text.startswith(FORMULA) else text


def cell_of(value):
    """A JSON value as CSV must have it; a float for a figure."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return float(value)
    if isinstance(value, list):
        return "; ".join(text_as_cell(v) if isinstance(v, str) else repr(v)
                         for v in value)
    return text_as_cell(value)


def differs(cell, want):
    """A cell and what it must be."""
    if not isinstance(want, float):
        return cell != want
    try:
        return float(cell) != want
    except ValueError:
        return True


def wanted(row, path):
    """What the JSON has for a column; ends that are one have no key."""
    end = re.match(r"(.*)_(low|high)$", path)
    if end and missing(row, path):
        return at(row, end.group(1))
    return at(row, path)


def leaves(value, path=""):
    """The paths of all that a row of a table must hold."""
    for key, inner in value.items():
        name = path + key
        if isinstance(inner, dict):
            yield from leaves(inner, name + ".")
        elif not (isinstance(inner, list) and inner
                  and isinstance(inner[0], dict)):
            yield name


def parts(heading, units):
    """A heading's path; None where its unit is not one of the report's."""
    found = re.match(r"([a-z0-9_.]+)(?: \[(.*)\])?$", heading)
    if not found or (found.group(2) and found.group(2) not in units):
        return None
    return found.group(1)


def lines_faults(data):
    """RFC 4180: every line ends with CR LF, but within quotes."""
    outside = b"".join(data.split(b'"')[::2])
    if not data.endswith(b"\r\n") or outside.replace(b"\r\n", b"").strip(
            b" ").count(b"\n") + outside.replace(b"\r\n", b"").count(b"\r"):
        yield "a line does not end with CR LF"


def table_faults(data, report, name):
    """What is wrong in a table of a report."""
    yield from lines_faults(data)
    rows = list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""),
                           strict=True))
    objects = at(report, name) or []
    units = set(report["units"].values()) | {"s", "degF", "degC"}
    paths = [parts(heading, units) for heading in rows[0]]
    if None in paths or len(set(paths)) < len(paths):
        yield "headings: %s" % rows[0]
        return
    if len(rows) - 1 != len(objects):
        yield "%d rows, not %d" % (len(rows) - 1, len(objects))
        return
    for number, (row, item) in enumerate(zip(rows[1:], objects), 1):
        if not isinstance(item, dict):
            item = {paths[0]: item}
        if len(row) != len(paths):
            yield "row %d has %d cells" % (number, len(row))
        for path in sorted(set(leaves(item)) - set(paths)):
            # an object that is not there is columns of nothing
            apart = any(other.startswith(path + ".") for other in paths)
            if at(item, path) not in ([None, []] if apart else [[]]):
                yield "row %d lacks %s" % (number, path)
        for path, cell in zip(paths, row):
            want = cell_of(wanted(item, path))
            if differs(cell, want):
                yield "row %d, %s: %r, not %r" % (number, path, cell, want)


# ---- The reports ------------------------------------------------------------

def text_of(site):
    """A site file."""
    with open(site, encoding="utf-8") as file:
        return file.read()


def reports(site):
    """The commands that make a report of a site."""
    text = text_of(site)
    fixture = re.search(r"^\[fixture (.*?)\]", text, re.M).group(1)
    floors = re.search(r"^\[fixture %s\]\nfloors = (\d+)" % re.escape(fixture),
                       text, re.M)
    fixture = fixture.replace("{floor}", floors.group(1) if floors else "1")
    if re.search(r"^size = choose", text, re.M):
        yield ["size", site]
        return
    yield ["check", site]
    yield ["check", site, site]
    sweep = re.search(r"^\[source (.*?)\](?:\n(?!\[).*)*?\n"
                      r"(static|pressure) = [0-9.]+ (psi|kPa)", text, re.M)
    if sweep and (LONG or os.path.basename(site) not in LARGE):
        yield ["check", site, "--sweep", "%s.%s=%s %s/3" % (
            sweep.group(1), sweep.group(2),
            "40..80" if sweep.group(3) == "psi" else "300..500",
            sweep.group(3))]
    yield ["path", site, fixture]
    yield ["flush", site, fixture]
    yield ["effects", site]
    if not re.search(r"^\[pressure tank ", text, re.M):
        yield ["size", "--remedy", site]
        yield ["diagnose", site]
    if re.search(r"^\[claim ", text, re.M):
        yield ["verify", site]


def validator():
    """Of the schema; None without the package."""
    if not jsonschema or not hasattr(jsonschema, "Draft202012Validator"):
        return None
    jsonschema.Draft202012Validator.check_schema(installed())
    return jsonschema.Draft202012Validator(installed())


def schema_faults(valid, report):
    """Where a report is not as the schema has it."""
    for error in valid.iter_errors(report):
        for inner in error.context or [error]:
            # one of many: those for other reports say so at "report"
            if not list(inner.absolute_path)[:1] == ["report"]:
                yield "%s: %s" % ("/".join(map(str, inner.absolute_path)),
                                  inner.message)
        yield error.message[:100]


def tables_faults(arguments, status, report, names, empty_too=True):
    """What is wrong in the tables of a report."""
    for table in names:
        if not (empty_too or at(report, table)):
            continue
        again, data, said = run(arguments
                                + ["--format", "csv", "--table", table])
        if again != status:
            yield "%s: exit status %d: %s" % (table, again, said)
            continue
        for fault in table_faults(data, report, table):
            yield "%s: %s" % (table, fault)
    first = run(arguments + ["--format", "csv"])[1]
    if first != run(arguments + ["--format", "csv", "--table", names[0]])[1]:
        yield "the first table is not what is written by itself"
    said = run(arguments + ["--format", "csv", "--table", "?"])[2]
    if not said.endswith("the tables are %s\n" % ", ".join(names)):
        yield said


def sites_of(arguments):
    """The site files among the words of a command."""
    return [word for word in arguments if word.endswith(".ini")]


def check_lines(name, arguments, data, valid):
    """A report of several sites: a report a line, and their one table."""
    lines = [json.loads(line) for line in data.decode("ascii").splitlines()]
    faults = [] if len(lines) == len(sites_of(arguments)) else [
        "%d lines" % len(lines)]
    for line in lines:
        faults += schema_faults(valid, line) if valid else []
        units = line["units"]
        for key in ["report", "schema", "program", "site", "made", "digest",
                    "tables_digest", "units"]:
            del line[key]
    faults += tables_faults(arguments, run(arguments)[0],
                            {"sites": lines, "units": units}, ["sites"])
    TAP.tell(name + ": each line by the schema, and their table", faults)


def check_report(arguments, valid, tables_too, empty_too=True):
    """One report in all its forms for programs."""
    name = " ".join(os.path.basename(a) for a in arguments)
    status, data, said = run(arguments + ["--format", "json"])
    if status not in (0, 1, 3):
        TAP.tell(name, ["exit status %d" % status, said])
        return
    if len(sites_of(arguments)) > 1:
        check_lines(name, arguments, data, valid)
        return
    report = json.loads(data.decode("ascii"))
    names = table_names(report)
    if names is None:
        TAP.tell(name, [], "it is not made of a shape yet")
    elif valid:
        TAP.tell(name + ": by the schema",
                 list(schema_faults(valid, report)))
    else:
        TAP.tell(name + ": by the schema", [], "no package jsonschema")
    if names and tables_too:
        TAP.tell("%s: its %d tables" % (name, len(names)),
                 list(tables_faults(arguments, status, report, names,
                                    empty_too)))


def sites():
    """Examples and cases, the smaller ones first."""
    found = []
    for folder in ("examples", "tests/cases"):
        folder = os.path.join(SOURCE, folder)
        found += [os.path.join(folder, name)
                  for name in sorted(os.listdir(folder))
                  if name.endswith(".ini")]
    return sorted(found, key=lambda site: (os.path.getsize(site), site))


# Of how many sites, the smallest first, the tables of a report are read back;
# of the first of them all tables, then those that have a row.
SLOW = {"check": 8, "diagnose": 2, "effects": 8, "size --remedy": 4,
        "verify": 2}
MANY = 1000
ALL_TABLES = 3


def main():
    """All reports; of slow ones the tables of a few sites."""
    valid = validator()
    done = {}
    TAP.tell("the schema installed is that of the program; make schema "
             "renews it", [] if json.loads(run(["--schema"])[1])
             == installed() else ["it is another"])
    for arguments in [["tables"], ["tables", "pipe"],
                      ["tables", "copper L"]]:
        check_report(arguments, valid, True)
    for site in sites():
        for arguments in reports(site):
            kind = " ".join(arguments[:-1] if "--remedy" in arguments
                            else arguments[:1])
            done[kind] = done.get(kind, 0) + 1
            check_report(arguments, valid,
                         done[kind] <= SLOW.get(kind, MANY),
                         done[kind] <= ALL_TABLES)
    print("1..%d" % TAP.count)
    return TAP.bad


sys.exit(main())
