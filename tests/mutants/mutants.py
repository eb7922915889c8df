#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""tests/mutants/mutants.py -- whether the tests notice what is wrong in lib/.

  cd BUILD; make coverage; python3 SOURCE/tests/mutants/mutants.py
      [--count 300] [--seed 1] [--minutes M] [--slowest S] [--only PATH]
      [--tests PATTERN] [--retry]

Draws that many places of lib/ at which an operator, a comparison or a constant
can be another, and with each of these faults alone runs the tests that come by
its line, as `make coverage` found, until one fails: the quickest first, those
that have the name of the file before others.  A test that takes five times its
time has failed.  What compiles to the same code is no fault and is drawn again.
The programs are linked to a shared library of all objects, so that a fault
takes one compilation and one link.  Tests that take more than S seconds of
processor time are left out.

The same seed draws the same faults as long as their lines are the same.  What
was found stays in mutants/results.json: a run goes on where one ended, and with
--retry tries those again that survived.  A survivor that is none, since the
program does the same with it, stands in equivalent.txt with the reason.
"""

import argparse
import glob
import hashlib
import json
import os
import re
import resource
import shlex
import shutil
import signal
import subprocess
import sys
import threading
import time

HERE = os.path.dirname(os.path.abspath(__file__))
SOURCE = os.path.dirname(os.path.dirname(HERE))
sys.path.insert(0, os.path.join(SOURCE, "tests", "scripts"))
sys.dont_write_bytecode = True
import coverage  # noqa: E402

WORK = "mutants"
LIBRARY = os.path.join(WORK, "libmutant.so")
SOUND = os.path.join(WORK, "sound")
TOOK = os.path.join(WORK, "took.json")
RESULTS = os.path.join(WORK, "results.json")
EQUIVALENT = os.path.join(HERE, "equivalent.txt")

# What is there, and what it becomes; a group of its own is replaced.
WORDS = {"fmin": "fmax", "fmax": "fmin", "true": "false", "false": "true",
         "low": "high", "high": "low", "break": "continue"}
OPERATORS = {"<": "<=", "<=": "<", ">": ">=", ">=": ">", "==": "!=",
             "!=": "==", "&&": "||", "||": "&&", "+": "-", "-": "+",
             "*": "/", "/": "*", "+=": "-=", "-=": "+=", "*=": "/="}
PLACE = re.compile(
    r"(?<= )(?P<operator><=|>=|==|!=|&&|\|\||\+=|-=|\*=|<|>|\+|-|\*|/)(?= )"
    r"|\b(?P<word>%s)\b(?!\s*=[^=])"
    r"|(?<![\w.\"])(?P<figure>\d+(?:\.\d+)?(?:e-?\d+)?)(?![\w.])"
    % "|".join(WORDS))
# They run the command below another program, or look at the source.
LEFT_OUT = re.compile("valgrind|pages|forms|readme|lint|format|analyze|abi")


class Mutant:
    """A place, what stands there and what it becomes."""

    def __init__(self, path, number, line, match, nth):
        self.path, self.number = path, number
        self.start, self.end = match.start(), match.end()
        self.instead = other(match)
        # as it is printed, and listed in equivalent.txt
        self.name = "%s: %s%s -> %s: %s" % (
            path, match.group(), " #%d" % nth if nth > 1 else "",
            self.instead, line.strip())

    def drawn_at(self, seed):
        """Where in the order of all it is drawn."""
        return hashlib.sha256(("%d %s" % (seed, self.name)).encode()).digest()

    def lines(self):
        with open(os.path.join(SOURCE, self.path), encoding="utf-8") as file:
            return file.read().split("\n")

    def is_reached(self, known, ran):
        """Whether a run that came by some of the lines that have a count may
        come by this one: a statement of several lines has its count at the
        first, and what stands in no function is read anywhere in the file."""
        at = max((n for n in known if n <= self.number + 1), default=0)
        if any(line.startswith("}") for line in self.lines()[at:self.number]):
            return bool(ran)
        return at in ran

    def text(self):
        lines = self.lines()
        line = lines[self.number]
        lines[self.number] = line[:self.start] + self.instead + line[self.end:]
        return "\n".join(lines)


def other(match):
    """What stands there instead."""
    if match.group("operator"):
        return OPERATORS[match.group("operator")]
    if match.group("word"):
        return WORDS[match.group("word")]
    figure = match.group("figure")
    if figure.isdigit():
        return str(int(figure) + 1)
    return repr(float(figure) * 1.25)


def code_lines(text):
    """The lines with what is no code blanked out."""
    blank = lambda m: re.sub(r"[^\n]", " ", m.group())
    text = re.sub(r"/\*.*?\*/", blank, text, flags=re.S)
    text = re.sub(r'"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', blank, text)
    text = re.sub(r"^[ \t]*#.*?(?<!\\)$", blank, text, flags=re.S | re.M)
    return text.split("\n")


def places(only):
    """All that can be drawn."""
    found = []
    for path in sorted(glob.glob(os.path.join(SOURCE, "lib/**/*.c"),
                                 recursive=True)):
        name = os.path.relpath(path, SOURCE)
        if only and only not in name:
            continue
        with open(path, encoding="utf-8") as file:
            text = file.read()
        lines = text.split("\n")
        for number, line in enumerate(code_lines(text)):
            # what stands outside of a function declares
            if not line.startswith(" "):
                continue
            seen = {}
            for match in PLACE.finditer(line):
                nth = seen[match.group()] = seen.get(match.group(), 0) + 1
                found.append(Mutant(name, number, lines[number], match, nth))
    return found


def equivalents():
    """Those that make no difference, with the reasons."""
    found = {}
    name = None
    with open(EQUIVALENT, encoding="utf-8") as file:
        for line in file:
            if line.startswith("lib/"):
                name = line.strip()
                found[name] = ""
            elif name and line.startswith(" "):
                found[name] += " " + line.strip()
    bare = [name for name, reason in found.items() if not reason]
    if bare:
        raise SystemExit("no reason: " + "; ".join(bare))
    return found


def variables():
    """What the Makefile has: a dictionary of lists."""
    said = subprocess.run(
        ["make", "-s", "-f", "Makefile", "-f",
         os.path.join(HERE, "variables.mk"), "mutants-variables"],
        stdout=subprocess.PIPE, check=True, text=True).stdout
    found = {}
    for line in said.splitlines():
        key, _, value = line.partition("=")
        found.setdefault(key, []).append(shlex.split(value))
    return found


def run(arguments, seconds, environment):
    """Whether it succeeds within so many seconds of processor time, and says of
    nothing that it is not well: the first such line ends it."""
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_AS, (8 << 30, 8 << 30))
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    with subprocess.Popen(
            arguments, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL, preexec_fn=limit, env=environment,
            start_new_session=True) as process:
        def end():
            try:
                os.killpg(process.pid, signal.SIGKILL)
            except ProcessLookupError:
                pass
        timer = threading.Timer(10 * seconds + 30, end)
        timer.start()
        good = not any(line.startswith(b"not ok") for line in process.stdout)
        if not good:
            end()
        good = process.wait() == 0 and good
        timer.cancel()
        end()  # what it left
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return good, (after.ru_utime + after.ru_stime
                  - before.ru_utime - before.ru_stime)


class Bench:
    """The programs, and what they take of the sound library."""

    def __init__(self, slowest, pattern):
        found = variables()
        self.compile = found["compile"][0]
        self.link = found["link"][0]
        self.libs = found["libs"][0]
        self.objects = [os.path.join(os.path.dirname(o), ".libs",
                                     os.path.basename(o)[:-3] + ".o")
                        for o in found["objects"][0]]
        self.environment = dict(
            os.environ, LD_LIBRARY_PATH=os.path.abspath(WORK),
            srcdir=SOURCE, builddir=os.getcwd(), CK_FORK="no",
            CK_VERBOSITY="silent", CK_TAP_LOG_FILE_NAME="-",
            SOURCE_DATE_EPOCH="1700000000",
            FLUSHCALC=os.path.abspath(os.path.join(WORK, "flushcalc")))
        os.makedirs(SOUND, exist_ok=True)
        self.link_library(self.objects)
        shutil.copy(LIBRARY, SOUND)
        self.slowest = slowest
        self.came_by = self.read_coverage(pattern)
        self.tests = {}
        self.link_program("flushcalc", found["command"][0])
        for name, *objects in found["program"]:
            if name in self.came_by:
                self.tests[name] = [
                    "stdbuf", "-oL",
                    self.link_program(os.path.basename(name), objects)]
        for name in self.came_by:
            if name.endswith(".sh"):
                self.tests[name] = ["sh", os.path.join(SOURCE, name)]
        self.told = set()
        # of the sound library, or None: not within so many seconds
        self.took = read_json(TOOK)

    def read_coverage(self, pattern):
        """The lines that each test came by."""
        kept = os.path.join(WORK, "came-by.json")
        told = coverage.lines_by_test("coverage-build", read_json(kept))
        if not told:
            raise SystemExit("make coverage first")
        with open(kept, "w", encoding="utf-8") as file:
            json.dump(told, file)
        return {test: {name: (known, set(ran))
                       for name, (known, ran) in files.items()}
                for test, (_, files) in told.items()
                if re.search(pattern, test) and not LEFT_OUT.search(test)}

    def link_library(self, objects):
        subprocess.run(self.link + ["-shared", "-Wl,--strip-debug", "-o",
                                    LIBRARY + ".new"]
                       + objects + self.libs, check=True)
        os.replace(LIBRARY + ".new", LIBRARY)

    def link_program(self, short, objects):
        made = os.path.join(WORK, short)
        if not os.path.exists(made) or any(
                os.path.getmtime(o) > os.path.getmtime(made)
                for o in objects):
            subprocess.run(self.link + ["-o", made] + objects
                           + ["-L" + WORK, "-lmutant"] + self.libs,
                           check=True)
        return made

    def sound(self, test):
        """Whether it can be asked: it takes less than it may, and succeeds,
        where nothing is wrong."""
        took, of = self.took.get(test, (None, 0.0))
        if took is None and of < self.slowest:
            of = self.slowest + 1
            good, spent = run(
                self.tests[test], int(of),
                dict(self.environment, LD_LIBRARY_PATH=os.path.abspath(SOUND)))
            took = spent if good else None
            self.took[test] = took, of
            with open(TOOK, "w", encoding="utf-8") as file:
                json.dump(self.took, file, indent=1)
        if took is not None and took <= self.slowest:
            return True
        if test not in self.told:
            print("# left out: " + test, flush=True)
        self.told.add(test)
        return False

    def in_order(self, mutant):
        """The tests that come by it, the likeliest first."""
        base = os.path.basename(mutant.path)[:-2]
        folder = mutant.path.split("/")[-2]
        found = []
        for test in self.tests:
            known, ran = self.came_by[test].get(mutant.path, ([], set()))
            if not mutant.is_reached(known, ran) or not self.sound(test):
                continue
            words = os.path.basename(test).replace(".", "_").split("_")
            near = base in test or folder in words or any(
                word in words for word in base.split("_"))
            near = near or test == "tests/scripts/cases.sh"  # all reports
            found.append((self.took[test][0] * (0.3 if near else 1), test))
        return [test for _, test in sorted(found)]

    def made(self, mutant):
        """Its object, or None if the code is the same or none."""
        made = os.path.join(WORK, "mutant.o")
        stem = os.path.join(WORK, os.path.basename(mutant.path))
        with open(os.path.join(SOURCE, mutant.path),
                  encoding="utf-8") as file:
            sound = file.read()
        digests = []
        for text in sound, mutant.text():
            with open(stem, "w", encoding="utf-8") as file:
                file.write(text)
            if subprocess.run(self.compile + ["-w", "-g0", "-c", stem, "-o",
                                              made],
                              stderr=subprocess.DEVNULL,
                              check=False).returncode:
                break
            with open(made, "rb") as file:
                digests.append(hashlib.sha256(file.read()).digest())
        os.remove(stem)
        return made if len(set(digests)) == 2 else None

    def try_mutant(self, mutant):
        """None if it is none, else (what killed it or None, tests, seconds)."""
        of = "%s/.libs/libflushcalc_all_la-%s.o" % (
            os.path.dirname(mutant.path), os.path.basename(mutant.path)[:-2])
        if of not in self.objects:
            return None
        made = self.made(mutant)
        if made is None:
            return None
        self.link_library([made if o == of else o for o in self.objects])
        spent = 0
        tests = self.in_order(mutant)
        for k, test in enumerate(tests):
            good, seconds = run(self.tests[test],
                                int(5 * self.took[test][0]) + 2,
                                self.environment)
            spent += seconds
            if not good:
                return test, k + 1, spent
        return None, len(tests), spent


def read_json(path):
    """What was written there; nothing was: nothing."""
    try:
        with open(path, encoding="utf-8") as file:
            return json.load(file)
    except FileNotFoundError:
        return {}


def tell(number, mutant, outcome, reasons):
    by, tests, spent = outcome
    said = ("killed by %s" % by if by else
            "no difference" if mutant.name in reasons else "SURVIVED")
    print("%3d %s  [line %d]\n    %s (%d tests, %.0f s)" % (
        number, mutant.name, mutant.number + 1, said, tests, spent),
        flush=True)


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--count", type=int, default=300)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--minutes", type=float, default=1e9)
    options.add_argument("--slowest", type=float, default=20)
    options.add_argument("--only")
    options.add_argument("--tests", default="")
    options.add_argument("--retry", action="store_true")
    chosen = options.parse_args()
    drawn = sorted(places(chosen.only), key=lambda m: m.drawn_at(chosen.seed))
    reasons = equivalents()
    known = {m.name for m in drawn}
    if not chosen.only:
        for name in sorted(set(reasons) - known):
            print("# equivalent.txt has what is not there: " + name)
    begun = time.time()
    bench = Bench(chosen.slowest, chosen.tests)
    print("# %d places; %d tests" % (len(drawn), len(bench.tests)))
    results = read_json(RESULTS)
    told = []
    for mutant in drawn:
        if (len(told) >= chosen.count
                or time.time() - begun > 60 * chosen.minutes):
            break
        outcome = results.get(mutant.name, 0)
        if outcome == 0 or (chosen.retry and outcome and not outcome[0]
                            and mutant.name not in reasons):
            outcome = results[mutant.name] = bench.try_mutant(mutant)
            with open(RESULTS, "w", encoding="utf-8") as file:
                json.dump(results, file, indent=1)
        if outcome is None:
            continue
        told.append((mutant, outcome))
        tell(len(told), mutant, outcome, reasons)
    bench.link_library(bench.objects)
    killed = sum(1 for _, outcome in told if outcome[0])
    same = sum(1 for m, outcome in told
               if not outcome[0] and m.name in reasons)
    print("%d faults, %d killed (%.1f %%), %d make no difference, %d survived"
          % (len(told), killed, 100.0 * killed / max(1, len(told)), same,
             len(told) - killed - same))
    return 0


sys.exit(main())
