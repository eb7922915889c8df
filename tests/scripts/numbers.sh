#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/numbers.sh -- every number that a report shows to people is a
# number of its data: of the text of one screen, with --full, and of the page.
#
# A row is a report: its command, then the words behind it.  A report whose data
# are not described by the schema yet is skipped.  tests/pages/told_numbers.py
# compares.
set -u
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
LC_ALL=C
SOURCE_DATE_EPOCH=1700000000
export LC_ALL SOURCE_DATE_EPOCH
compare=$(cd "$srcdir/tests/pages" && pwd)/told_numbers.py || exit 99
work=$(mktemp -d) || exit 99
trap 'rm -rf "$work"' EXIT
cd "$srcdir" || exit 99
command -v python3 >/dev/null || {
    echo "1..0 # SKIP no python3"
    exit 0
}

rows='
path examples/clinic.ini women-wc-6
path examples/clinic.ini women-wc-6 --state existing
path examples/clinic.ini women-wc-6 --units si
path examples/clinic.ini men-lav-1
path examples/library.ini wc-3
path examples/school.ini upstairs-wc
path examples/school.ini upstairs-wc --darcy
path examples/tower.ini low-wc-3
path tests/cases/tank.ini urinal
path tests/cases/unknown.ini wc
verify examples/library.ini
verify examples/library.ini --units si
verify examples/library.ini --record
verify tests/cases/claimed.ini
verify tests/cases/claimed.ini --units si
verify tests/corpus/claim.ini
verify tests/corpus/reading-open.ini
verify tests/cases/near.ini
verify tests/cases/near.ini --record
check examples/clinic.ini
check examples/clinic.ini --units si
check examples/library.ini
check examples/block.ini
check examples/school.ini
check tests/cases/tank.ini
check tests/cases/unknown.ini
check tests/cases/works.ini
flush examples/clinic.ini women-wc-6:3
flush examples/school.ini upstairs-wc:2
flush examples/school.ini upstairs-wc:2 --units si
flush tests/cases/shared.ini --all
effects examples/clinic.ini
effects examples/farm-school.ini
size examples/sizing.ini
size examples/sizing.ini --units si
size tests/cases/chosen.ini
size tests/cases/priced.ini
'

count=0
result() {
    count=$((count + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $count - $2"
    else
        echo "not ok $count - $2"
        sed 's/^/# /' "$work/why"
    fi
}

# form NAME ARGUMENT...: one form of the report at hand; status 2 is none.
form() {
    name=$1
    shift
    "$FLUSHCALC" "$@" >"$work/$name" 2>"$work/why"
    [ $? -ne 2 ]
}

# shellcheck disable=SC2086 # words are meant
compare() {
    form data "$@" --format json &&
        form brief "$@" &&
        form full "$@" --full &&
        form page.html "$@" --format html &&
        python3 "$compare" "$1" "$work/data" "$work/brief" "$work/full" \
            "$work/page.html" >"$work/why" 2>&1
}

while read -r words; do
    [ -n "$words" ] || continue
    # shellcheck disable=SC2086 # words are meant
    compare $words
    status=$?
    case "$status ${words%% *}" in
    "0 "* | *" path" | *" verify")
        result "$status" "$words" ;;
    *)
        count=$((count + 1))
        echo "ok $count - $words # SKIP $(wc -l <"$work/why") found nowhere"
        sed 's/^/# /' "$work/why" ;;
    esac
done <<END
$rows
END

# The comparison itself: 97.31 is no number of these data, nor is 43.1 where
# they have 44.0 alone.
"$FLUSHCALC" verify examples/library.ini --format json >"$work/data"
"$FLUSHCALC" verify examples/library.ini >"$work/brief"
for change in 's/37\.3/97.31/' 's/ 44\.0 / 43.1 /'; do
    sed "$change" "$work/brief" >"$work/changed"
    ! python3 "$compare" verify "$work/data" "$work/changed" >"$work/why"
    result $? "a stranger is found: $change"
done
echo "1..$count"
