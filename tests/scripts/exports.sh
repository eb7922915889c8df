#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/exports.sh -- the library exports its public names only, calls
# nothing that prints, exits, aborts or changes the locale, and its header keeps
# what it promises: its version, and structs that can grow.
set -u
build=$builddir
echo 1..5

# verdict NUMBER NAME LINES: no line is good.
verdict() {
    if [ -z "$3" ]; then
        echo "ok $1 - $2"
    else
        echo "not ok $1 - $2"
        echo "$3" | sed 's/^/# /'
    fi
}

header() { cat "$srcdir"/lib/flushcalc/*.h; }

shared=$(find "$build/lib/.libs" -name 'libflushcalc.so' 2>/dev/null)
if [ -n "$shared" ]; then
    names=$(nm -D --defined-only "$shared" | awk '{ print $3 }')
    verdict 1 "only fc_ names are exported" \
        "$(echo "$names" | grep -v '^fc_'; [ -n "$names" ] || echo none)"
    missing=$(header | sed -n 's/.*[ *]\(fc_[a-z_]*\)(.*/\1/p' |
        sort -u | while read -r name; do
        echo "$names" | grep -qx "$name" || echo "$name is not exported"
    done)
    verdict 2 "every function of the header is exported" "$missing"
else
    echo "ok 1 - only fc_ names are exported # SKIP no shared library"
    echo "ok 2 - every function of the header is exported # SKIP likewise"
fi

archive=$build/lib/.libs/libflushcalc-all.a
called=$(nm -u "$archive" 2>&1 | awk 'NF == 2 { print $2 }' | sort -u)
# Reports are written to memory: what prints to a stream is called, but no
# stream of the host's; uselocale() by lib/ground/plain_print.c, for one thread
# and a moment.
bad='exit _exit abort printf vprintf puts putchar perror setlocale
stdout stderr __printf_chk __vprintf_chk __assert_fail'
found=$(for name in $bad; do echo "$called" | grep -x "$name"; done)
verdict 3 "nothing that prints, exits or sets the locale is called" \
    "$found$(echo "$called" | grep -qx malloc || echo 'no symbols read')"

part() { header | sed -n "s/^#define FC_VERSION_$1 //p"; }
of_header=$(part MAJOR).$(part MINOR).$(part PATCH)
of_build=$(sed -n 's/^Version: //p' "$build/lib/flushcalc.pc")
verdict 4 "the header has the version of configure.ac" "$(
    [ -n "$of_build" ] && [ "$of_header" = "$of_build" ] &&
        header | grep -qx "#define FC_VERSION \"$of_build\"" ||
        echo "the header says $of_header, configure.ac $of_build")"

# A struct that a caller makes, or that stands in an array or in another, cannot
# grow but by its room.  These are whole as they are:
whole=' fc_range fc_point fc_fitting fc_floor fc_price fc_deviation fc_flushing fc_spell fc_chance
fc_table_line fc_basis fc_gauge_shown fc_quoted_minimum '
# and these come from the library alone, as the header says:
results=' fc_check_result fc_flush_result fc_path fc_size_result fc_remedies
fc_verify_result fc_diagnosis fc_quick_result fc_checked_sites
fc_sweep_result fc_comparison '
verdict 5 "every struct of the header can grow, or is whole" "$(
    header | awk -v others="$whole$results" '
    BEGIN { n = split(others, list); for (i = 1; i <= n; i++) other[list[i]] }
    /^typedef struct fc_[a-z_]* \{$/ { name = $3; room = 0; seen++ }
    /^    FC_ROOM\([0-9]+\);$/ { room = 1; rooms++ }
    /^} fc_[a-z_]*;$/ && name != "" {
        if (room == (name in other))
            print name (room ? " needs no room" : " has no room")
        name = ""
    }
    END { if (seen < 50 || rooms < 40) print "structs: " seen ", rooms: " rooms }
    ')"
