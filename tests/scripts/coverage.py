#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""tests/scripts/coverage.py BUILD [--missed PATTERN] -- lines and branches of
lib/ and cli/ that the tests of a build with --coverage came by, as gcov counts
them, and the files that lack most.  `make coverage` makes such a build and
calls this.  With --missed the lines of the files that match and that lack
something: how often each branch of them was taken, "never" what never ran.

A branch that gcov tells of a call that never returns, or of an exception, is
counted as it counts it.  What each test came by lies in BUILD/by-test/TEST,
for tests/mutants/mutants.py, which asks lines_by_test().
"""

import argparse
import glob
import gzip
import json
import os
import re
import subprocess
import sys
import tempfile

SOURCE = os.path.dirname(os.path.dirname(os.path.dirname(
    os.path.realpath(__file__))))
FOLDERS = ("lib", "cli")
AT_ONCE = 50


def reports(notes, build):
    """What gcov says of these files of notes, or of counts beside such; of
    counts of an older build nothing."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["gcov", "--json-format", "--branch-probabilities",
                        "--preserve-paths"] + notes, cwd=folder, check=False,
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for path in glob.glob(os.path.join(folder, "*.gcov.json.gz")):
            with gzip.open(path) as file:
                report = json.load(file)
            for file in report["files"]:
                name = os.path.relpath(os.path.normpath(
                    os.path.join(build, file["file"])), SOURCE)
                if name.split(os.sep)[0] in FOLDERS:
                    yield name, file["lines"]


def count(notes, build, files):
    """Adds what these notes tell to a dictionary of two: how often a line ran,
    and how often each of its branches was taken."""
    for i in range(0, len(notes), AT_ONCE):
        for name, told in reports(notes[i:i + AT_ONCE], build):
            lines, branches = files.setdefault(name, ({}, {}))
            for line in told:
                at = line["line_number"]
                lines[at] = lines.get(at, 0) + line["count"]
                for k, branch in enumerate(line["branches"]):
                    key = (at, k)
                    branches[key] = branches.get(key, 0) + branch["count"]


def notes_of(build):
    """The notes of a build, without those of the tests."""
    return [p for folder in FOLDERS for p in glob.glob(
        os.path.join(build, folder, "**", "*.gcno"), recursive=True)]


def tests_of(build):
    """The name of each test that left counts, and where."""
    top = os.path.join(build, "by-test")
    for folder, _, _ in sorted(os.walk(top)):
        inner = folder + build
        if os.path.isdir(inner):
            yield os.path.relpath(folder, top), inner


def count_test(folder, build):
    """What one test came by; the counts lie in a folder like the build."""
    counts = [p for name in FOLDERS for p in glob.glob(
        os.path.join(folder, name, "**", "*.gcda"), recursive=True)]
    for path in counts:
        note = path[:-5] + ".gcno"
        if not os.path.lexists(note):
            os.symlink(os.path.join(build, os.path.relpath(note, folder)),
                       note)
    files = {}
    count(counts, build, files)
    return files


def lines_by_test(build, kept):
    """For each test when it was counted, and for each file the lines that there
    are and those that the test came by.  `kept` is what was told before: what
    was not counted again since stays."""
    build = os.path.realpath(build)
    told = {}
    for test, folder in tests_of(build):
        newest = max(os.path.getmtime(p) for p in glob.glob(
            os.path.join(folder, "**", "*.gcda"), recursive=True))
        told[test] = kept.get(test)
        if told[test] is None or told[test][0] < newest:
            told[test] = [newest, {
                name: [sorted(lines), sorted(
                    at for at, times in lines.items() if times > 0)]
                for name, (lines, _) in count_test(folder, build).items()}]
    return told


def read_all(build):
    """What all tests came by together."""
    files = {}
    count(notes_of(build), build, files)
    for _, folder in tests_of(build):
        for name, (lines, branches) in count_test(folder, build).items():
            for mine, more in zip(files[name], (lines, branches)):
                for key, times in more.items():
                    mine[key] = mine.get(key, 0) + times
    return files


def print_shares(files):
    def share(part):
        return "%6.2f %% of %6d" % (
            100.0 * sum(c > 0 for c in part) / max(1, len(part)), len(part))
    print("            lines               branches")
    for folder in FOLDERS:
        mine = [f for name, f in files.items()
                if name.split(os.sep)[0] == folder]
        print("%-4s  %s   %s" % (
            folder, share([c for f in mine for c in f[0].values()]),
            share([c for f in mine for c in f[1].values()])))


def print_worst(files):
    rows = sorted((sum(c == 0 for c in f[1].values()),
                   sum(c == 0 for c in f[0].values()), name, f[0])
                  for name, f in files.items())
    print("missed: branches, lines, where")
    for branches, missed, name, lines in reversed(rows[-25:]):
        never = sorted(at for at, times in lines.items() if times == 0)
        print("%5d %5d  %s: %s" % (branches, missed, name,
                                   " ".join(map(str, never[:12]))))


def print_missed(files, pattern):
    for name, (lines, branches) in sorted(files.items()):
        if not re.search(pattern, name):
            continue
        with open(os.path.join(SOURCE, name), encoding="utf-8") as file:
            text = file.read().split("\n")
        for at, times in sorted(lines.items()):
            mine = [branches[key] for key in sorted(branches)
                    if key[0] == at]
            if times and all(mine):
                continue
            print("%s:%d: %s: %s" % (
                name, at, " ".join(map(str, mine)) if times else "never",
                text[at - 1].strip()))


def main():
    options = argparse.ArgumentParser()
    options.add_argument("build")
    options.add_argument("--missed", metavar="PATTERN")
    chosen = options.parse_args()
    files = read_all(os.path.realpath(chosen.build))
    if not any(any(f[0].values()) for f in files.values()):
        raise SystemExit("nothing was counted in " + chosen.build)
    if chosen.missed is not None:
        print_missed(files, chosen.missed)
    print_shares(files)
    print_worst(files)
    return 0


if __name__ == "__main__":
    sys.exit(main())
