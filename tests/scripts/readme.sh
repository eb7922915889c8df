#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/readme.sh -- what README.md shows is what the command does:
# its site file gives its report, and every command it names runs.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
readme=$srcdir/README.md

# verdict NUMBER NAME STATUS: 0 is good.
verdict() {
    if [ "$3" -eq 0 ]; then
        echo "ok $1 - $2"
    else
        echo "not ok $1 - $2"
        sed 's/^/# /' "$work/why" 2>/dev/null
    fi
}

# The indented block whose first line matches.
block() {
    awk -v start="$1" '
        !on && index($0, "    " start) == 1 { on = 1 }
        on && !/^    / && NF { exit }
        on { sub(/^    /, ""); print }' "$readme"
}

commands=$(sed -n 's/^    flushcalc \(.*examples.*\|tables.*\)/\1/p' "$readme")
count=$(echo "$commands" | wc -l)
echo "1..$((count + 11))"

block '[site]' >"$work/shop.ini"
block 'Invented shop' | sed -e '$ { /^$/d }' >"$work/expected"
"$FLUSHCALC" check "$work/shop.ini" 2>"$work/why" |
    head -n "$(wc -l <"$work/expected")" >"$work/report"
[ -s "$work/expected" ] &&
    diff "$work/expected" "$work/report" >>"$work/why"
verdict 1 "the site file shown gives the report shown" $?

# What is shown of other reports: a part that stands in each of them.
# part NUMBER FIRST-LINE ARGUMENT...
part() {
    number=$1
    block "$2" | sed -e '$ { /^$/d }' >"$work/expected"
    first=$2
    shift 2
    (cd "$srcdir" && "$FLUSHCALC" "$@") 2>"$work/why" |
        awk -v first="$first" '$0 == first { on = 1 } on' |
        head -n "$(wc -l <"$work/expected")" >"$work/report"
    [ -s "$work/expected" ] &&
        diff "$work/expected" "$work/report" >>"$work/why"
    verdict "$number" "flushcalc $* gives what is shown of it" $?
}
part 2 'How many may flush at once' check examples/clinic.ini
part 3 'The valves that flush' flush examples/school.ini upstairs-wc:2 \
    --state existing
part 4 'SIZES FOUND for 14 pipes: 746.5 inch-feet; none cost less.' \
    size examples/sizing.ini
part 5 'By hand: uniform friction loss' size examples/sizing.ini
part 6 '  5. Put one in the place of rp that takes 5.9 psi at peak at most, where it' \
    size examples/clinic.ini --remedy
part 7 'The claims' verify examples/library.ini
part 8 'NARROWED DOWN: most likely partly plugged, scaled or smaller than entered from' \
    diagnose examples/school.ini

# The plumber goes on with a reading and looks that are shown behind it.
block '[reading bibb-both]' >"$work/more.ini"
cat "$srcdir/examples/school.ini" "$work/more.ini" >"$work/school.ini"
part 9 'FOUND: the valve in pipe wing partly closed: about 31 psi more lost with both' \
    diagnose "$work/school.ini"

# And came to a file without readings.
sed '/^; The complaint/,$d' "$srcdir/examples/school.ini" >"$work/unread.ini"
part 10 'The first visit, with what the file gives' diagnose "$work/unread.ini"

grep -v '^residual' "$work/shop.ini" >"$work/untested.ini"
part 11 \
    'CANNOT TELL whether it works after the retrofit: 2 of 2 fixtures are in doubt;' \
    check "$work/untested.ini"

number=11
echo "$commands" | while IFS= read -r line; do
    number=$((number + 1))
    # shellcheck disable=SC2046 # words are meant
    (cd "$srcdir" && "$FLUSHCALC" $(echo "$line" |
        sed "s,\(--output\|--write\) ,&$work/,")) \
        >"$work/out" 2>"$work/why"
    [ $? -ne 2 ] && { [ -s "$work/out" ] || [ -s "$work/clinic.json" ]; }
    verdict "$number" "flushcalc $line" $?
done
