#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/page.sh -- a page is one file: HTML and XML too, without script
# or outside resource, whatever is written in it.
set -u
LC_ALL=C
export LC_ALL
: "${srcdir:?the top folder of the source}"
program=${FLUSHCALC:-./flushcalc}

work=$(mktemp -d "${TMPDIR:-/tmp}/flushcalc-page.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM
n=0

verdict() {
    n=$((n + 1))
    if [ "$2" = 0 ]; then
        echo "ok $n - $1"
    else
        echo "not ok $n - $1"
        sed 's/^/# /' "$work/why"
    fi
}

# Well-formed, and valid where there is a program that tells.
sound() {
    : >"$work/why"
    if command -v xmllint >/dev/null; then
        xmllint --noout "$1" >>"$work/why" 2>&1
    fi
    if command -v tidy >/dev/null; then
        # it knows no attribute of SVG, which is XML and told sound as that
        sed "s|<figure class=.wide.>|&<p>drawing</p>|g; s/<svg [^>]*>/\\n&\\n/g; s|</svg>|&\\n|g" "$1" |
            sed '/^<svg /,/<\/svg>$/d' >"$work/without-svg"
        tidy -errors -quiet "$work/without-svg" >>"$work/why" 2>&1
    fi
    grep -q . "$work/why" && return 1
    return 0
}

# Nothing that a reader would run or fetch.  An address in a text is none.
alone() {
    ! sed 's/>[^<]*</></g' "$1" |
        grep -Ein '<(script|link|img|iframe|object|embed|base)| (src|href|on[a-z]+)=|url\(|@import' \
            >"$work/why"
}

# page NAME ARGUMENT...
page() {
    name=$1
    shift
    "$program" "$@" --format html >"$work/page" 2>"$work/why"
    [ $? != 2 ] && grep -q '</html>' "$work/page"
    verdict "$name: a page" $?
    sound "$work/page"
    verdict "$name: HTML and XML" $?
    alone "$work/page"
    verdict "$name: nothing but itself" $?
}

page check check "$srcdir/examples/clinic.ini"
page check-si check "$srcdir/examples/block.ini"
page path path "$srcdir/examples/clinic.ini" women-wc-6
page flush flush "$srcdir/examples/clinic.ini" women-wc-6:3
page effects effects "$srcdir/examples/clinic.ini"
page tank effects "$srcdir/examples/farm-school.ini"
page size size "$srcdir/examples/sizing.ini"
page remedy size --remedy "$srcdir/examples/library.ini"
page diagnose diagnose "$srcdir/examples/school.ini"
page sheet diagnose --sheet "$srcdir/examples/school.ini"
page verify verify "$srcdir/tests/cases/claimed.ini"
page record verify --record "$srcdir/tests/cases/claimed.ini"
page sites check "$srcdir/examples/clinic.ini" "$srcdir/examples/block.ini"

# Markup, quotes, a right-to-left override (U+202E) and a name without end.
long=$(printf '%0800d' 0 | tr 0 W)
override=$(printf '\342\200\256')
sed -e "s|^title = .*|title = \"</style><script>1</script> \\\\ & $long$override\"|" \
    -e "s|^address = .*|address = <a href=x onclick=y> $long|" \
    "$srcdir/examples/clinic.ini" >"$work/odd.ini"
page odd check "$work/odd.ini"
! grep -q "$override" "$work/page"
verdict "odd: nothing that turns the direction of what follows" $?
echo "1..$n"
