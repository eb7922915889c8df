#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/quick.sh -- first answers as a plumber would ask for them: each
# command of tests/quick/answers.txt prints what stands below it there and ends
# with that status.  What stands there is golden: what the program printed, and
# a person read.  Then, on a terminal, the questions.  Prints TAP.
#
#   FLUSHCALC  the command to test
#   srcdir     the top of the sources
#
# With ANSWERS set to a file, what the commands print now is written there.
set -u
LC_ALL=C
export LC_ALL
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
work=$(mktemp -d "${TMPDIR:-/tmp}/flushcalc-quick.XXXXXX") || exit 99
trap 'rm -rf "$work"' EXIT
trap 'exit 99' HUP INT TERM
golden=$srcdir/tests/quick/answers.txt
count=0
bad=0

# verdict STATUS NAME
verdict() {
    count=$((count + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $count - $2"
    else
        bad=1
        echo "not ok $count - $2"
        sed 's/^/# /' "$work/why"
    fi
}

# Split at the commands: $work/1.asked and $work/1.told, ...
awk -v work="$work" '
    /^\$ quick / { n++; print substr($0, 9) > (work "/" n ".asked"); next }
    n { print > (work "/" n ".told") }
    END { print n > (work "/n") }' "$golden"
n=$(cat "$work/n")
[ "$n" -ge 30 ]
verdict $? "there are $n answers"
i=0
while [ "$i" -lt "$n" ]; do
    i=$((i + 1))
    asked=$(cat "$work/$i.asked")
    eval "\"\$FLUSHCALC\" quick $asked" >"$work/told" 2>&1 </dev/null
    printf 'status %d\n\n' $? >>"$work/told"
    if [ -n "${ANSWERS:-}" ]; then
        { printf '$ quick %s\n' "$asked" && cat "$work/told"; } >>"$ANSWERS"
        continue
    fi
    diff "$work/$i.told" "$work/told" >"$work/why"
    verdict $? "quick $asked"
    awk '/^status /{ exit } length > 40 && !/^(flushcalc|quick): / { print }
        END { if (NR > 21) print NR " lines" }' "$work/told" >"$work/why"
    [ ! -s "$work/why" ]
    verdict $? "at most 20 lines of 40 columns"
done

# On a terminal: a wrong answer is asked again, an empty one is not known, and
# the end of the input ends it; the questions are no part of the report.
if command -v script >/dev/null 2>&1 &&
    script -qec true /dev/null >/dev/null 2>&1 </dev/null; then
    {
        printf '52\n16ft\n45 gpm\n45\n20\n9\n'
        sleep 1
        printf '\004'
        sleep 1
    } | script -qec "'$FLUSHCALC' quick >'$work/report'" /dev/null \
        >"$work/asked" 2>&1
    "$FLUSHCALC" quick main=52 up=16ft still=45 one=20 two=9 |
        diff - "$work/report" >"$work/why"
    verdict $? 'figures that are asked for give the same report'
    grep -q 'still: "45 gpm" is a flow' "$work/asked" &&
        [ "$(grep -c 'Static pressure at the valve' "$work/asked")" -eq 2 ]
    verdict $? 'a wrong answer is told why and asked again'
else
    count=$((count + 1))
    echo "ok $count - questions on a terminal # SKIP no script here"
fi
echo "1..$count"
exit $bad
