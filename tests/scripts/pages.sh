#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/pages.sh [PAGE.html...] -- what a browser makes of drawings and
# pages, at the width of a phone, of a desk and of paper: nothing lies over
# anything else or out of its drawing, no page is wider than its window, every
# character has a glyph, and the browser has nothing to say.  Prints TAP.
set -u
: "${srcdir:?the top of the sources}" "${builddir:?the top of the build}"
drawn=$builddir/tests/pages/draw_site
look=$srcdir/tests/pages/browser.py

skip() {
    echo "1..1"
    echo "ok 1 - pages # SKIP no $1"
    exit 0
}
for program in python3 chromedriver; do
    command -v "$program" >/dev/null 2>&1 || skip "$program"
done
python3 "$look" found || skip "chromium"

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
verdict "drawings" "$work"/*.html
# Widths are reckoned by a font that is among the widest.
for name in clinic tower; do
    sed 's/<style>/<style>svg{font-family:"DejaVu Sans"}/' \
        "$work/$name.html" >"$work/$name-wide.html"
done
verdict "drawings in a wide font" "$work"/*-wide.html
echo "1..$n"
