#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""tests/mutants/mutants.py -- whether the tests notice what is wrong in lib/.

  cd BUILD; python3 SOURCE/tests/mutants/mutants.py [--count 300] [--seed 1]
      [--minutes M] [--slowest S] [--only PATH] [--tests PATTERN]

Draws that many places of lib/ at which an operator, a comparison or a constant
can be another, and with each of these faults alone runs the tests until one
fails: first those that name the header of the file or its folder, then the
others, the quickest first.  A test that takes five times its time has failed.
What compiles to the same code is no fault and is drawn again.  The programs are
linked to a shared library of all objects, so that a fault takes one compilation
and one link.  Prints a line for each and writes mutants/results.txt; tests that
take more than S seconds of processor time are left out.  The same seed draws
the same faults of the same source.
"""

import argparse
import glob
import hashlib
import os
import random
import re
import resource
import shlex
import shutil
import subprocess
import sys
import time

HERE = os.path.dirname(os.path.abspath(__file__))
SOURCE = os.path.dirname(os.path.dirname(HERE))
WORK = "mutants"
LIBRARY = os.path.join(WORK, "libmutant.so")
SOUND = os.path.join(WORK, "sound")

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
# Tests of how long things take, or of memory that runs out, which replace
# malloc, see no other fault than the rest.
LEFT_OUT = ("memory", "allocation")


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
    """All places, as (file, line number, start, end, instead)."""
    found = []
    for path in sorted(glob.glob(os.path.join(SOURCE, "lib/**/*.c"),
                                 recursive=True)):
        name = os.path.relpath(path, SOURCE)
        if only and only not in name:
            continue
        with open(path, encoding="utf-8") as file:
            lines = code_lines(file.read())
        for number, line in enumerate(lines):
            # what stands outside of a function declares
            if not line.startswith(" "):
                continue
            found += [(name, number, m.start(), m.end(), other(m))
                      for m in PLACE.finditer(line)]
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
    """Whether it succeeds within so many seconds of processor time."""
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_AS, (8 << 30, 8 << 30))
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    try:
        status = subprocess.run(
            arguments, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL, preexec_fn=limit, env=environment,
            timeout=20 * seconds + 60, check=False).returncode
    except subprocess.TimeoutExpired:
        status = -1
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return status == 0, (after.ru_utime + after.ru_stime
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
            CK_VERBOSITY="silent", SOURCE_DATE_EPOCH="1700000000",
            FLUSHCALC=os.path.abspath(os.path.join(WORK, "flushcalc")))
        os.makedirs(WORK, exist_ok=True)
        self.link_library(self.objects)
        self.tests = {}
        self.link_program("flushcalc", found["command"][0])
        candidates = [("cases.sh", [
            "sh", "-c", "! sh %s/tests/scripts/cases.sh | grep -q '^not ok'"
            % SOURCE])]
        for name, *objects in found["program"]:
            if any(word in name for word in LEFT_OUT):
                continue
            short = os.path.basename(name)
            self.link_program(short, objects)
            candidates.append((short, [os.path.join(WORK, short)]))
        self.headers = {}
        self.slowest = slowest
        self.tests = {short: arguments for short, arguments in candidates
                      if re.search(pattern, short)}
        self.rank = [short for short, _ in candidates[1:] + candidates[:1]]
        self.took = {}  # of the sound library; None: too long, or it fails
        os.makedirs(SOUND, exist_ok=True)
        shutil.copy(LIBRARY, SOUND)
        self.read_headers(found["program"])

    def link_library(self, objects):
        subprocess.run(self.link + ["-shared", "-o", LIBRARY + ".new"]
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

    def sound(self, short):
        """What a test takes where nothing is wrong, asked once."""
        if short not in self.took:
            good, took = run(
                self.tests[short], int(self.slowest) + 1,
                dict(self.environment, LD_LIBRARY_PATH=os.path.abspath(SOUND)))
            self.took[short] = took if good else None
            if not good:
                print("# left out: %s" % short, flush=True)
        return self.took[short]

    def read_headers(self, programs):
        """What each test includes of lib/."""
        for name, *objects in programs:
            text = ""
            for o in objects:
                base = re.sub(r"^check_\w+-(?=\w)", "", os.path.basename(o))
                base = os.path.splitext(base)[0].split("-")[-1] + ".c"
                path = os.path.join(SOURCE, os.path.dirname(o), base)
                if os.path.exists(path):
                    with open(path, encoding="utf-8") as file:
                        text += file.read()
            self.headers[os.path.basename(name)] = set(
                re.findall(r'#include "(\w+/\w+\.h)"', text))

    def in_order(self, path):
        """The tests, the likeliest first."""
        folder, base = path.split("/")[-2:]
        stem = base[:-2]

        def key(short):
            headers = self.headers.get(short, ())
            words = set(short.replace(".", "_").split("_"))
            near = (0 if "%s/%s.h" % (folder, stem) in headers
                    or stem in short else
                    1 if any(h.startswith(folder + "/") for h in headers)
                    or words & set(stem.split("_")) or folder in short else 2)
            # the Makefile has the longest first
            guess = 1 + 0.1 * (len(self.rank) - self.rank.index(short))
            took = self.took.get(short, guess) or 0
            return (near if took < 3 else near + 1, took)
        return sorted(self.tests, key=key)

    def try_mutant(self, mutant):
        """None if it is none, else (what killed it or None, seconds)."""
        path, number, start, end, instead = mutant
        with open(os.path.join(SOURCE, path), encoding="utf-8") as file:
            lines = file.read().split("\n")
        line = lines[number]
        lines[number] = line[:start] + instead + line[end:]
        stem = os.path.basename(path)
        mutated = os.path.join(WORK, stem)
        with open(mutated, "w", encoding="utf-8") as file:
            file.write("\n".join(lines))
        made = os.path.join(WORK, "mutant.o")
        if subprocess.run(self.compile + ["-w", "-g0", "-c", mutated, "-o",
                                          made],
                          stderr=subprocess.DEVNULL, check=False).returncode:
            return None
        sound = os.path.join(WORK, "sound.o")
        shutil.copy(os.path.join(SOURCE, path), mutated)
        subprocess.run(self.compile + ["-w", "-g0", "-c", mutated, "-o",
                                       sound], check=True)
        os.remove(mutated)
        if digest(made) == digest(sound):
            return None
        of = "%s/.libs/libflushcalc_all_la-%s.o" % (
            os.path.dirname(path), stem[:-2])
        if of not in self.objects:
            return None
        self.link_library([made if o == of else o for o in self.objects])
        spent = 0
        for short in self.in_order(path):
            took = self.sound(short)
            if took is None:
                continue
            good, seconds = run(self.tests[short], int(5 * took) + 2,
                                self.environment)
            spent += seconds
            if not good:
                return short, spent
        return None if spent == 0 else (None, spent)


def digest(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).digest()


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--count", type=int, default=300)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--minutes", type=float, default=1e9)
    options.add_argument("--slowest", type=float, default=60)
    options.add_argument("--only")
    options.add_argument("--tests", default="")
    chosen = options.parse_args()
    drawn = places(chosen.only)
    random.Random(chosen.seed).shuffle(drawn)
    begun = time.time()
    bench = Bench(chosen.slowest, chosen.tests)
    print("# %d places; %d tests" % (len(drawn), len(bench.tests)))
    tried = killed = 0
    with open(os.path.join(WORK, "results.txt"), "w",
              encoding="utf-8") as results:
        for mutant in drawn:
            if tried >= chosen.count:
                break
            if time.time() - begun > 60 * chosen.minutes:
                break
            outcome = bench.try_mutant(mutant)
            if outcome is None:
                continue
            by, spent = outcome
            tried += 1
            killed += by is not None
            path, number, start, end, instead = mutant
            with open(os.path.join(SOURCE, path), encoding="utf-8") as file:
                line = file.read().split("\n")[number]
            said = "%s:%d:%d: %s -> %s: %s (%.0f s)\n    %s\n" % (
                path, number + 1, start + 1, line[start:end], instead,
                "killed by " + by if by else "SURVIVED", spent, line.strip())
            for file in (results, sys.stdout):
                file.write(said)
                file.flush()
    bench.link_library(bench.objects)
    print("%d faults, %d killed (%.1f %%), %d survived" % (
        tried, killed, 100.0 * killed / max(1, tried), tried - killed))
    return 0


sys.exit(main())
