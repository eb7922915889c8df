#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/brief.sh -- what is told first fits on one screen, of any
# building and on any terminal: at most 40 lines of 80 columns.  Prints TAP.
#
# A row is a command as it is typed; SITE stands for a site file, FIXTURE for
# the last fixture of it.  `commands` are tried on every example, on every case
# of tests/cases and on buildings made here; `alike`, which differ from those in
# their figures, on a few; of `sheets`, which are printed and may be long, the
# width alone is asked.  Of one that a site is not for (exit status 2) nothing
# is asked.
set -u
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
LC_ALL=C
export LC_ALL
srcdir=$(cd "$srcdir" && pwd) || exit 99
work=$(mktemp -d) || exit 99
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 99
count=0
failed=0

commands='check SITE
path SITE FIXTURE
flush SITE --all
flush SITE FIXTURE
effects SITE
size SITE
size --remedy SITE
diagnose SITE
verify SITE'
alike='check SITE --units si
path SITE FIXTURE --darcy
flush SITE FIXTURE --units si
effects SITE --units si
size SITE --units si
size --remedy SITE --units si
diagnose SITE --units si
verify SITE --units si'
sheets='verify --record SITE
diagnose --sheet SITE'

most=40

# result STATUS NAME: 0 is good; `why` says what is wrong.
result() {
    count=$((count + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $count - $2"
    else
        failed=1
        echo "not ok $count - $2"
        sed 's/^/# /' why
    fi
}

# fits COLUMNS LINES: the last output does, a terminal's codes left out.
fits() {
    tr -d '\r' <out | sed 's/'"$(printf '\033')"'\[[0-9;]*m//g' |
        awk -v columns="$1" -v lines="$2" '
        length($0) > columns { print "wide: " $0; bad = 1 }
        END {
            if (NR > lines) { print NR " lines"; bad = 1 }
            if (NR == 0) { print "nothing"; bad = 1 }
            exit bad
        }' >why
}

# typed ROW SITE: the words of a row for a site.
typed() {
    last=
    case $1 in *FIXTURE*)
        last=$("$FLUSHCALC" --complete path "$2" '' | tail -n 1) ;;
    esac
    echo "$1" | sed "s|SITE|$2|; s|FIXTURE|$last|"
}

# try LINES SITE: each row of standard input for a site.
try() {
    while read -r row; do
        words=$(typed "$row" "$2")
        # shellcheck disable=SC2086 # words are meant
        "$FLUSHCALC" $words >out 2>err </dev/null
        [ $? -ne 2 ] || continue
        fits 80 "$1"
        result $? "$(echo "$row" | sed "s|SITE|$(basename "$2")|")"
    done
}

# crowded ZONES READINGS: a building in which everything that may stand on the
# screen does.  Zones with different pressures, all but some short, with
# readings that contradict it, and much that the file sets otherwise than the
# code.
crowded() {
    awk -v zones="$1" -v readings="$2" 'BEGIN {
        print "[site]\ntitle = Invented, crowded\nmaximum static = 250 psi"
        print "demand = interpolate\nmaterial = copper L"
        print "code minimum = no"
        print "[source main]\nkind = street main\nstatic = 118..122 psi"
        print "residual = 110 psi\nresidual flow = 600 gpm"
        print "[pipe service]\nfrom = main\nsize = 3 in\nlength = 60 ft"
        print "[meter meter]\nfrom = service\nloss = 4 psi at 200 gpm"
        print "[backflow rp]\nfrom = meter\nloss = 9 psi at 120 gpm"
        print "[device strainer]\nfrom = rp\nloss = 2 psi at 120 gpm"
        for (i = 1; i <= zones; i++) {
            print "[reducer prv-" i "]\nfrom = strainer\nset = " 30 + 3 * i " psi"
            print "[pipe branch-" i "]\nfrom = prv-" i
            print "size = 1-1/2 in\nlength = 40 ft"
            print "rise = 8 ft"
            print "[valve v-" i "]\nminimum flowing = " 20 + i " psi"
            print "flow = 25 gpm at 35 psi\nfull flush = 1.28 gal"
            print "[fixture battery-" i "]\non = branch-" i
            print "kind = water closet, flush valve\ncount = 2"
            print "existing = siphonic closet 3.5 gal\nretrofit = v-" i
            print "fixture units = " 8 - i / 8
        }
        for (i = 1; i <= readings; i++) {
            print "[reading r-" i "]\nat = battery-" zones + 1 - i
            print "pressure = 9 psi\nflushing = 1 of battery-" zones + 1 - i
        }
    }'
}

