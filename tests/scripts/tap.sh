# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/tap.sh -- for scripts that try the command in an empty folder,
# and count.
# shellcheck shell=sh
# shellcheck disable=SC2034 # those that read this use them
LC_ALL=C
export LC_ALL
: "${FLUSHCALC:?the path of the command to test}"
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
