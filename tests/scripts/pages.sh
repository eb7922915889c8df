#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/pages.sh [PAGE.html...] -- what a browser makes of drawings and
# of the pages of every report, at the width of a phone, of a desk and of paper:
# nothing lies over anything else or out of its drawing or cell, no page is
# wider than its window, every character has a glyph, no row is split on paper,
# and the browser has nothing to say.  A few are printed, on Letter and on A4.
# Prints TAP.
set -u
: "${srcdir:?the top of the sources}" "${builddir:?the top of the build}"
drawn=$builddir/tests/pages/draw_site
look=$(cd "$srcdir/tests/pages" && pwd)/browser.py

skip() {
    echo "1..1"
    echo "ok 1 - pages # SKIP no $1"
    exit 0
}
for program in python3 chromedriver; do
    command -v "$program" >/dev/null 2>&1 || skip "$program"
done
python3 "$look" found || skip "chromium"

program=${FLUSHCALC:-./flushcalc}
case $program in
/*) ;;
*) program=$PWD/$program ;;
esac
examples=$(cd "$srcdir/examples" && pwd)
work=$(mktemp -d "${TMPDIR:-/tmp}/flushcalc-pages.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM
n=0

# verdict NAME ARGUMENT...: what the browser says of them is nothing.
verdict() {
    name=$1
    shift
    n=$((n + 1))
    if said=$(python3 "$look" check "$@" 2>&1) && [ -z "$said" ]; then
        echo "ok $n - $name"
    else
        printf 'not ok %s - %s\n' "$n" "$name"
        echo "$said" | head -n 40 | sed 's/^/# /'
    fi
}

if [ $# -gt 0 ]; then
    verdict "pages" --numbered "$@"
    echo "1..$n"
    exit 0
fi
# What is wrong with a page is seen.
n=$((n + 1))
missed=$(python3 "$look" check --numbered "$srcdir/tests/pages/wrong.html" |
    awk '{ seen = seen $0 "\n" }
        END {
            split("overlap: |outside: |wider than|no glyph: U\\+10fffc|said: ",
                want, "|")
            for (i in want)
                if (seen !~ want[i])
                    print want[i] " was not seen"
        }')
if [ -z "$missed" ]; then
    echo "ok $n - what is wrong is seen"
else
    echo "not ok $n - what is wrong is seen"
    echo "$missed" | sed 's/^/# /'
fi
# Towers beside the examples, and elements and figures of every kind.
for name in block clinic library school sizing tower; do
    "$drawn" "$srcdir/examples/$name.ini" >"$work/$name.html" ||
        echo "$name is not drawn" >>"$work/failed"
done
sh "$srcdir/tests/bench/tower.sh" 2 12 8 >"$work/towers.ini"
"$drawn" "$work/towers.ini" >"$work/towers.html" &&
    "$drawn" "$srcdir"/tests/corpus/*.ini >"$work/corpus.html" ||
    echo "towers or corpus are not drawn" >>"$work/failed"
n=$((n + 1))
if [ -e "$work/failed" ]; then
    echo "not ok $n - sites are drawn"
    sed 's/^/# /' "$work/failed"
else
    echo "ok $n - sites are drawn"
fi
verdict "drawings" --print 2 "$work"/*.html
# Widths are reckoned by a font that is among the widest.
for name in clinic tower; do
    sed 's/<style>/<style>svg{font-family:"DejaVu Sans"}/' \
        "$work/$name.html" >"$work/$name-wide.html"
done
verdict "drawings in a wide font" --print 0 "$work"/*-wide.html

# ---- The pages of all reports -------------------------------------------------

# page NAME ARGUMENT...: into $work/pages, if there is such a report of the site.
page() {
    name=$1
    shift
    "$program" "$@" --format html >"$work/pages/$name.html" 2>"$work/why"
    [ $? -ne 2 ] && return
    rm "$work/pages/$name.html"
    case $(cat "$work/why") in
    *"no claim"* | *"yet to be chosen"* | *"no pipe"* | *"flush valve"* | \
        *"readings"* | *"size"* | *"rate"* | *"does not follow"*) ;;
    *) sed "s/^/$name: /" "$work/why" >>"$work/refused" ;;
    esac
}

# pages_of SITE: all reports of it.
pages_of() {
    site=$(basename "$1" .ini)
    page "check-$site" check "$1"
    at=$(sed -n 's/.*Governing fixture: \([^,<]*\),.*/\1/p' \
        "$work/pages/check-$site.html" 2>/dev/null)
    if [ -n "$at" ]; then
        page "path-$site" path "$1" "$at"
        page "flush-$site" flush "$1" "$at"
    fi
    page "effects-$site" effects "$1"
    page "size-$site" size "$1"
    page "remedy-$site" size --remedy "$1"
    page "diagnose-$site" diagnose "$1"
    page "sheet-$site" diagnose --sheet "$1"
    page "verify-$site" verify "$1"
    page "record-$site" verify --record "$1"
}

mkdir "$work/pages"
: >"$work/refused"
sh "$srcdir/tests/bench/tower.sh" >"$work/tower-1600.ini"
"$program" check "$work/tower-1600.ini" --format html \
    >"$work/tower-1600.html" 2>>"$work/refused" &
tower=$!
for site in "$srcdir"/examples/*.ini "$srcdir"/tests/cases/*.ini; do
    pages_of "$site"
done
page sites check "$srcdir"/examples/*.ini "$srcdir/tests/bad/case-key.ini"
page sweep check "$srcdir/examples/clinic.ini" \
    --set 'main.test static = 79 psi' --sweep 'main.static = 70 psi .. 90 psi'
page compare-cases compare "$srcdir/examples/clinic.ini" \
    --set 'rp.loss = 5 psi' --set 'main.static = 85 psi' \
    --set 'site.reserve = 1 psi'
page compare-files compare "$srcdir/examples/clinic.ini" \
    "$srcdir/examples/school.ini"
page quick quick main=52 up=16ft still=45 one=20 two=9
page tables tables
page table tables "copper L"
n=$((n + 1))
if [ -s "$work/refused" ]; then
    echo "not ok $n - every report has a page"
    sed 's/^/# /' "$work/refused"
else
    echo "ok $n - every report has a page"
fi
cd "$work/pages" || exit 1
first="check-clinic.html remedy-library.html record-claimed.html \
sheet-school.html diagnose-school.html verify-library.html"
# All those of the examples, and every sixth of the others; `make check-long`
# looks at all.
rest=
turn=0
for page in *.html; do
    site=${page%.html}
    site=${site#*-}
    turn=$((turn + 1))
    case " $first " in *" $page "*) continue ;; esac
    [ -n "${FLUSHCALC_LONG-}" ] || [ $((turn % 6)) -eq 0 ] ||
        [ -e "$examples/$site.ini" ] || [ "${page#*-}" = "$page" ] || continue
    rest="$rest $page"
done
# shellcheck disable=SC2086 # no name of a page has a space
verdict "pages" --numbered --print 6 $first $rest
wait "$tower"
size=$(wc -c <"$work/tower-1600.html")
n=$((n + 1))
if [ "$size" -lt 2000000 ]; then
    echo "ok $n - the page of 1,600 valves is small ($size bytes)"
else
    echo "not ok $n - the page of 1,600 valves is small ($size bytes)"
fi
verdict "the page of 1,600 valves" --numbered --print 0 "$work/tower-1600.html"
echo "1..$n"
