#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/overrides.sh -- what a file sets otherwise than the code stands
# in the first screen of every report and record, and in every JSON object.
set -u
: "${FLUSHCALC:?the path of the command to test}"
LC_ALL=C
export LC_ALL
work=$(mktemp -d) || exit 99
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 99
count=0

cat >told.ini <<'END'
[site]
maximum static = 300 psi
[source main]
kind = fixed
pressure = 70 psi
[pipe p]
from = main
material = copper L
size = 2 in
length = 20 ft
[fixture wc]
on = p
kind = water closet, flush valve
existing = siphonic closet 1.6 gal
supply size = 1 in
count = 2
[claim c]
fixture = wc
flowing = 35 psi
[reading r]
at = wc
pressure = 70 psi
within = 2 psi
END
sed 's/^maximum static = 300/maximum static = 80/' told.ini >code.ini
sed 's/^size = 2 in/size = choose/' told.ini >choose.ini
said='Set by the file: maximum static 300.0 psi; by the code it would be 80.0'

# report NAME ARGUMENT...: said in the first twelve lines, and not of code.ini.
report() {
    name=$1
    shift
    count=$((count + 1))
    if "$FLUSHCALC" "$@" 2>err | head -n 12 | tr -s '\n ' '  ' \
        | grep -q "$said"; then
        echo "ok $count - $name"
    else
        echo "not ok $count - $name"
        sed 's/^/# /' err
    fi
}

report check check told.ini
report 'check of two sites' check told.ini code.ini
report path path told.ini wc
report flush flush told.ini wc
report size size choose.ini
report remedy size --remedy told.ini
report verify verify told.ini
report record verify --record told.ini
report diagnose diagnose told.ini
report sheet diagnose --sheet told.ini

# json NAME ARGUMENT...: an entry of `overrides`.
json() {
    name=$1
    shift
    count=$((count + 1))
    if "$FLUSHCALC" "$@" --format json 2>err | tr -s '\n ' '  ' \
        | grep -q '"overrides": \[ { "what": "maximum static", "set": "300.0 psi", "code": "80.0 psi"'; then
        echo "ok $count - $name"
    else
        echo "not ok $count - $name"
        sed 's/^/# /' err
    fi
}

json 'check, JSON' check told.ini
json 'path, JSON' path told.ini wc
json 'flush, JSON' flush told.ini wc
json 'size, JSON' size choose.ini
json 'remedy, JSON' size --remedy told.ini
json 'verify, JSON' verify told.ini
json 'diagnose, JSON' diagnose told.ini

count=$((count + 1))
if "$FLUSHCALC" check code.ini | grep -q 'Set by the file'; then
    echo "not ok $count - nothing is set otherwise"
else
    echo "ok $count - nothing is set otherwise"
fi
echo "1..$count"
