#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/hostile.sh -- texts that would steer a terminal, a page or a
# spreadsheet: in every place of a site file that a user fills in, and in every
# form of every report.
#
# What a part is called may not hold such signs, nor a line control characters,
# which is said.  Any other text is harmless:
#   text  has no control character and nothing that turns or hides text
#   page  is well-formed, with no element or attribute but its own
#   CSV   has no cell that a spreadsheet would run, and none of these either
#   JSON  is ASCII, and Python reads the very name in it
set -u
# shellcheck source=tests/scripts/tap.sh
. "$(dirname "$0")/tap.sh"
escape=$(printf '\033')
bell=$(printf '\007')
return=$(printf '\r')
tab=$(printf '\t')
override=$(printf '\342\200\256')  # U+202E, right to left
isolate=$(printf '\342\201\247')   # U+2067, likewise
zero=$(printf '\342\200\213')      # U+200B, of no width
c1=$(printf '\302\233')            # U+009B, as ESC [
bytes=$(printf '\377\376')         # no UTF-8

# good NAME -- nothing in the file "why" says otherwise
good() {
    head -n 5 why | tr -d '\000-\011\013-\037' >err
    : >out
    [ ! -s why ]
    result $? "$1"
    : >why
}

# Every place that a user fills in: N is a text, M what names start with.
cat >template <<'END'
[site]
title = N
address = N
prepared by = N
date = N
tables = own.ini

[source Mmain]
kind = street main
static = 90 psi
residual = 80 psi
residual flow = 90 gpm

[meter Mmeter]
from = Mmain
loss = 6 psi at 60 gpm

[backflow Mrp]
from = Mmeter
loss = 8 psi at 60 gpm

[reducer Mprv]
from = Mrp
set = 55 psi
fall-off = 5 psi at 60 gpm

[pump Mpump]
from = Mprv
curve = 0 gpm 20 ft, 60 gpm 10 ft

[device Mstrainer]
from = Mpump
loss = 1 psi at 60 gpm

[pipe Mpipe]
fittings = none
from = Mstrainer
material = copper L
size = 2 in
length = 100 ft
rise = 20 ft

[valve Mold]
flow = 25 gpm at 35 psi
minimum flowing = 15 psi
full flush = 3.5 gal

[valve Mnew]
flow = 25 gpm at 35 psi
minimum flowing = 15 psi
full flush = 1.28 gal

[fixture Mx]
on = Mpipe
kind = water closet, flush valve
count = 2
existing = Mold
retrofit = Mnew

[demand Mbibb]
on = Mpipe
flow = 2 gpm

[gauge Mgauge]
number = N
calibrated = N

[reading Mboth]
at = Mx
pressure = 38 psi
flushing = Mx
gauge = Mgauge
within = 1 psi

[claim Mclaim]
fixture = Mx
flowing = 26.5 psi
stated in = N
while = 2 of Mx

[look Mlook]
at = Mstrainer
shows = clean
END

# A smaller one, where texts alone matter: claims are judged by many drawn
# buildings, each of which takes its time.
awk 'BEGIN { RS = ""; ORS = "\n\n" }
    !/^\[(meter|backflow|reducer|pump|device|look)/' template |
    sed '/^kind = street/,/^residual flow/c\
kind = fixed\
pressure = 60 psi
        s/^from = .*/from = Mmain/' >small

# Of the tables that it amends.
cat >amended <<'END'
[fixture ipc water closet, flush valve]
source = N
pressure = 5 psi
END

# fill FILE TEXT NAME: a file with the text for each N that stands alone, and
# the name for each M that starts a word.
fill() {
    TEXT=$2 NAME=$3 awk '
        function put(start, by,    made) {
            while (match(line, start)) {
                made = made substr(line, 1, RSTART) by
                line = substr(line, RSTART + 2)
            }
            line = made line
        }
        {
            line = $0
            put(" N$", ENVIRON["TEXT"])
            put(" M", ENVIRON["NAME"])
            print line
        }' "$1"
}

# What neither text nor CSV may hold, lines ended.
harmful() {
    tr -d '\012\014' | grep -c -e "[$(printf '\001')-$(printf '\037')]" \
        -e "$(printf '\177')" -e "$(printf '\302')[$(printf '\200')-$(printf '\237')]" \
        -e "$zero" -e "$override" -e "$isolate" -e "$bytes"
}

text_is_harmless() {
    [ "$(harmful <"$1")" -eq 0 ] || echo "$1: steers what shows it"
}

# A quoted cell that starts as a formula does; one that is a number has no
# quotes.
csv_is_harmless() {
    tr -d '\r' <"$1" >lines
    text_is_harmless lines
    grep -nE "(^|,)\"[=+@$tab-]" "$1"
}

# The elements and attributes of a page, and what it may load or run.
page_is_harmless() {
    text_is_harmless "$1"
    grep -oiE '<(script|iframe|img|object|link)|<[a-z]+( [a-z-]+="[^"]*")* on[a-z]+=' "$1"
    command -v xmllint >/dev/null 2>&1 || return
    xmllint --nonet --noout "$1" 2>&1
}

cat >read.py <<'END'
import json
import sys

with open(sys.argv[1], "rb") as file:
    rest = file.read().decode("ascii").strip()
while rest:  # of several sites a line each
    found, end = json.JSONDecoder().raw_decode(rest)
    rest = rest[end:].strip()
    if found["digest"] and found["title"] != sys.argv[2].strip():
        print("the title is not what the file has")
END

json_is_harmless() {
    text_is_harmless "$1"
    command -v python3 >/dev/null 2>&1 || return
    python3 read.py "$1" "$name" 2>&1
}

# report FORM COMMAND WORD...: one report in one form.
report() {
    form=$1
    command=$2
    shift 2
    # shellcheck disable=SC2086 # words are meant
    case $form in
    full) "$FLUSHCALC" $command --full -- "$@" >out 2>err ;;
    *) "$FLUSHCALC" $command --format "$form" -- "$@" >out 2>err ;;
    esac
    status=$?
    text_is_harmless err
    case $status in
    0 | 1 | 3)
        reports=$((reports + 1))
        [ -s out ] || echo "$command $*: no report"
        [ ! -s err ] || cat err
        ;;
    2)
        [ -s err ] || echo "$command $*: refused without a word"
        if [ "$command $#" != 'check 2' ]; then # of several, a line each
            [ ! -s out ] || echo "$command $*: refused, and a report all the same"
            return
        fi
        ;;
    *) echo "$command $*: exit status $status" ;;
    esac
    case $form in
    csv) csv_is_harmless out ;;
    json) json_is_harmless out ;;
    html) page_is_harmless out ;;
    *) text_is_harmless out ;;
    esac
}

