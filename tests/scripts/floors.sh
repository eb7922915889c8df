#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/floors.sh -- includes name the folder and run down: no file of
# lib/ or cli/ includes one of a higher floor, or of another folder on its own.
# Prints TAP.
set -u
: "${srcdir:?the top of the sources}"
cd "$srcdir" || exit 99

# includes TREE FLOOR...: each floor's folders joined by "+", from the ground.
includes() {
    tree=$1
    shift
    find "$tree" -name '*.[ch]' | sort | xargs grep -H '^#include "' |
        awk -F '[:"]' -v tree="$tree" -v floors="$*" '
            BEGIN {
                n = split(floors, floor, " ")
                for (i = 1; i <= n; i++) {
                    m = split(floor[i], folder, "+")
                    for (k = 1; k <= m; k++)
                        at[folder[k]] = i
                }
            }
            $3 ~ /^flushcalc(\/|\.h$)/ { seen++; next }
            {
                from = $1
                sub("^" tree "/", "", from)
                folder_of = from ~ "/" ? from : "top/"
                sub("/.*", "", folder_of)
                to = $3
                sub("/.*", "", to)
                seen++
                if ($3 !~ "/" || !(to in at) || !(folder_of in at))
                    print $1 " includes " $3 ", which names no folder"
                else if (to != folder_of && at[to] >= at[folder_of])
                    print $1 " includes " $3 ", which is no lower"
            }
            END { if (seen < 50) print "only " seen " includes were found" }'
}

said=$(includes lib ground units+laws+least_cost+page ini+words tables site \
    peak+variants flow readings effects check size+verify+diagnose+quick remedy+starter \
    drawing report)
[ -z "$said" ] && echo "ok 1 - includes of lib/ run down" ||
    printf 'not ok 1 - includes of lib/ run down\n# %s\n' "$said"
said=$(includes cli shell commands top)
[ -z "$said" ] && echo "ok 2 - includes of cli/ run down" ||
    printf 'not ok 2 - includes of cli/ run down\n# %s\n' "$said"
echo 1..2
