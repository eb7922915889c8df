#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/bench/sites.sh FOLDER SITES -- many sites to measure by.
#
# Invented buildings of 99 elements: six floors of three branches of five pipes
# each, with closet valves to be converted and lavatories.  Mains differ from
# site to site, so that some work, some do not and some are not certain.  The
# same number of sites is the same bytes.
mkdir -p "$1" && awk -v folder="$1" -v sites="$2" '
function some(least, most) {
    seed = (seed * 16807) % 2147483647
    return least + int((most - least) * seed / 2147483647)
}
function building(    floor, branch, i, from, static, name) {
    static = some(45, 105)
    print "[site]\ntitle = Invented\nmaterial = copper L\ncondition = new" >to
    print "[source main]\nkind = street main\nstatic = " static " psi" >to
    print "residual = " static - some(4, 14) " psi" >to
    print "residual flow = " some(300, 700) " gpm" >to
    print "[pipe service]\nfrom = main\nsize = 3 in" >to
    print "length = " some(30, 90) " ft" >to
    print "fittings = 2 elbow 90, 1 gate valve" >to
    print "[meter meter]\nfrom = service\nloss = 4 psi at 200 gpm" >to
    for (floor = 1; floor <= 6; floor++) {
        print "[pipe riser-" floor "]" >to
        print "from = " (floor > 1 ? "riser-" floor - 1 : "meter") >to
        print "size = " (floor < 4 ? "3 in" : "2-1/2 in") >to
        print "length = 11 ft\nrise = 11 ft\nfittings = 1 tee run" >to
        for (branch = 1; branch <= 3; branch++) {
            from = "riser-" floor
            for (i = 1; i <= 5; i++) {
                name = floor "-" branch "-" i
                print "[pipe branch-" name "]\nfrom = " from >to
                print "size = " (i < 3 ? "2 in" : "1-1/2 in") >to
                print "length = " some(4, 16) " ft" >to
                print "fittings = 1 tee run" >to
                from = "branch-" name
                if (i > 3) {
                    print "[fixture lav-" name "]\non = " from >to
                    print "kind = lavatory\ncount = 2" >to
                    continue
                }
                print "[fixture wc-" name "]\non = " from >to
                print "kind = water closet, flush valve" >to
                print "count = " some(1, 3) "\nsupply size = 1 in" >to
                print "existing = siphonic closet 3.5 gal" >to
                print "retrofit = siphonic closet 1.28 gal" >to
            }
        }
    }
}
BEGIN {
    seed = 4711
    for (site = 1; site <= sites; site++) {
        to = sprintf("%s/site-%05d.ini", folder, site)
        building()
        close(to)
    }
}'