forms() {
    for form in text full html csv json; do
        report $form "$@"
    done
}

# all_reports SITE FIXTURE CLAIMS -- the last the site that has its claims judged
all_reports() {
    forms check "$1"
    report json check "$1" "$1"
    forms path "$1" "$2"
    forms flush "$1" "$2"
    forms 'size --remedy' "$1"
    forms verify "$3"
    forms diagnose "$1"
    report text 'verify --record' "$3"
    report html 'verify --record' "$3"
    report text 'diagnose --sheet' "$1"
    report html 'diagnose --sheet' "$1"
    sed 's/^size = .*/size = choose/' "$1" >choose.ini
    forms size choose.ini
}

# hostile WHAT TEXT: all reports with such texts, by a file of such a name.
hostile() {
    what=$1
    name=$2
    file=$(printf '%.60s' "$name" | tr '/' '_').ini
    reports=0
    fill template "$name" good- >"./$file"
    fill small "$name" good- >"./small-$file"
    fill amended "$name" good- >own.ini
    {
        all_reports "./$file" good-x "./small-$file"
        "$FLUSHCALC" tables -- "$name" >out 2>err
        [ ! -s out ] || cat out
        text_is_harmless err
    } >why 2>&1
    made=$reports
    [ "$made" -ge 30 ] || [ "$made" -eq 0 ] ||
        echo "only $made reports were made" >>why
    good "$what: every report is harmless"

    # a name of a part may be letters, digits and few signs
    fill template plain "$name" >site.ini
    "$FLUSHCALC" check site.ini >out 2>err
    [ $? -eq 2 ] || echo 'the name is not refused' >why
    cat out >>why
    text_is_harmless err >>why
    good "$what: no name of a part"
}

# odd NAME: one that parts may have.
odd() {
    what=$(printf '%.20s' "$1")
    name=plain
    reports=0
    fill template plain "$1" >site.ini
    fill amended plain "$1" >own.ini
    all_reports site.ini "$1x" site.ini >why 2>&1
    [ "$reports" -ge 30 ] || echo "only $reports reports were made" >>why
    good "parts called $what: every report is harmless"
}

# rare WHAT TEXT: what says little more than the others; `make check-long` tries
# it.
rare() {
    [ -z "${FLUSHCALC_LONG-}" ] || hostile "$@"
}

long=$(awk 'BEGIN { while (n++ < 400) printf "long name " }')
hostile 'a formula' "=cmd|' /C calc'!A0"
rare 'a sum' '+1'
rare 'a function' '@SUM(1+1)'
hostile 'a difference' '-2+3'
hostile 'a tab and a formula' "$tab=1"
hostile 'quotes and commas' 'so "quoted", and, ""commas""'
hostile 'tags' '<script>alert(1)</script><b a="x" onload='"'"'y'"'"'>&amp;&#27;]]>'
hostile 'a comment' '--><!-- <?xml?> %s%n%d \n \033[31m'
# shellcheck disable=SC2016 # as it stands is meant
hostile 'commands of a shell' '$(touch touched) `touch touched` && touch touched'
[ ! -e touched ] || echo touched >why
good 'commands of a shell are not run'
hostile 'a terminal that is steered' "${escape}[31m${bell}red${c1}2J"
rare 'a return' "first${return}second"
hostile 'a return and a formula' "${return}=1+1"
hostile 'turned text' "${override}txt.exe${isolate}${zero}hidden"
hostile 'no UTF-8' "Invented${bytes}"
hostile '4,000 characters' "$long"
rare 'a line of them' "$(echo "$long" | cut -c 1-900)"
hostile 'a line of one word' "$(echo "$long" | tr -d ' ' | cut -c 1-900)"
hostile 'a path' '../../etc/passwd'
for name in -2 __proto__. "$(echo "$long" | tr -d ' ' | cut -c 1-50)"; do
    odd "$name"
done
echo "1..$count"
exit $failed
