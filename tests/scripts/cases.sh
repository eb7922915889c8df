#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/cases.sh -- whole reports of a few small sites, byte for byte.
#
# tests/cases/NAME.ini must give NAME.txt, and where they are there
# NAME.full.txt (with --full), NAME.json and NAME.path.txt, with the exit status
# in NAME.status.  NAME.flush holds the
# exit status of `flush` and what stands behind its site; that must give
# NAME.flush.txt, and NAME.flush.json where it is there; likewise NAME.size and
# `size`, NAME.effects and `effects`, NAME.remedy and `size --remedy`,
# NAME.verify and `verify`, NAME.record and `verify --record`, NAME.diagnose and
# `diagnose`, NAME.sheet and `diagnose --sheet`, NAME.compare and `compare`,
# NAME.sweep and `check --sweep`;
# NAME.KIND.full.txt is the same with `--full`, NAME.KIND.csv with `--format
# csv`.  A report of which something could not be calculated says that on
# standard error too, as NAME.KIND.err has it.  What figures these reports must
# show is worked out apart from the program, by the files *.awk there.  A record
# tells the file's path, so that all commands run in that folder.
set -u
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
LC_ALL=C
export LC_ALL
cases=$(cd "$srcdir/tests/cases" && pwd) || exit 99
cd "$cases" || exit 99
work=$(mktemp -d) || exit 99
trap 'rm -rf "$work"' EXIT
count=0

# verdict NAME STATUS: 0 is good; $work/why says what is wrong.
verdict() {
    count=$((count + 1))
    if [ "$2" -eq 0 ]; then
        echo "ok $count - $1"
    else
        echo "not ok $count - $1"
        sed 's/^/# /' "$work/why"
    fi
    : >"$work/why"
}
: >"$work/why"
errors=$work/nothing
: >"$errors"

# A locale with a decimal comma: one that is here, or one made for the test.
comma=
find_comma() {
    for comma in de_DE.UTF-8 de_DE.utf8 fr_FR.UTF-8 fr_FR.utf8; do
        [ "$(LC_ALL=$comma locale decimal_point 2>/dev/null)" = , ] && return
    done
    localedef -i de_DE -f UTF-8 "$work/de_DE.UTF-8" >/dev/null 2>&1
    LOCPATH=$work
    export LOCPATH
    comma=de_DE.UTF-8
    [ "$(LC_ALL=$comma locale decimal_point 2>/dev/null)" = , ] && return
    unset LOCPATH
    comma=
}

# same EXPECTED STATUS ARGUMENT...: one run and all that must hold of it.  What
# it says on standard error is in $errors, which is empty if nothing is.
same() {
    want=$cases/$1
    what=$1
    expected=$2
    shift 2
    "$FLUSHCALC" "$@" >"$work/out" 2>"$work/err"
    got=$?
    [ "$got" -eq "$expected" ] || echo "exit $got, not $expected" >"$work/why"
    [ "$got" -eq "$expected" ]
    verdict "$what: exit status $expected" $?
    diff "$errors" "$work/err" >"$work/why" 2>&1
    verdict "$what: what standard error has" $?
    diff "$want" "$work/out" >"$work/why" 2>&1
    verdict "$what: the whole output" $?
    "$FLUSHCALC" "$@" >"$work/again" 2>"$work/err"
    cmp "$work/out" "$work/again" >"$work/why" 2>&1
    verdict "$what: the same bytes again" $?
    if [ -n "$comma" ]; then
        LC_ALL=$comma "$FLUSHCALC" "$@" >"$work/again" 2>"$work/err"
        cmp "$work/out" "$work/again" >"$work/why" 2>&1
        verdict "$what: the same bytes with a decimal comma" $?
    else
        verdict "$what: decimal comma # SKIP no such locale" 0
    fi
}

# Tables and words are for people; lines of JSON may be long.
narrow() {
    awk 'length($0) > 80 { print FILENAME ": " $0; bad = 1 }
        END { exit bad || NR == 0 }' "$work/out" >"$work/why"
    verdict "$1: no line over 80 columns" $?
}

squeezed() {
    awk '{ gsub(/[ \t]+/, " "); sub(/^ /, ""); sub(/ $/, ""); print }' "$1"
}

