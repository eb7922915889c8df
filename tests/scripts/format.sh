#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/format.sh -- every C file has the form that .clang-format describes.
# Versions of clang-format differ in some lines; the form is that of this one.
set -u
version=14
cd "$srcdir" || exit 1

echo 1..1
for program in clang-format-$version clang-format; do
    is=$("$program" --version 2>/dev/null |
        sed 's/.*version \([0-9][0-9]*\).*/\1/')
    [ "$is" != $version ] || break
done
if [ "$is" != $version ]; then
    echo "ok 1 - form of the C files # SKIP no clang-format $version here," \
        "only version ${is:-none}"
    exit
fi
complaints=$(find lib cli tests examples -name '*.[ch]' \
    ! -name tables-embedded.c -exec "$program" --dry-run {} + 2>&1)
if [ -z "$complaints" ]; then
    echo "ok 1 - form of the C files"
else
    echo "not ok 1 - form of the C files: clang-format -i gives it"
    echo "$complaints" | sed -n 's/: warning: .*//p' | sed 's/^/# /'
fi