sh "$srcdir/tests/bench/tower.sh" >tower-1600.ini
sh "$srcdir/tests/bench/tower.sh" 1 10 5 2 |
    sed 's/^static = 250 psi/static = 90 psi/; s/^residual = .*/residual = 75 psi/' \
        >tower-100-short.ini
crowded 12 5 >crowded-read.ini
crowded 4 0 >crowded-little.ini
long=a-name-as-long-as-no-plan-has-but-a-machine-may
for zones in 4 12; do
    crowded $zones 0 |
        sed "s/battery-/$long-&/; s/prv-/$long-&/
            s/\\[device strainer/&-$long/; s/= strainer/&-$long/
            s/^title.*/& $long $long $long/" >long-$zones.ini
done
echo "$commands" >commands
echo "$alike" >alike
echo "$sheets" >sheets

for site in "$srcdir"/examples/*.ini "$srcdir"/tests/cases/*.ini ./crowded*.ini \
    ./long-*.ini ./tower-100-short.ini; do
    case $site in
    # a blank to fill in needs room beside the name; what cures twelve zones
    # takes a minute
    */long-4.ini)
        echo 'size --remedy SITE' >remedy
        try "$most" "$site" <remedy
        ;;
    */long-12.ini)
        grep -v -e --remedy commands >quick
        try "$most" "$site" <quick
        ;;
    *)
        try "$most" "$site" <commands
        try 100000 "$site" <sheets
        ;;
    esac
done
for site in "$srcdir/examples/library.ini" "$srcdir/tests/cases/tank.ini" \
    "$srcdir/tests/cases/claimed.ini" "$srcdir/tests/cases/diagnosed.ini" \
    ./crowded-little.ini; do
    try "$most" "$site" <alike
done
# Others take minutes with 1,600 valves.
try "$most" ./tower-1600.ini <<'ROWS'
check SITE
flush SITE --all
effects SITE
diagnose SITE
tables
tables copper L
ROWS

# Many sites at once have a line each, and what is said around them.
set --
i=0
while [ $i -lt 45 ]; do
    i=$((i + 1))
    set -- "$@" "$srcdir/tests/cases/works.ini" \
        "$srcdir/tests/cases/ceiling.ini"
done
"$FLUSHCALC" check "$@" >out 2>err </dev/null
fits 80 $((90 + most))
result $? '90 sites'

# A sweep of more steps than a screen has lines.
"$FLUSHCALC" check "$srcdir/tests/cases/works.ini" \
    --sweep 'feed.pressure=20..120 psi/100' >out 2>err </dev/null
fits 80 "$most"
result $? 'a sweep of 100 steps'

# script(1) gives the command a terminal; not every system has it.
if script -qec true /dev/null >/dev/null 2>&1; then
    while read -r row; do
        for site in "$srcdir/examples/library.ini" ./crowded-little.ini; do
            words=$(typed "$row" "$site")
            # shellcheck disable=SC2086 # words are meant
            "$FLUSHCALC" $words >out 2>err </dev/null
            [ $? -ne 2 ] || continue
            for columns in 60 132; do
                TERM=xterm script -qec \
                    "stty cols $columns; '$FLUSHCALC' $words 2>err" /dev/null \
                    >out </dev/null
                # A narrow screen holds as much as 40 lines of full width.
                lines=$most
                [ "$columns" -ge 80 ] || lines=$((most * 79 / (columns - 1)))
                fits "$columns" "$lines"
                result $? "$columns columns: $(echo "$row" |
                    sed "s|SITE|$(basename "$site")|")"
            done
        done
    done <commands
else
    result 0 'on a terminal # SKIP there is no script(1)'
fi

echo "1..$count"
exit $failed