# figure FILE KIND TEXT: stands in the expected report.
figure() {
    case $2 in
    row) squeezed "$cases/$1" | grep -qxF -e "$3" ;;
    like) squeezed "$cases/$1" | grep -qxE -e "$3" ;;
    text) squeezed "$cases/$1" | tr '\n' ' ' | grep -qF -e "$3" ;;
    json)
        decimals=${3##*.}
        awk -v form="%s %.${#decimals}f\n" '
            { gsub(/[":,]/, "") }
            $1 ~ /^[a-z]/ { key = $1; $1 = "" }
            NF && $NF ~ /^-?[0-9.]+$/ { printf form, key, $NF }' \
            "$cases/$1" | grep -qxF -e "$3" ;;
    *) false ;;
    esac
    found=$?
    [ "$found" -eq 0 ] || echo "expected $2: $3" >"$work/why"
    verdict "$1: $3" "$found"
}

# No row of figures in the tables of an expected report is left unproved.
proved() {
    grep "^$1	row	" "$work/figures" | cut -f 3 >"$work/rows"
    [ -s "$work/rows" ] &&
        grep '[^ ]  *  [^ ]' "$cases/$1" >"$work/table" &&
        squeezed "$work/table" | awk '{ n = 0
            for (i = 1; i <= NF; i++)
                n += $i ~ /^-?[0-9]+(\.[0-9]+)?(\.\.-?[0-9.]+)?$/
            if (n >= 2) print }' >"$work/figured" &&
        [ -s "$work/figured" ] &&
        { grep -vxF -f "$work/rows" "$work/figured" >"$work/left" || :; } &&
        ! { grep "^$1	like	" "$work/figures" | cut -f 3 >"$work/likes"
            grep -vxE -f "$work/likes" "$work/left"; } >"$work/why"
    verdict "$1: every row of figures is proved" $?
}

# also KIND ARGUMENT...: the reports of that kind on $name, if it has them.
also() {
    kind=$1
    [ -f "$cases/$name.$kind" ] || return 0
    shift
    read -r status words <"$cases/$name.$kind"
    [ ! -f "$cases/$name.$kind.err" ] || errors=$cases/$name.$kind.err
    # shellcheck disable=SC2086 # words are meant
    same "$name.$kind.txt" "$status" "$@" $words
    narrow "$name.$kind.txt"
    if [ -f "$cases/$name.$kind.full.txt" ]; then
        # shellcheck disable=SC2086
        same "$name.$kind.full.txt" "$status" "$@" --full $words
        narrow "$name.$kind.full.txt"
    fi
    if [ -f "$cases/$name.$kind.json" ]; then
        # shellcheck disable=SC2086
        same "$name.$kind.json" "$status" "$@" --format json $words
    fi
    if [ -f "$cases/$name.$kind.csv" ]; then
        # shellcheck disable=SC2086
        same "$name.$kind.csv" "$status" "$@" --format csv $words
    fi
    errors=$work/nothing
}

find_comma
for site in *.ini; do
    name=$(basename "$site" .ini)
    also effects effects "$site"
    also flush flush "$site"
    also size size "$site"
    also remedy size --remedy "$site"
    also verify verify "$site"
    also record verify --record "$site"
    also diagnose diagnose "$site"
    also sheet diagnose --sheet "$site"
    also compare compare "$site"
    also sweep check "$site"
    [ -f "$cases/$name.status" ] || continue
    status=$(cat "$cases/$name.status")
    same "$name.txt" "$status" check "$site"
    narrow "$name.txt"
    same "$name.full.txt" "$status" check --full "$site"
    narrow "$name.full.txt"
    [ ! -f "$cases/$name.json" ] ||
        same "$name.json" "$status" check --format json "$site"
    if [ -f "$cases/$name.path.txt" ]; then
        fixture=$(sed -n 's/^\[fixture \(.*\)\]$/\1/p' "$site")
        same "$name.path.txt" "$status" path "$site" "$fixture"
        narrow "$name.path.txt"
        same "$name.path.full.txt" "$status" path --full "$site" "$fixture"
        narrow "$name.path.full.txt"
    fi
done

awk -f "$cases/figures.awk" -f "$cases/events.awk" -f "$cases/sizes.awk" \
    -f "$cases/remedies.awk" -f "$cases/claims.awk" -f "$cases/readings.awk" \
    -f "$cases/sides.awk" >"$work/figures" 2>"$work/why"
verdict "the files *.awk work out the figures" $?
for report in "$cases"/*.txt; do
    # one screen of options holds sentences, which the full report has too
    case $report in *.remedy.txt) continue ;; esac
    proved "$(basename "$report")"
done
tab=$(printf '\t')
while IFS=$tab read -r file kind text; do
    figure "$file" "$kind" "$text"
done <"$work/figures"
echo "1..$count"
