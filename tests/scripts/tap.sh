# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/tap.sh -- for scripts that try the command in an empty folder,
# and count; and a small building for them.
# shellcheck shell=sh
# shellcheck disable=SC2034 # those that read this use them
LC_ALL=C
export LC_ALL
: "${FLUSHCALC:?the path of the command to test}"
case $FLUSHCALC in
*/*) FLUSHCALC=$(cd "$(dirname "$FLUSHCALC")" && pwd)/$(basename "$FLUSHCALC") ;;
esac
work=$(mktemp -d "${TMPDIR:-/tmp}/flushcalc-tried.XXXXXX") || exit 99
trap 'rm -rf "$work"' EXIT
trap 'exit 99' HUP INT TERM
cd "$work" || exit 99
count=0
failed=0

# result STATUS NAME
result() {
    count=$((count + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $count - $2"
        return
    fi
    echo "not ok $count - $2"
    failed=1
    cut -c 1-300 out 2>/dev/null | sed 's/^/# out: /' | head -n 9
    cut -c 1-300 err 2>/dev/null | sed 's/^/# err: /' | head -n 5
}

skip() {
    count=$((count + 1))
    echo "ok $count - $1 # SKIP $2"
}

# run ARGUMENT... -- run the command; out, err and $status are what it gave
run() {
    "$FLUSHCALC" "$@" >out 2>err </dev/null
    status=$?
}

# refused NAME MESSAGE -- the last run said just this and wrote nothing
refused() {
    printf '%s\n' "$2" >expected
    [ "$status" -eq 2 ] && [ ! -s out ] && cmp -s err expected
    result $? "$1"
}

high='maximum static = 125 psi'

# site STATIC [SITE-LINE [FIXTURE-LINE...]] -- a site file, to standard output
site() {
    printf '[site]\ntitle = Invented hall\n'
    [ $# -lt 2 ] || printf '%s\n' "$2"
    cat <<EOF
[source street]
kind = fixed
pressure = $1
[pipe riser]
from = street
material = copper L
condition = new
size = 3 in
length = 10 ft
rise = 10 ft
fittings = none
[valve old]
minimum flowing = 25 psi
maximum static = 125 psi
flow = 25 gpm at 25 psi
full flush = 1.6 gal
[valve new]
minimum flowing = 25 psi
maximum static = 125 psi
flow = 25 gpm at 25 psi
full flush = 1.28 gal
[fixture wc]
on = riser
kind = water closet, flush valve
supply size = 1 in
existing = old
EOF
    [ $# -lt 3 ] || { shift 2 && printf '%s\n' "$@"; }
}
