#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/foreign/reports.sh FOLDER -- the reports of every example by every
# command, as text and JSON, each into a file, with its exit status: to be
# compared with those of another machine, which are to be the same.
#
#   FLUSHCALC  the command, with what runs it in front
#   srcdir     the top of the sources
set -u
: "${FLUSHCALC:?the command}" "${srcdir:?the top of the sources}"
LC_ALL=C
SOURCE_DATE_EPOCH=1700000000
export LC_ALL SOURCE_DATE_EPOCH
mkdir -p "$1" && out=$(cd "$1" && pwd) || exit 99
cd "$srcdir" || exit 99

# report NAME ARGUMENT...: in all forms.
report() {
    name=$1
    shift
    for form in text json; do
        # shellcheck disable=SC2086 # words are meant
        $FLUSHCALC "$@" --format $form >"$out/$name.$form" 2>&1 </dev/null
        echo "status $?" >>"$out/$name.$form"
    done
}

for site in examples/*.ini; do
    name=$(basename "$site" .ini)
    # shellcheck disable=SC2086 # words are meant
    fixture=$($FLUSHCALC --complete path "$site" '' | tail -n 1)
    report "$name-check" check "$site"
    report "$name-si" check --units si "$site"
    report "$name-path" path "$site" "$fixture"
    report "$name-flush" flush "$site" "$fixture"
    report "$name-all" flush --all "$site"
    report "$name-effects" effects "$site"
    report "$name-size" size "$site"
    report "$name-remedy" size --remedy "$site"
    report "$name-diagnose" diagnose "$site"
    report "$name-verify" verify "$site"
done
report quick quick main=52 up=16ft still=45 one=20 two=9
report tables tables
