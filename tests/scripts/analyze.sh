#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/analyze.sh [all] -- what clang-tidy (.clang-tidy has what it
# looks for, and what not, and why) and gcc -fanalyzer say of lib/ and cli/:
# nothing.  A file takes them some four seconds together, all of them a quarter
# of an hour on two cores: without "all" they look at what reads the files and
# words of strangers.  Prints TAP.
set -u
: "${srcdir:?the top of the sources}"
cd "$srcdir" || exit 99

folders='lib/ini lib/ground cli/shell'
[ "${1-}" != all ] || folders='lib cli'
# shellcheck disable=SC2086 # a list of words is meant
files=$(find $folders -name '*.c' | sort)
[ -n "$files" ] || exit 99
flags="-std=c11 -D_POSIX_C_SOURCE=200809L -Ilib -Icli -DFCI_VERSION=FC_VERSION
    $(pkg-config --cflags libxml-2.0 gsl 2>/dev/null)"

number=0
# verdict NAME COMPLAINTS: none is good.
verdict() {
    number=$((number + 1))
    if [ -z "$2" ]; then
        echo "ok $number - $1"
    else
        echo "not ok $number - $1"
        echo "$2" | head -n 100 | sed 's/^/# /'
    fi
}

# each PROGRAM ARGUMENT...: of each file, two at a time.
each() {
    echo "$files" | xargs -P "$(nproc)" -I FILE "$@" 2>&1
}

echo 1..2
if command -v clang-tidy >/dev/null; then
    # shellcheck disable=SC2086 # words are meant
    verdict "clang-tidy" "$(each clang-tidy -quiet FILE -- $flags |
        grep -A 3 -E '(warning|error):')"
else
    verdict "clang-tidy # SKIP no clang-tidy" ""
fi
# Of pointers that are NULL, values that were not set and memory that leaks it
# knows too little across files and through structs: the suite has valgrind, the
# sanitizers and allocations that fail.
guesses="-Wno-analyzer-null-dereference -Wno-analyzer-possible-null-argument
    -Wno-analyzer-use-of-uninitialized-value -Wno-analyzer-malloc-leak
    -Wno-analyzer-possible-null-dereference"
if gcc -fanalyzer -E -x c /dev/null >/dev/null 2>&1; then
    # shellcheck disable=SC2086 # words are meant
    verdict "gcc -fanalyzer" "$(each gcc -fanalyzer $guesses $flags -c \
        -o /dev/null FILE | grep -A 3 -E '(warning|error):')"
else
    verdict "gcc -fanalyzer # SKIP it has none" ""
fi
