#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/readme.sh -- what README.md shows is what the command does:
# its site files give its reports, its program compiles, and every command it
# names runs.
set -u
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
readme=$srcdir/README.md
number=0

# verdict NAME STATUS: 0 is good.
verdict() {
    number=$((number + 1))
    if [ "$2" -eq 0 ]; then
        echo "ok $number - $1"
    else
        echo "not ok $number - $1"
        sed 's/^/# /' "$work/why" 2>/dev/null
    fi
}

# The indented block whose first line begins so, its last blank lines left out.
block() {
    awk -v start="$1" '
        !on && index($0, "    " start) == 1 { on = 1 }
        on && !/^    / && NF { exit }
        on && !NF { blank = blank "\n"; next }
        on { sub(/^    /, ""); printf "%s%s\n", blank, $0; blank = "" }
        ' "$readme"
}

# shown EXPECTED REPORT: says what of the first is not in the second.  Both are
# in this order, `...' standing for any lines of the report.
shown() {
    awk 'FNR == NR { want[++n] = $0; next }
        { got[++m] = $0 }
        function part(from, to,  at, i) {
            for (at = next_line; at + to - from <= m; at++) {
                for (i = from; i <= to && want[i] == got[at + i - from]; i++)
                    ;
                if (i > to) {
                    next_line = at + to - from + 1
                    return
                }
                if (i > most) most = i
            }
            print "not in the report: " want[most]
            bad = 1
            exit 1
        }
        END {
            if (bad)
                exit 1
            next_line = 1
            from = most = 1
            for (k = 1; k <= n + 1; k++)
                if (k > n || want[k] == "...") {
                    part(from, k - 1)
                    from = most = k + 1
                }
            exit n == 0
        }' "$1" "$2"
}

# The files that its reader has or makes.
cp -r "$srcdir/examples" "$work/examples" && chmod -R u+w "$work" || exit 1
cd "$work" || exit 1
block '[site]' >shop.ini
grep -v '^residual' shop.ini >untested.ini
sed '/The complaint/,$d' examples/school.ini >visit.ini
{
    cat examples/school.ini
    block '[reading bibb-both]'
} >again.ini
# shellcheck disable=SC2046 # words are meant
"$FLUSHCALC" new $(sed -n 's/^    \$ flushcalc new //p' "$readme") >building.ini

# What is shown of a report, below the command that gives it.
sed -n 's/^    \$ flushcalc //p' "$readme" >quoted
while IFS= read -r line; do
    block "\$ flushcalc $line" | sed 1d >expected
    # shellcheck disable=SC2086 # words are meant
    "$FLUSHCALC" $line >report 2>why </dev/null
    shown expected report >>why
    verdict "flushcalc $line gives what is shown of it" $?
done <quoted
[ "$(grep -c . quoted)" -ge 8 ] 2>why
verdict "reports are shown" $?

# Commands without what they print.
sed -n 's/^    flushcalc //p' "$readme" >commands
while IFS= read -r line; do
    rm -f out ./*.html ./*.json ./*.csv
    # shellcheck disable=SC2086 # words are meant
    "$FLUSHCALC" $line >out 2>why </dev/null
    [ $? -ne 2 ] && [ -n "$(find . -maxdepth 1 \( -name out -o -name '*.html' \
        -o -name '*.json' -o -name '*.csv' \) -size +0)" ]
    verdict "flushcalc $line" $?
done <commands
[ "$(grep -c . commands)" -ge 15 ] 2>why
verdict "commands are named" $?

block '#include <flushcalc.h>' >page.c
cc=${CC:-}
[ -n "$cc" ] || cc=$(command -v gcc || command -v cc || command -v clang)
# shellcheck disable=SC2086 # a compiler and its options
$cc -std=c11 -Wall -Wextra -Werror -fsyntax-only -I"$srcdir/lib" page.c \
    >why 2>&1 && grep -q fc_report_write page.c
verdict "the program compiles" $?
echo "1..$number"
