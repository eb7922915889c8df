#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/forms.sh -- JSON by its schema, and CSV beside JSON, as other
# programs read them (tests/pages/forms.py).
set -u
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
if ! command -v python3 >/dev/null 2>&1; then
    echo '1..0 # SKIP no python3 here'
    exit 0
fi
exec python3 "$srcdir/tests/pages/forms.py"
