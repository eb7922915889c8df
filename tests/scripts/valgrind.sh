#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/valgrind.sh -- the command under valgrind: no invalid access,
# nothing uninitialised, no leak.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
number=0

# libxml2 makes one lock for the whole process and keeps it.
cat >"$work/kept" <<'END'
{
   a lock of libxml2
   Memcheck:Leak
   match-leak-kinds: reachable
   fun:malloc
   fun:xmlNewRMutex
}
END

# try STATUS NAME ARGUMENT...: the command's own status, and no complaint.
try() {
    want=$1
    name=$2
    shift 2
    number=$((number + 1))
    if ! command -v valgrind >/dev/null; then
        echo "ok $number - $name # SKIP no valgrind"
        return
    fi
    "$builddir/libtool" --mode=execute valgrind -q --error-exitcode=99 \
        --leak-check=full --show-leak-kinds=all --errors-for-leak-kinds=all \
        --suppressions="$work/kept" \
        "$FLUSHCALC" "$@" >"$work/out" 2>"$work/err"
    status=$?
    if [ "$status" -eq "$want" ]; then
        echo "ok $number - $name"
    else
        echo "not ok $number - $name (status $status, not $want)"
        sed 's/^/# /' "$work/err"
    fi
}

echo 1..22
cd "$srcdir/examples" || exit 1
try 1 "check of a block" check block.ini
try 3 "check of the school, as JSON" check --format json school.ini
try 3 "check of the library in full" check --full library.ini
try 0 "a page" check --format html ../tests/cases/tank.ini
try 1 "a table" flush clinic.ini --all --format csv
try 1 "a record as a page" verify --record --format html --threads 1 \
    ../tests/cases/claimed.ini
try 1 "check of several" check ../tests/cases/ceiling.ini block.ini
try 0 "check in SI" check --units si ../tests/cases/tank.ini
try 1 "path" path --darcy block.ini wc-5
try 1 "flush" flush clinic.ini women-wc-6 men-wc-1:1
try 1 "flush of all, as JSON" flush --all --format json clinic.ini
try 0 "sizes by price, written too" size ../tests/cases/priced.ini \
    --write "$work/sized.ini"
try 1 "no sizes, as JSON" size --format json ../tests/cases/unsized.ini
try 2 "size with nothing to choose" size clinic.ini
try 0 "remedies, one of them written" size --remedy ../tests/cases/cured.ini \
    --pick 1 --write "$work/cured.ini"
try 1 "remedies as JSON, none of use" size --remedy --format json \
    ../tests/cases/uncured.ini
try 3 "diagnosis" diagnose school.ini --symptom weak
try 3 "a field sheet" diagnose school.ini --sheet
try 1 "claims" verify --threads 1 ../tests/cases/claimed.ini
try 0 "tables" tables "copper L"
try 2 "a broken site" check ../tests/bad/unknown-unit.ini
try 2 "bad usage" chekc clinic.ini
