#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/exports.sh -- the library exports its public names only, and
# calls nothing that prints, exits, aborts or changes the locale.
set -u
build=$builddir
echo 1..3

# verdict NUMBER NAME LINES: no line is good.
verdict() {
    if [ -z "$3" ]; then
        echo "ok $1 - $2"
    else
        echo "not ok $1 - $2"
        echo "$3" | sed 's/^/# /'
    fi
}

shared=$(find "$build/lib/.libs" -name 'libflushcalc.so' 2>/dev/null)
if [ -n "$shared" ]; then
    names=$(nm -D --defined-only "$shared" | awk '{ print $3 }')
    verdict 1 "only fc_ names are exported" \
        "$(echo "$names" | grep -v '^fc_'; [ -n "$names" ] || echo none)"
    missing=$(sed -n 's/.*[ *]\(fc_[a-z_]*\)(.*/\1/p' \
        "$srcdir/lib/flushcalc.h" | sort -u | while read -r name; do
        echo "$names" | grep -qx "$name" || echo "$name is not exported"
    done)
    verdict 2 "every function of the header is exported" "$missing"
else
    echo "ok 1 - only fc_ names are exported # SKIP no shared library"
    echo "ok 2 - every function of the header is exported # SKIP likewise"
fi

archive=$build/lib/.libs/libflushcalc-all.a
called=$(nm -u "$archive" 2>&1 | awk 'NF == 2 { print $2 }' | sort -u)
bad='exit _exit abort printf fprintf vprintf vfprintf puts fputs putchar
perror setlocale uselocale stdout stderr __printf_chk __fprintf_chk
__vprintf_chk __vfprintf_chk __assert_fail'
found=$(for name in $bad; do echo "$called" | grep -x "$name"; done)
verdict 3 "nothing that prints, exits or sets the locale is called" \
    "$found$(echo "$called" | grep -qx malloc || echo 'no symbols read')"
