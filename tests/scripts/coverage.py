#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""tests/scripts/coverage.py BUILD -- lines and branches of lib/ and cli/ that
the tests of a build with --coverage came by, as gcov counts them, and the files
that lack most.  `make coverage` makes such a build and calls this.

A branch that gcov tells of a call that never returns, or of an exception, is
counted as it counts it.
"""

import glob
import gzip
import json
import os
import subprocess
import sys
import tempfile


def reports(notes):
    """What gcov says of these files of notes."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["gcov", "--json-format", "--branch-probabilities",
                        "--preserve-paths"] + notes, cwd=folder, check=True,
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for path in glob.glob(os.path.join(folder, "*.gcov.json.gz")):
            with gzip.open(path) as file:
                yield json.load(file)


def main():
    build = os.path.abspath(sys.argv[1])
    source = os.path.dirname(os.path.dirname(os.path.dirname(
        os.path.abspath(__file__))))
    notes = [os.path.abspath(p) for p in glob.glob(
        os.path.join(build, "**", "*.gcno"), recursive=True)
        if os.path.relpath(p, build).split(os.sep)[0] in ("lib", "cli")]
    files = {}
    for i in range(0, len(notes), 50):
        for report in reports(notes[i:i + 50]):
            base = report["current_working_directory"]
            for file in report["files"]:
                name = os.path.relpath(os.path.normpath(
                    os.path.join(base, file["file"])), source)
                if name.split(os.sep)[0] not in ("lib", "cli"):
                    continue
                lines, branches = files.setdefault(name, ({}, {}))
                for line in file["lines"]:
                    at = line["line_number"]
                    lines[at] = lines.get(at, 0) + line["count"]
                    for k, branch in enumerate(line["branches"]):
                        key = (at, k)
                        branches[key] = (branches.get(key, 0)
                                         + branch["count"])
    if not files:
        raise SystemExit("nothing was counted in " + build)

    def share(part):
        return "%5.1f %% of %6d" % (
            100.0 * sum(c > 0 for c in part) / max(1, len(part)), len(part))
    print("            lines               branches")
    for folder in ("lib", "cli"):
        mine = [f for name, f in files.items()
                if name.split(os.sep)[0] == folder]
        print("%-4s  %s   %s" % (
            folder, share([c for f in mine for c in f[0].values()]),
            share([c for f in mine for c in f[1].values()])))
    rows = sorted((sum(c == 0 for c in f[1].values()),
                   sum(c == 0 for c in f[0].values()), name, f[0])
                  for name, f in files.items())
    print("missed: branches, lines, where")
    for branches, missed, name, lines in reversed(rows[-25:]):
        never = sorted(at for at, count in lines.items() if count == 0)
        print("%5d %5d  %s: %s" % (branches, missed, name,
                                   " ".join(map(str, never[:12]))))
    return 0


sys.exit(main())
