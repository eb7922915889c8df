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
# A folder at a time: of all together cppcheck looks for what one file does with
# what another has, which takes longer than the rest and is said above not to be
# its strength.
command -v cppcheck >/dev/null && cppcheck_by_folder() {
    find lib cli -name '*.c' -printf '%h\n' | sort -u |
        xargs -P "$(nproc)" -n 1 cppcheck --quiet --error-exitcode=1 \
        --std=c11 --inline-suppr --enable=warning,performance,portability \
        --suppress=uninitvar --suppress=legacyUninitvar \
        --suppress=ctuuninitvar --suppress=nullPointerRedundantCheck \
        --suppress=nullPointerOutOfMemory \
        --suppress=normalCheckLevelMaxBranches -I lib
}
try 2 cppcheck_by_folder
