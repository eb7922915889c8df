#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/lint.sh -- what shellcheck says of the scripts, and cppcheck of the C
# files: nothing.  Whether a value is set before it is used, and a pointer
# checked in time, cppcheck guesses wrong across loops and files: for that the
# suite has valgrind, the sanitizers and allocations that fail.
set -u
cd "$srcdir" || exit 1

# try NUMBER PROGRAM ARGUMENT...: it has no complaint.
try() {
    number=$1
    shift
    if ! command -v "$1" >/dev/null; then
        echo "ok $number - $1 # SKIP no $1"
    elif complaints=$("$@" 2>&1); then
        echo "ok $number - $1"
    else
        echo "not ok $number - $1"
        echo "$complaints" | sed 's/^/# /'
    fi
}

echo 1..2
# srcdir and builddir come from make; test -nt is known to dash as to bash; the
# status of a condition is what is meant.
# shellcheck disable=SC2046 # a list of files is meant
try 1 shellcheck -x -S warning -e SC2154,SC3013,SC2319 \
    $(find tests -name '*.sh') .ci/run tests/run examples/first-check
try 2 cppcheck --quiet --error-exitcode=1 --std=c11 --inline-suppr \
    --enable=warning,performance,portability -j "$(nproc)" \
    --suppress=uninitvar --suppress=legacyUninitvar \
    --suppress=ctuuninitvar --suppress=nullPointerRedundantCheck \
    --suppress=nullPointerOutOfMemory \
    --suppress=normalCheckLevelMaxBranches -I lib lib cli
