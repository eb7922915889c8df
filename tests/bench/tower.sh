#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/bench/tower.sh [TOWERS [FLOORS [BATTERIES [CLOSETS]]]] -- a site to measure by.
#
# Invented towers side by side on one main: each has one riser, on each floor a
# main with so many batteries along it, each of so many closet valves that are
# to be converted.  The default, one tower with 40 floors of 10 batteries of 4,
# is 1,600 valves.
awk -v towers="${1:-1}" -v floors="${2:-40}" -v batteries="${3:-10}" \
    -v closets="${4:-4}" '
function floor_of(t, f,    b) {
    if (f > 1) {
        print "[pipe riser" t f "]\nfrom = riser" t f - 1
        print "size = 6 in\nlength = 11 ft\nrise = 11 ft"
        print "fittings = 1 tee run"
    }
    for (b = 1; b <= batteries; b++) {
        print "[pipe floor" t f "-" b "]"
        print "from = " (b > 1 ? "floor" t f "-" b - 1 : "riser" t f)
        print "size = 3 in\nlength = 15 ft"
        print "fittings = " (b > 1 ? "1 tee run" : "1 tee branch")
        print "[pipe battery" t f "-" b "]\nfrom = floor" t f "-" b
        print "size = 2 in\nlength = 20 ft\nrise = -6 ft"
        print "fittings = 1 tee branch, 2 elbow 90"
        print "[fixture wc" t f "-" b "]\non = battery" t f "-" b
        print "kind = water closet, flush valve\ncount = " closets
        print "supply size = 1 in"
        print "existing = siphonic closet 3.5 gal\nretrofit = closet"
    }
}
BEGIN {
    print "[site]"
    print "title = Invented, " towers * floors * batteries * closets " valves"
    print "material = copper L\ncondition = new\nmaximum static = 400 psi"
    print "[source main]\nkind = street main\nstatic = 250 psi"
    print "residual = 235 psi\nresidual flow = " 2000 * towers " gpm"
    for (i = 1; i <= towers; i++) {
        t = "-" i "-"
        print "[pipe service-" i "]\nfrom = main\nsize = 6 in"
        print "length = 60 ft\nfittings = 2 elbow 90, 1 gate valve"
        print "[meter meter-" i "]\nfrom = service-" i
        print "loss = 4 psi at 800 gpm"
        print "[pipe riser" t 1 "]\nfrom = meter-" i
        print "size = 6 in\nlength = 20 ft\nrise = 9 ft\nfittings = none"
        for (f = 1; f <= floors; f++)
            floor_of(t, f)
    }
    print "[valve closet]"
    print "minimum flowing = 35 psi\nmaximum static = 125 psi"
    print "flow = 25 gpm at 35 psi\nfull flush = 1.28 gal"
    print "closing time = 1 s\nsupply size = 1 in"
}'
