#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/python.sh -- the example in Python tells what the command does.
set -u
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
: "${builddir:?the top of the build}"
example=$srcdir/examples/check.py
for lacks in "$(command -v python3 || echo python3)" \
    "$builddir/lib/.libs/libflushcalc.so.0"; do
    if [ ! -e "$lacks" ]; then
        echo "1..0 # SKIP no $(basename "$lacks") here"
        exit 0
    fi
done
echo 1..4
LD_LIBRARY_PATH=$builddir/lib/.libs
export LD_LIBRARY_PATH

# result NUMBER NAME STATUS
result() {
    [ "$3" -eq 0 ] || printf 'not '
    echo "ok $1 - $2"
}

site=$srcdir/examples/clinic.ini
told=$(python3 "$example" "$site" 2>&1)
result 1 'a site is checked' $?
verdict=$("$FLUSHCALC" check --format json "$site" |
    sed -n 's/^  "verdict": "\(.*\)",$/\1/p')
[ "$(echo "$told" | head -n 1)" = \
    "$(sed -n 's/^title = //p' "$site"): $verdict" ]
result 2 "the verdict is that of the command: $verdict" $?
why=$(python3 "$example" absent.ini 2>&1)
[ $? -eq 1 ]
result 3 'a site that is not there ends the program' $?
echo "$why" | grep -q '^cannot be read: No such file'
result 4 "the library's word stands there: $why" $?
