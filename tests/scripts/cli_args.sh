#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/cli_args.sh -- the command line: what it takes, what it
# refuses and in which words, where the report goes.  Prints TAP.
#
#   FLUSHCALC  the command to test
#
# The building is invented.  Which verdict its variants must get is plain
# without a calculation: 0.433 psi per ft of height (density of water) from
# 120 psi is far more than 35 psi ten feet up, and from 30 psi it is less.
set -u
unset NO_COLOR POSIXLY_CORRECT
# shellcheck source=tests/scripts/tap.sh
. "$(dirname "$0")/tap.sh"

# none_left FILE... -- whether there is no such file; a pattern that matches
# none stands for itself
none_left() {
    for file; do
        [ ! -e "$file" ] || return 1
    done
}

# gives STATUS NAME -- the last run ended so, with nothing on standard error
gives() {
    [ "$status" -eq "$1" ] && [ ! -s err ] && [ -s out ]
    result $? "$2"
}

# written FILE WHAT NAME -- the last run gave its report, and said that the file
# is there, with what
written() {
    printf 'flushcalc: %s is written, with %s\n' "$1" "$2" >expected
    [ "$status" -eq 0 ] && [ -s out ] && cmp -s err expected
    result $? "$3"
}

# holds FILE TEXT NAME -- the file has a line that holds the text
holds() {
    grep -F -q -e "$2" "$1"
    result $? "$3"
}

site '120 psi' "$high" >works.ini
site '30 psi' >short.ini
site '30..120 psi' "$high" >unsure.ini
site '120 psi' "$high" 'retrofit = new' 'bowl = 1.28 gal' >converted.ini
site '30 psi' | sed 's/^from = street/from = streat/' >broken.ini
site '30 psi' | sed 's/^length = .*/length = 12 gpm/' >wrong.ini

# ---- Help and version ------------------------------------------------------

run --help
gives 0 'help'
holds out 'usage: flushcalc check [OPTION]... SITE...' 'help gives the usage'
holds out 'Exit status: 0 all works; 1' 'help gives the exit statuses'
for command in check compare diagnose effects flush path quick size tables verify; do
    run $command --help
    gives 0 "$command --help"
    holds out "usage: flushcalc $command " "$command --help gives its usage"
    for option in '--format text|html|csv|json' '--output FILE' --full \
        '--table NAME' --help; do
        holds out " $option" "$command --help tells $option"
    done
done
run --version
gives 0 'version'
sed 1q out | grep -E -q '^flushcalc [0-9]+\.[0-9]+\.[0-9]+$'
result $? 'the first line of the version is name and number'
holds out 'Copyright (C) ' 'the version tells the copyright'
holds out 'GNU GPL version 3 or later' 'the version tells the license'
holds out 'NO WARRANTY' 'the version tells that there is no warranty'

"$FLUSHCALC" --help >long
run -h
cmp -s out long
result $? '-h is --help'
run help
cmp -s out long
result $? 'help is --help'
"$FLUSHCALC" flush --help >long
run flush -h
cmp -s out long
result $? 'flush -h is flush --help'
run help flush
cmp -s out long
result $? 'help flush is flush --help'
"$FLUSHCALC" --version >long
run -V
cmp -s out long
result $? '-V is --version'
run check -o short.txt works.ini
[ "$status" -eq 0 ] && [ ! -s out ] && [ ! -s err ] &&
    "$FLUSHCALC" check works.ini | cmp -s - short.txt
result $? '-o FILE is --output FILE'
for form in html csv json; do
    run check works.ini -o "by-name.$form"
    [ "$status" -eq 0 ] && "$FLUSHCALC" check works.ini --format "$form" |
        sed 's/--format '"$form/-o by-name.$form/" | cmp -s - "by-name.$form"
    result $? "-o FILE.$form writes that form"
    run check works.ini --format text -o "by-word.$form"
    [ "$status" -eq 0 ] && cmp -s short.txt "by-word.$form"
    result $? "--format counts over .$form"
done
run check works.ini -o by-name.HTML
[ "$status" -eq 0 ] && head -c 9 by-name.HTML | grep -q '^<!DOCTYPE'
result $? 'an ending in capitals is the same'
run check works.ini -o by.html.txt && run check works.ini -o by-name.html.bak
cmp -s by.html.txt short.txt && cmp -s by-name.html.bak short.txt
result $? 'another ending is text'
run new stories=3 'floor=12 ft' closets=2 -o made.html
[ "$status" -eq 0 ] && grep -q '^\[fixture' made.html
result $? 'a site file is a site file by any name'
run check works.ini --outp=abbreviated.txt
[ "$status" -eq 0 ] && cmp -s abbreviated.txt short.txt
result $? 'an abbreviation of one option is that option'

# ---- A first site file ------------------------------------------------------

run new stories=3 'floor=12 ft' closets=2
gives 0 'a first site file'
cp out first.ini
run check first.ini
[ "$status" -eq 3 ] && [ ! -s err ]
result $? 'a first site file is checked as it is'
holds out 'assumed: lengths, pipe sizes' 'its title tells what is assumed'
run new stories=3 floor=12 toilets=2 riser=3 backflow=DCVA main=60
cp out bare.ini
run new stories=3 'floor=12 ft' closets=2 'riser=3 in' 'backflow=double check' \
    'main=60 psi'
cmp -s out bare.ini
result $? 'new takes bare figures in ft, in and psi, and the words of the trade'
run new stories=3 floor=3.6 units=si
[ "$status" -eq 2 ] && [ ! -s out ] && grep -q 'floor.*no unit' err
result $? 'new takes no bare figure where it may be metric'
run quick still=60 'valves=2 toilets'
cp out toilets.txt
run quick still=60 'valves=2 closets'
cmp -s out toilets.txt
result $? 'quick takes the words of the trade for its valves'
run new stories=3 'floor=12 ft' closets=2 --output made.ini
[ "$status" -eq 0 ] && [ ! -s out ] && [ ! -s err ] && cmp -s made.ini first.ini
result $? 'a first site file in a file'
run new stories=4 -o made.ini
refused 'a file that is there is not overwritten' \
    'flushcalc: made.ini is there already, and what it holds would be lost; another name is expected'
cmp -s made.ini first.ini
result $? 'it is as it was'
run new stories=4 -o none/made.ini
[ "$status" -eq 2 ] && [ ! -s out ] && [ ! -e none ]
result $? 'a first site file in a folder that is not there'
run new storys=4 -o other.ini
refused 'a key that is not known' \
    'flushcalc: there is no key "storys"; did you mean "stories"?
flushcalc: how many stories the building has is not given; it is needed, such as stories=8'
none_left other.ini
result $? 'nothing is written then'
run new
refused 'a first site file of nothing, without a terminal' \
    'flushcalc: new needs what is known of the building, such as stories=8; see flushcalc new --help'
run new stories=4 --format json
refused 'a site file has no other form' \
    'flushcalc: new takes no --format; see flushcalc new --help'
if script -qec true /dev/null >/dev/null 2>&1; then
    # a name, 3 stories, and the rest blank; a wrong answer is asked again
    { printf 'Invented hall\nthree\n3\n12 ft\n\n2\n'; yes '' | head -n 30; } |
        script -qec "'$FLUSHCALC' new -o typed.ini" /dev/null >out 2>&1
    grep -q 'stories "three"' out
    result $? 'on a terminal a wrong answer is told'
    run new 'title=Invented hall' stories=3 'floor=12 ft' closets=2
    cmp -s out typed.ini
    result $? 'what is asked for gives the same file'
else
    result 0 'on a terminal a wrong answer is told # SKIP no script'
    result 0 'what is asked for gives the same file # SKIP no script'
fi

# ---- What is refused -------------------------------------------------------

run
refused 'no command' \
    'flushcalc: a command is needed: check, compare, diagnose, effects, flush, help, new, path, quick, size, tables or verify; see flushcalc --help'
run chek works.ini
refused 'a mistyped command' \
    'flushcalc: there is no command "chek"; did you mean "check"? See flushcalc --help'
run frobnicate
refused 'an unknown command' \
    'flushcalc: there is no command "frobnicate"; the commands are check, compare, diagnose, effects, flush, help, new, path, quick, size, tables and verify; see flushcalc --help'
run frobnicate --help
refused 'help of an unknown command' \
    'flushcalc: there is no command "frobnicate"; the commands are check, compare, diagnose, effects, flush, help, new, path, quick, size, tables and verify; see flushcalc --help'
run f
refused 'an abbreviation of one command' \
    'flushcalc: there is no command "f"; did you mean "flush"? See flushcalc --help'
run help chek
refused 'help of a mistyped command' \
    'flushcalc: there is no command "chek"; did you mean "check"? See flushcalc --help'
run help check flush
refused 'help of two commands' \
    'flushcalc: help takes no further argument "flush"; see flushcalc help --help'
run help check --full
refused 'help takes no option' \
    'flushcalc: help takes no --full; see flushcalc help --help'
run check works.ini --ta=pipes --st existing
refused 'an abbreviation of one option, which check does not take' \
    'flushcalc: check takes no --state; see flushcalc check --help'
run check works.ini --he --sh
gives 0 'the help stands above all else'
run check works.ini --sy
refused 'an abbreviated option without its value' \
    'flushcalc: --symptom needs a value'
run check works.ini --f
refused 'an abbreviation of two options' \
    'flushcalc: --f could be --format or --full; see flushcalc --help'
run check works.ini --see=3 --seed 4
refused 'an option twice, once abbreviated' \
    'flushcalc: --seed is given twice'
run check works.ini -o
refused '-o without a file' 'flushcalc: --output needs a value'
run check works.ini -o a.txt --output b.txt
refused '-o and --output' 'flushcalc: --output is given twice'
run check
refused 'check without a site' \
    'flushcalc: check needs a site file; see flushcalc check --help'
run path
refused 'path without a site' \
    'flushcalc: path needs a site file; see flushcalc path --help'
run path works.ini
refused 'path without a fixture' \
    'flushcalc: path needs a fixture; see flushcalc path --help'
run path works.ini wc more
refused 'path with a word too many' \
    'flushcalc: path takes no further argument "more"; see flushcalc path --help'
run flush
refused 'flush without a site' \
    'flushcalc: flush needs a site file; see flushcalc flush --help'
run flush works.ini
refused 'flush without a fixture' \
    'flushcalc: flush needs a fixture, or --all; see flushcalc flush --help'
run flush works.ini wc --all
refused 'flush of all and of one' \
    'flushcalc: --all flushes every valve, so "wc" is not to be named; see flushcalc flush --help'
run flush works.ini :1
refused 'flush of no fixture' 'flushcalc: ":1" names no fixture'
for word in wc: wc:0 wc:two wc:-1 wc:+1 wc:1.0 wc:1:1 'wc: 1' wc:000; do
    run flush works.ini "$word"
    refused "flush of $word" \
        "flushcalc: \"$word\": after the colon goes how many of them flush, a whole number from 1"
done
run flush works.ini wc:2
refused 'flush of more than there are' \
    'flushcalc: 2 of "wc" cannot flush; 1 to 1 is expected'
run flush works.ini wc:99999999999999999999
refused 'flush of more than anybody has' \
    'flushcalc: 2147483647 of "wc" cannot flush; 1 to 1 is expected'
run flush works.ini wc WC:1
refused 'flush of a fixture twice' \
    'flushcalc: "wc" is named twice; each fixture once is expected'
run flush works.ini wd
refused 'flush of a mistyped fixture' \
    'flushcalc: the site has no fixture "wd"; did you mean "wc"?'
run flush works.ini riser
refused 'flush of a pipe' \
    'flushcalc: "riser" is a pipe; the name of a fixture is expected'
site '120 psi' "$high" '[fixture basin]' 'on = riser' 'kind = lavatory' \
    >basin.ini
run flush basin.ini basin
refused 'flush of what has no flush valve' \
    'basin.ini:30: [fixture basin] has no flush valve; a fixture that flushes by a valve is expected'
run flush works.ini wc --state retrofit
refused 'flush after a retrofit that there is not' \
    'flushcalc: works.ini: no fixture has a retrofit valve, so there is only --state existing'
run flush works.ini wc --state new
refused 'flush in an unknown state' \
    'flushcalc: --state "new" is not known; it is existing or retrofit'
run flush works.ini wc --alll
refused 'a mistyped option of flush' \
    'flushcalc: there is no option --alll; did you mean --all?'
run flush works.ini wc --seed 2
refused 'nothing is drawn in flush' \
    'flushcalc: flush takes no --seed; see flushcalc flush --help'
run flush works.ini wc --format csv --table pipes
refused 'flush has no such table' \
    'flushcalc: there is no table "pipes"; the tables are fixtures, elements, findings, contradictions, overrides, assumptions, cautions'
run flush absent.ini wc
refused 'flush of a site that is not there' \
    'absent.ini: cannot be read: No such file or directory'
run check works.ini --all
refused 'check of all' \
    'flushcalc: check takes no --all; see flushcalc check --help'
for number in 0 -1 x '' 1.5 0x1 4294967296 99999999999999999999; do
    run check works.ini --seed "$number"
    refused "the seed $number" \
        "flushcalc: --seed \"$number\" is not a whole number from 1 to 4294967295"
done
for number in 0 two 1025; do
    run check works.ini --threads $number
    refused "$number threads" \
        "flushcalc: --threads \"$number\" is not a whole number from 1 to 1024"
done
run path works.ini wc --threads 1
refused 'path takes no number of threads' \
    'flushcalc: path takes no --threads; see flushcalc path --help'
run check works.ini --unts si
refused 'a mistyped option' \
    'flushcalc: there is no option --unts; did you mean --units?'
run check works.ini --elephant=3
refused 'an unknown option' \
    'flushcalc: there is no option --elephant; see flushcalc --help'
run check -q works.ini
refused 'an unknown short option' \
    'flushcalc: there is no option -q; see flushcalc --help'
run check -é works.ini
refused 'a short option of a foreign letter' \
    'flushcalc: there is no option -é; see flushcalc --help'
long=$(printf 'a%.0s' 1 2 3 4 5 6 7 8 9 10)
long=$long$long$long$long$long$long$long
run check "--$long" works.ini
refused 'an option of 72 letters' "flushcalc: there is no option $(
    printf '%.63s' "--$long"); see flushcalc --help"
commands='check, compare, diagnose, effects, flush, help, new, path, quick'
commands="$commands, size, tables and verify; see flushcalc --help"
for word in "$long" ''; do
    run "$word"
    refused "a command of ${#word} letters" \
        "flushcalc: there is no command \"$word\"; the commands are $commands"
done
run c
refused 'an abbreviation of two commands' 'flushcalc: there is no command "c"; it could be check or compare; see flushcalc --help'
run tables 'copper L'
mv out copper
run tables 'pipe copper L'
cmp -s out copper
result $? 'an entry by its kind and name'
run tables PIPE
mv out pipes
run tables Pipes
[ -s out ] && cmp -s out pipes
result $? 'a kind in the plural'
run quick main=52 up=16ft
mv out usual
run quick --units=us main=52 up=16ft
[ -s out ] && cmp -s out usual
result $? 'quick in the units that are usual'
run check works.ini
mv out usual
run check --output=- works.ini
[ -s out ] && cmp -s out usual
result $? 'standard output by its name'
run check works.ini --units
refused 'an option without its value' 'flushcalc: --units needs a value'
run path works.ini wc --darcy=yes
refused 'a value too many' 'flushcalc: --darcy takes no value'
run check works.ini --units metric
refused 'an unknown system of units' \
    'flushcalc: --units "metric" is not known; it is us or si'
run check works.ini --format jsn
refused 'a mistyped format' \
    'flushcalc: --format "jsn" is not known; did you mean "json"? It is text, html, csv or json'
run path works.ini wc --state new
refused 'an unknown state' \
    'flushcalc: --state "new" is not known; it is existing or retrofit'
run check works.ini --units si --units us
refused 'an option given twice' 'flushcalc: --units is given twice'
run check works.ini --format text --format nonsense
refused 'an option given twice, with an unknown value' \
    'flushcalc: --format is given twice'
run check works.ini --set street.pressure=120psi --set 'site.reserve = 1 psi'
gives 0 '--set twice'
run check works.ini --darcy
refused 'an option of another command' \
    'flushcalc: check takes no --darcy; see flushcalc check --help'
run tables --units si
refused 'tables are shown as they are written' \
    'flushcalc: tables takes no --units; see flushcalc tables --help'
run check works.ini --output ''
refused 'no name for the output' 'flushcalc: --output needs the name of a file'
run check absent.ini
refused 'a site file that is not there' \
    'absent.ini: cannot be read: No such file or directory'
run check - -
refused 'standard input twice' \
    'flushcalc: standard input (-) can be read only once'
run path works.ini wd
refused 'a mistyped fixture' \
    'flushcalc: the site has no fixture "wd"; did you mean "wc"?'
run path works.ini wc --state retrofit
refused 'the retrofit of a building that has none' \
    'flushcalc: works.ini: no fixture has a retrofit valve, so there is only --state existing'
run tables coper L
refused 'a mistyped table' \
    'flushcalc: no table is called "coper L"; did you mean "copper L"? "flushcalc tables" lists all'
run check "$(printf 'a\033[31mb.ini')"
refused 'a path cannot steer the terminal' \
    'a?[31mb.ini: cannot be read: No such file or directory'

# quick: what is refused, in whole
run quick
refused 'quick without a figure and without a terminal' \
    'flushcalc: quick needs figures, such as main=52 up=16ft still=45 one=20; see flushcalc quick --help'
# refuses MESSAGE FIGURE...
refuses() {
    message=$1
    shift
    run quick "$@"
    refused "quick $*" "$message"
}
refuses 'flushcalc: "mian" is not known; did you mean "main"?' mian=52
refuses 'flushcalc: "elephant" is not known; known are main, up, still, one, two, three, need, valves, length, size, pipe, flow, gal, in, flush' elephant=52
refuses 'flushcalc: "52" does not say what it is; KEY=VALUE such as main=52 is expected' 52
refuses 'flushcalc: "ft" stands apart from its figure; up=16ft or "up=16 ft" in quotes is expected' main=60psi up=16 ft
refuses 'flushcalc: main= has no value; psi, such as 52, is expected' main=
refuses 'flushcalc: main= is given twice; one is expected' main=52 MAIN=53
refuses 'flushcalc: main: "-5" is not a pressure that a main has; 1 to 280 psi is expected' main=-5
refuses 'flushcalc: main: "5200" is not a pressure that a main has; 1 to 280 psi is expected' main=5200
refuses 'flushcalc: main: "52gpm" is a flow; a pressure is needed, such as 62 psi or 4.3 bar' main=52gpm
refuses 'flushcalc: no pressure is given; main=, still= or one= is expected' need=25
refuses 'flushcalc: no pressure is given; main=, still= or one= is expected' \
    length=60 size=1 'pipe=copper L'
refuses 'flushcalc: two= was read with 2 flushing; valves=1 is fewer' \
    still=60 one=50 two=40 valves=1
refuses 'flushcalc: valves: "sinks" is not known; how many flush at once, and of closet, blowout or urinal, such as "3 urinals", is expected' \
    still=60 valves=2sinks
refuses 'flushcalc: valves: 1 to 200 at once are expected' still=60 valves=0
refuses 'flushcalc: gal= needs in=, the time in which it was caught from the open line, or flush=, the time of a flush' \
    still=60 gal=1
refuses 'flushcalc: in= needs gal=, what was caught in that time' still=60 in=30
refuses 'flushcalc: in= (water caught from the open line) and flush= (a flush of the valve) are two things; one of them is expected' \
    still=60 gal=1 in=30 flush=4
refuses 'flushcalc: pipe: a material of flushcalc tables pipe, such as copper L, is expected' \
    still=60 length=60 size=1 "$(printf 'pipe=copper L\n[pipe x]')"
run quick main=52 up=16ft still=45 one=20 two=9 --write kept.ini -o report.txt
[ "$status" -eq 1 ] && [ ! -s out ] && [ -s report.txt ] &&
    grep -q '^flushcalc: kept.ini is written, with 2 valves; check cannot tell: ' err &&
    grep -q '^; pressure = 45 psi$' kept.ini
result $? 'quick keeps a site file, and tells where check of it says less'
run check kept.ini
gives 3 'which check takes'
run flush kept.ini valves:2
gives 1 'and of which flush says the same'
run diagnose kept.ini
[ "$status" -eq 3 ] && grep -q '^NOTHING READ YET:' out
result $? 'which diagnose does not hold against what it is drawn from'
! grep -q '^\[reading\|^\[gauge' kept.ini &&
    sed '/^; uncomment these readings/,$s/^; //; /^uncomment/d' kept.ini >read.ini &&
    [ "$(grep -c '^\[reading' read.ini)" -eq 4 ] &&
    "$FLUSHCALC" check read.ini >out 2>err
[ $? -eq 3 ] && [ ! -s err ]
result $? 'whose readings are comments that can be taken up'
run quick still=60 one=70 --write disagree.ini
grep -q '^\[reading one\]' disagree.ini && run check disagree.ini &&
    grep -q '^CANNOT TELL: gauge readings contradict' out
result $? 'but for readings that contradict each other, which stay'
run quick main=60 up=10 one=40 need=25 --write one.ini
[ "$(cat err)" = 'flushcalc: one.ini is written, with 1 valve' ] &&
    grep -q '^count = 1$' one.ini && "$FLUSHCALC" check one.ini >/dev/null
result $? 'the file of quick has as many valves as were told of, and works too'
run quick still=60 one=50 need=25 valves=2 --write doubt.ini
[ "$status" -eq 3 ] && run flush doubt.ini valves:2 && [ "$status" -eq 3 ] &&
    run check doubt.ini && [ "$status" -eq 3 ]
result $? 'the file of quick is no surer than quick'
run quick main=60.44psi up=59.5in still=55.3..55.61 one=30.123 --write fine.ini
grep -q '^rise = 59.5in$' fine.ini && grep -q '^; pressure = 60.44psi$' fine.ini &&
    ! sed 's/^;.*//' fine.ini | grep -E '[0-9]\.[0-9]{4}'
result $? 'the file of quick has figures as given, or with what a gauge shows'
run quick main=52 up=16ft still=45 one=20 need=25 --format html
tr '\n' ' ' <out | sed 's/<style.*<.style>//; s/<[^>]*>/|/g' >words
grep -q 'DOES NOT WORK.*left for losses.*Next: .*Inputs.*Site file' words &&
    ! grep -q -i 'fixture units\|Calculation sheet\|Fixture table' words
result $? 'the page of quick has the answer before its inputs, and no tables'
run quick main = 52 up =16ft 'still= 45' ONE=20 'two = 9'
"$FLUSHCALC" quick main=52 up=16 still=45 one=20 two=9 | cmp -s - out
result $? 'quick takes figures in parts and in any case'
run quick "$(printf 'up=16\342\200\231')" main=52 still=45 one=20psi two=9
"$FLUSHCALC" quick main=52 up=16 still=45 one=20 two=9 | cmp -s - out
result $? 'quick takes typographic quotes'
run quick still=45 59oz in=5s
gives 1 'quick takes a volume without a key'
run quick still=60 one=50 need=25
gives 0 'quick of a valve that works'
run quick main=52 up=16 need=25
gives 3 'quick of what was not measured'
run quick still=60 one=50 need=25 --write /dev/full
[ "$status" -eq 2 ] && [ ! -s out ] && [ -s err ]
result $? 'quick whose site file cannot be kept'

# ---- Verdict and exit status -----------------------------------------------

run check works.ini
gives 0 'a building that works'
holds out 'WORKS: the only fixture; margin ' 'verdict: works'
run check short.ini
gives 1 'a building that is short'
holds out 'DOES NOT WORK: 1 of 1 fixtures is short, by ' \
    'verdict: does not work'
run check unsure.ini
gives 3 'a building that depends on what is not known'
holds out 'CANNOT TELL: not certain for 1 of 1 fixtures; it depends' \
    'verdict: cannot tell'
run check converted.ini
gives 0 'a building that keeps working'
holds out 'WORKS after retrofit: ' 'the retrofit is judged'
holds out 'Existing: works.' 'the existing state is told too'

# 35 psi is what the code asks (IPC 2018, Table 604.3). 25 gpm in a foot of
# 3 in pipe costs far less than 0.01 psi (about 0.1 psi in 100 ft), so that
# this building has a hair less than it needs, and 0.02 psi more a hair more.
site '35 psi' | sed 's/^length = .*/length = 1 ft/; /^rise/d' >hair.ini
run check hair.ini
gives 1 'a hair too little is too little'
holds out 'short, by 0.00' 'and does not look like enough'
run check hair.ini --full
grep -q '^  wc .* -0\.00[1-9]  short$' out
result $? 'nor does it in the table'
site '35.02 psi' | sed 's/^length = .*/length = 1 ft/; /^rise/d' >hair.ini
run check hair.ini
gives 0 'a hair more than enough is enough'
run check hair.ini --full
grep -q '^  wc .* 0\.02  works$' out
result $? 'and does not look like more'

run path short.ini wc
gives 1 'path of a fixture that is short'
run path unsure.ini wc
gives 3 'path of a fixture that cannot be told'
# 55.7 psi less 5 (q / 25)^2, q = n x 25 sqrt(p / 25): with n = 1, 2, 3 on
# p = 55.7 / (1 + n^2 / 5) = 46, 31 and 20 psi; 25 is needed today, 40 then.
{
    site '60 psi' "$high" 'retrofit = new' 'count = 3' |
        sed -e 's/^from = street/from = strainer/' \
            -e '/^\[valve new\]/,/^\[fixture/s/flowing = 25/flowing = 40/'
    printf '[device strainer]\nfrom = street\nloss = 5 psi at 25 gpm\n'
} >unlike.ini
run check unlike.ini
grep -q '^  flush valves at once  *up to 2  *up to 1  then wc$' out
result $? 'at once: both states side by side'
run check unlike.ini --full
holds out '  Existing        up to 2; a 3rd can starve wc (3 of wc).' \
    'at once: the set of the existing state'
holds out '  After retrofit  up to 1; a 2nd can starve wc (2 of wc).' \
    'at once: that after retrofit'
# At midpoint values the pipe of `near` starves it first, of two at once. In
# the worst case `far` is 25 ft up and has 40 psi less 25 x 0.4331 psi, 29.2 psi,
# without any flow.
cat >unlike.ini <<'EOF'
[site]
material = copper L
condition = new
code minimum = no
[source main]
kind = fixed
pressure = 40 psi
[pipe long]
from = main
size = 1-1/2 in
length = 40 ft
rise = 5..25 ft
fittings = none
[fixture far]
on = long
kind = water closet, flush valve
existing = sure
[pipe narrow]
from = main
size = 1 in
length = 20 ft
fittings = none
[fixture near]
on = narrow
kind = water closet, flush valve
count = 2
existing = sure
[valve sure]
minimum flowing = 30 psi
flow = 25 gpm at 30 psi
full flush = 1.6 gal
EOF
run check unlike.ini
grep -q '^  flush valves at once  *not even 1  far$' out
result $? 'at once: who is starved at the worst case is named'
run check --full unlike.ini
grep -q '^  At once  up to 1; a 2nd can starve near (2 of near)' out
result $? 'at once: and with --full who is at midpoint values'
# One flush of 1.6 gal at 25 gpm and more takes up to 4 s of every 10 s, so that
# of the flushes of one valve some 0.4^2 meet both others: far more than 1 in
# 100 is weak, while the code's peak leaves enough.
{
    site '60 psi' "$high" 'count = 3' |
        sed 's/^from = street/from = strainer/'
    printf '[device strainer]\nfrom = street\nloss = 5 psi at 25 gpm\n'
    printf '[usage]\ninterval = 10 s\n'
} >busy.ini
run check busy.ini
gives 3 'a building whose flushes are often weak'
run path busy.ini wc
gives 3 'path: the busy period counts as it does in check'
holds out 'CANNOT TELL: whether wc works depends on what is not known.' \
    'path: and in words'
run path converted.ini wc
gives 0 'path of a fixture that works'
holds out 'to wc at peak, after retrofit' 'path: the retrofit, if any'
run path converted.ini wc --state existing
holds out 'to wc at peak, existing' 'path: the state that is asked for'
run path converted.ini wc --darcy
holds out 'By Darcy-Weisbach ' 'path: the comparison that is asked for'
run path converted.ini wc --darcy --full
holds out 'Darcy-Weisbach: ' 'path: the comparison of every pipe'

# The valve needs 25 psi, and 0.433 psi per ft of height take 4.3 psi: of 120
# psi far more is left, of 29 psi less.
run flush works.ini wc
gives 0 'flush of a valve that has enough'
holds out 'WORKS: wc will stay above the code minimum, ' 'flush: enough'
run flush works.ini WC:1
gives 0 'flush of a name in other letters, counted'
run flush works.ini --all
gives 0 'flush of all'
holds out 'One valve flushes; ' 'flush: how many'
for command in flush path; do
    run $command works.ini wc --format csv
    gives 0 "$command as a table"
    run $command works.ini wc --format html
    gives 0 "$command as a page"
    holds out '</html>' "$command: the whole page"
    run $command works.ini wc
    cp out brief
    run $command works.ini wc --full
    gives 0 "$command in full"
    holds out 'Cautions' "$command: the cautions in full"
    [ "$(wc -l <brief)" -le 40 ] && [ "$(wc -l <out)" -gt 40 ]
    result $? "$command: one screen, unless all is asked for"
done
run flush works.ini wc --format csv --table elements
holds out '"street","source",' 'flush: another table'
site '29 psi' >shorter.ini
run flush shorter.ini wc
gives 1 'flush of a valve that is short'
holds out 'DOES NOT WORK: wc will be below the code minimum, short by ' \
    'flush: short'
site '29..120 psi' "$high" >either.ini
run flush either.ini wc
gives 3 'flush of a valve that cannot be told'
holds out 'CANNOT TELL: wc is between ' 'flush: cannot tell'
run flush converted.ini wc
gives 0 'flush after the retrofit'
holds out 'WORKS after retrofit: ' 'flush: the retrofit, if any'
run flush converted.ini wc --state existing
holds out 'WORKS existing: ' 'flush: the state that is asked for'
run flush converted.ini wc --format json --units si
gives 0 'flush in JSON'
holds out '"state": "retrofit"' 'flush in JSON: the state'
holds out '"pressure": "kPa"' 'flush in JSON: the units asked for'
run flush converted.ini wc --output flush.txt
[ "$status" -eq 0 ] && [ ! -s out ] && [ ! -s err ] && [ -s flush.txt ]
result $? 'flush to a file'
"$FLUSHCALC" flush - wc <works.ini >out 2>err
status=$?
gives 0 'flush of a site from standard input'

run check works.ini
cp out drawn
for words in '--seed 1' '--threads 1' '--seed 1 --threads 3'; do
    # shellcheck disable=SC2086 # words are meant
    run check works.ini $words
    gives 0 "check $words"
    cmp -s out drawn
    result $? "check $words: the same as by default"
done

run tables
gives 0 'tables'
run tables COPPER l
gives 0 'tables of a name in other letters, unquoted'
holds out 'pipe copper L' 'tables: the entry in full'
holds out 'source' 'tables: its source'

# ---- Surge -----------------------------------------------------------------

# 60 psi and a valve that is shut in 20 ms, sooner than a wave is back over 100
# ft of copper (48 ms at 1,270 m/s): Joukowsky, density times wave speed times
# velocity, 998 kg/m3 x 1,270 m/s x 2.4 m/s or more = 440 psi.
surging() {
    printf '%s\n' '[source main]' 'kind = fixed' 'pressure = 60 psi' '[pipe p]' \
        'from = main' 'material = copper L' 'size = 1 in' 'length = 100 ft' \
        'fittings = none' 'condition = new' "$2" '[fixture wc]' 'on = p' \
        'kind = water closet, flush valve' 'existing = v' '[valve v]' \
        'flow = 25 gpm at 25 psi' 'minimum flowing = 5 psi' "closing time = $1"
}
surging '0.02 s' 'pressure rating = 150 psi' >bang.ini
run effects bang.ini
gives 1 'effects: a surge over a rating'
holds out 'DOES NOT WORK' 'effects: its verdict'
run check bang.ini
gives 1 'check: a surge over a rating'
holds out 'TOO HIGH: static + surge ' 'check: that it is too high'
surging '0.02 s' '' >maybe.ini
run check maybe.ini
gives 0 'check: no rating is given, so nothing is too high'
run effects maybe.ini
gives 3 'effects: no rating is given'
surging '3 s' 'pressure rating = 150 psi' >soft.ini
run effects soft.ini
gives 0 'effects: a slow valve'
holds out 'WORKS: no harm found in ' 'effects: its verdict'
run effects soft.ini --format json
gives 0 'effects in JSON'
holds out '"closure": "slow"' 'effects in JSON: how it closes'
holds out '"why": "static + surge within the ratings, 125 to 200 psi where none is given, if valves close one at a time, each in ' \
    'effects in JSON: what it rests on'
run effects soft.ini --full --units si
gives 0 'effects in full'
holds out 'Surge as each flush valve closes' 'effects in full: its table'

# ---- Water of a year -------------------------------------------------------

# Worksheet of the IAPMO Green Plumbing and Mechanical Code Supplement, 150 men
# and 150 women, read on a public page: 1,260 gal a day, 918 with 1.28 gal
# closets and 0.5 gal urinals, over 260 days; 1 m3 is 264.17205 gal.
restrooms() {
    printf '%s\n' '[source s]' 'kind = fixed' 'pressure = 60 psi' '[pipe p]' \
        'from = s' 'material = copper L' 'size = 2 in' 'length = 40 ft' \
        'fittings = none' 'condition = new'
    for fixture in 'men|water closet|old-wc|new-wc|men' \
        'women|water closet|old-wc|new-wc|women' 'urinals|urinal|old-u|new-u|men'; do
        echo "$fixture" | sed 's/\(.*\)|\(.*\)|\(.*\)|\(.*\)|\(.*\)/[fixture \1]\
on = p\
kind = \2, flush valve\
existing = \3\
retrofit = \4\
used by = \5/'
    done
    for valve in 'old-wc 1.6' 'old-u 1.0' 'new-wc 1.28' 'new-u 0.5'; do
        printf '%s\n' "[valve ${valve% *}]" 'flow = 25 gpm at 25 psi' \
            'minimum flowing = 25 psi' "full flush = ${valve#* } gal" \
            'sensor = no' 'closing time = 2 s' 'closes at = 20 psi'
    done
    printf '%s\n' '[usage]' 'men = 150' 'women = 150' 'days per year = 260'
}
restrooms >restrooms.ini
run effects restrooms.ini --format csv
gives 0 'effects in CSV'
holds out 'area,what,unit,existing_value,existing_value_low,existing_value_high,retrofit_value,' \
    'effects in CSV: what its columns are'
holds out '"water","flush water a year, gal","gal",327600,327600,327600,238680,238680,238680,"328,000","239,000",' \
    'effects in CSV: numbers beside the words'
run effects restrooms.ini --units si
gives 0 'effects in SI'
holds out 'flush water a year, m3' 'effects in SI: water as it is billed'
holds out '1,240' 'effects in SI: how much of it'
run effects restrooms.ini --units si --format csv --table water.fixtures
holds out 'existing.water [m3]' 'effects in SI: water of each valve'
run effects restrooms.ini --format html
gives 0 'effects as a page'
holds out '<td>closes at</td><td>20 psi</td>' \
    'effects as a page: what is given of a valve'
holds out '<td>used by</td><td>women</td>' \
    'effects as a page: what is given of a fixture'

# ---- Claims ----------------------------------------------------------------

# With nothing flowing 4.3 psi less than at the street stand at the valve; by
# Hazen and Williams 10 ft of 3 in pipe take 0.04 psi more at the 54 gpm that
# it draws from 116 psi.
claim='while = alone
state = existing'
claimed() {
    site "$1" "$high" 'retrofit = new' '[claim high]' 'fixture = wc' \
        "flowing = $2" "$claim" 'stated in = an invented letter'
}
claimed '120 psi' '110 psi' >true.ini
claimed '120 psi' '118 psi' >false.ini
claimed '100..140 psi' '116 psi' >open.ini
claim='while = none
state = existing'
claimed '100..140 psi' '90 psi' >still.ini
claimed '100..140 psi' '140 psi' >stillno.ini
claim='while = peak
state = existing'
claimed '100..140 psi' '116 psi' >peak.ini
run verify
refused 'verify without a site' \
    'flushcalc: verify needs a site file; see flushcalc verify --help'
run verify true.ini false.ini
refused 'verify of two sites' \
    'flushcalc: verify takes no further argument "false.ini"; see flushcalc verify --help'
run verify works.ini
refused 'verify without a claim' \
    'flushcalc: the site has no claim; a [claim] with a fixture and a flowing pressure is expected'
run verify true.ini --state existing
refused 'claims have a state of their own' \
    'flushcalc: verify takes no --state; see flushcalc verify --help'
run verify true.ini --record --format json
gives 0 'a record in JSON'
holds out '"verdict": "supported"' 'a record in JSON: what verify has'
run verify true.ini --record --format csv --table readings
gives 0 'a record in CSV'
run verify true.ini --record --format html
gives 0 'a record as a page'
holds out 'Inspection record of flowing pressures' 'a record as a page: its title'
run check works.ini --record
refused 'a check has no record' \
    'flushcalc: check takes no --record; see flushcalc check --help'
run verify true.ini
gives 0 'a true claim'
holds out 'SUPPORTED: high, at least 110.0 psi' 'verify: a true claim is supported'
holds out 'no input is a range' 'verify: that nothing varies is said'
run verify false.ini
gives 1 'a false claim'
holds out 'CONTRADICTED: high, ' 'verify: a false one is contradicted'
# 34.97 psi are 241.11 kPa, and the 35 psi of the code 241.32 kPa.
claim='while = alone
state = existing'
claimed '120 psi' '34.97 psi' >under.ini
run verify under.ini --units si
holds out 'at least 241.1 kPa' 'verify: what differs looks different'
holds out 'but under the code minimum of 241.3 kPa' 'verify: from the code too'
run verify still.ini
gives 3 'a claim without flow'
holds out 'UNDECIDED: high, ' 'verify: what stands supports no flow'
holds out 'nothing flows there' 'verify: that nothing flows is said'
holds out 'as in 1 of wc' 'verify: what to name is said'
run verify stillno.ini --full
gives 3 'a claim without flow that even what stands misses'
holds out 'decides nothing' 'verify: it decides nothing either'
run verify peak.ini
gives 3 'a claim at peak'
holds out 'No gauge can be read at peak demand' 'verify: none at peak'
holds out 'Peak demand is' 'verify: a peak is computed'
run verify peak.ini --record
gives 3 'a record of a claim at peak'
holds out 'while flushing: ____ of ____________, ____ of ____________' \
    'a record at peak: blanks for the valves'
holds out 'the peak was not witnessed' 'a record at peak: it is computed'
run verify open.ini
holds out 'Read a gauge at wc while one flushes' 'verify: what would settle it'
run verify open.ini --full --threads 1
gives 3 'a claim that may be true'
holds out 'UNDECIDED: high, ' 'verify: what decides is open'
holds out 'pressure of street controls (100% of' 'verify: the input that decides'
cp out one.txt
run verify open.ini --full --threads 3
cmp -s out one.txt
result $? 'verify: the same with any number of threads'
run verify open.ini --full --seed 2
gives 3 'verify: another seed'
cmp -s out one.txt
[ $? -eq 1 ]
result $? 'verify: another seed draws other buildings'
run verify open.ini --format json --units si
gives 3 'claims in JSON'
holds out '"verdict": "undecided"' 'claims in JSON: the verdict'
holds out '"pressure": "kPa"' 'claims in JSON: the units asked for'
run verify open.ini --record
gives 3 'an inspection record'
holds out 'Signature  ____' 'an inspection record: where to sign'
holds out 'an invented letter' 'an inspection record: the document'
holds out ' open.ini' 'an inspection record: the site file'
holds out 'Residual        not read' 'an inspection record: what is to be read'
awk 'length($0) > 80 { bad = 1 } END { exit bad }' out
result $? 'an inspection record: no line over 80 columns'
run verify open.ini --record --output record.txt
[ "$status" -eq 3 ] && [ ! -s out ] && [ -s record.txt ]
result $? 'an inspection record in a file'

# The digests that coreutils find, of what was read.
cat >more.tables <<'EOF'
[valve sensor]
source = invented
minimum flowing = 20 psi
EOF
sed 's/^title = .*/&\ntables = more.tables/' open.ini >amended.ini
digest_is() {
    awk -v label="$2" '
        index($0, "  " label " ") == 1 { on = 1 }
        on && /SHA-256/ { sum = $2; getline; print sum $1; exit }' out >sum
    [ "$(sha256sum "$1" | cut -d " " -f 1)" = "$(cat sum)" ]
    result $? "an inspection record: the SHA-256 of the $2"
}
run verify amended.ini --record
gives 3 'a record of a site with tables of its own'
digest_is amended.ini 'Site file'
digest_is more.tables 'Tables file'
# What went through a pipe cannot be read again: the digest is that of the text.
mkfifo through
timeout 60 cat amended.ini >through &
run verify through --record
wait $!
gives 3 'a record of what went through a pipe'
digest_is amended.ini 'Site file'
run verify amended.ini --record
holds out 'amended by more.tables: [valve sensor]' 'a record: amended tables'
"$FLUSHCALC" verify - --record <open.ini >out 2>err
status=$?
gives 3 'a record of standard input'
digest_is open.ini 'Site file'
SOURCE_DATE_EPOCH=951782399 "$FLUSHCALC" verify open.ini --record >out 2>err
holds out '2000-02-28 23:59 UTC' 'a record: the date that is set'
year=$(date -u +%Y)
SOURCE_DATE_EPOCH='' "$FLUSHCALC" verify open.ini --record >out 2>err
grep -q -e "$year-[0-9-]* [0-9:]* UTC" -e "$(date -u +%Y)-[0-9-]* [0-9:]* UTC" \
    out
result $? 'a record: the date of today'
for date in x -1 1e9 '' 99999999999999999999; do
    SOURCE_DATE_EPOCH=$date "$FLUSHCALC" verify open.ini --record >out 2>err
    status=$?
    if [ -z "$date" ]; then
        gives 3 'a record: an empty date is none'
    else
        refused "a record: a date $date" "flushcalc: SOURCE_DATE_EPOCH is \
\"$date\"; whole seconds since 1970 are expected"
    fi
done

# Each page has its head, and no more lines than a page.
i=0
{
    cat open.ini
    while [ $i -lt 9 ]; do
        i=$((i + 1))
        printf '[claim more-%d]\nfixture = wc\nflowing = 30 psi\n' $i
    done
} >long.ini
{
    cat open.ini
    while [ $i -lt 70 ]; do
        i=$((i + 1))
        printf '[claim a-claim-of-the-submittal-of-the-year-%d]\n' $i
        printf 'fixture = wc\nflowing = %d psi\n' $((60 + i))
        printf 'while = 1 of wc\nsupply = 115 psi\n'
    done
} >many.ini
run verify many.ini
gives 1 'many claims'
awk 'length($0) > 79 { bad = 1 } END { exit bad || NR > 40 }' out
result $? 'many claims: one screen'
holds out 'more:' 'many claims: what is folded'
run verify many.ini --full
holds out 'a-claim-of-the-submittal-of-the-year-70: ' 'many claims: all, in full'
run verify long.ini --record
gives 3 'a record of many pages'
awk '
    BEGIN { RS = "\f" }
    {
        n = split($0, line, "\n")
        if (n > 61 || line[1] !~ "^INSPECTION RECORD.* page " NR " of ")
            bad = 1
        of = line[1]
        sub(/.* of /, "", of)
    }
    END { exit bad || NR < 4 || of != NR }' out
result $? 'a record of many pages: the head of each'

# ---- Readings --------------------------------------------------------------

# 80 psi ahead of a strainer that takes 10 psi at 25 gpm and a valve that takes
# 25 psi at 25 gpm, together 0.056 psi/gpm2: 0.04 * 80 / 0.056 = 57.143 psi are
# left behind the strainer.  With 11 psi more at 25 gpm the flow is
# sqrt(80 / 0.0736) = 32.97 gpm, 43.478 psi are left, and the strainer takes
# 0.0176 * 80 / 0.0736 = 19.1 psi more.
read_there() {
    cat <<EOF
[site]
title = Invented hall
[source main]
kind = fixed
pressure = 80 psi
[pipe riser]
from = main
c = 150
inside diameter = 12 in
length = 1 ft
[device strainer]
from = riser
loss = 10 psi at 25 gpm
[valve v]
minimum flowing = 10 psi
flow = 25 gpm at 25 psi
[valve w]
minimum flowing = 10 psi
flow = 12.5 gpm at 25 psi
[fixture wc]
on = strainer
kind = water closet, flush valve
existing = v
retrofit = w
EOF
    while [ $# -gt 0 ]; do
        printf '[reading %s]\nat = %s\nflushing = %s\npressure = %s\n' \
            "$1" "$2" "$3" "$4"
        printf 'within = 0.1 psi\n'
        shift 4
    done
}
read_there still strainer none '80 psi' \
    open strainer wc '57.1 psi' >sound.ini
read_there still strainer none '80 psi' \
    ahead riser wc '80 psi' behind strainer wc '43.478 psi' >fouled.ini
printf '[reading timed]\nat = wc\nflow = 32.969 gpm\nflushing = wc\n' \
    >>fouled.ini
read_there still strainer none '80 psi' \
    behind strainer wc '43.478 psi' >several.ini
read_there first strainer none '80 psi' \
    second riser none '70 psi' third strainer none '60 psi' >odd.ini
(cat sound.ini; printf '[reading new]\nat = wc\nflushing = wc\n'
    printf 'pressure = 72.7 psi\nwithin = 0.1 psi\nstate = retrofit\n') \
    >states.ini
run diagnose
refused 'diagnose without a site' \
    'flushcalc: diagnose needs a site file; see flushcalc diagnose --help'
run diagnose sound.ini fouled.ini
refused 'diagnose of two sites' \
    'flushcalc: diagnose takes no further argument "fouled.ini"; see flushcalc diagnose --help'
run diagnose works.ini --symptom weak
gives 3 'diagnose without a reading'
holds out 'NOTHING READ YET' 'diagnose: nothing is read'
holds out 'Static, nothing open anywhere, at ' 'diagnose: the first visit'
holds out 'Check by hand' 'diagnose: by hand on a first visit'
run diagnose works.ini --sheet
gives 3 'a sheet of a first visit'
holds out '     ________________' 'a sheet of a first visit: its blanks'
run diagnose works.ini --sheet --symptom weak
holds out 'Check by hand' 'a sheet of a first visit: what is looked at by hand'
run diagnose sound.ini --seed 3
refused 'nothing is drawn by chance' \
    'flushcalc: diagnose takes no --seed; see flushcalc diagnose --help'
site '120 psi' "$high" '[reading r]' 'at = wc' 'pressure = 115 psi' >plain.ini
run diagnose plain.ini --state retrofit
refused 'new valves that are not there' \
    'flushcalc: no fixture has a retrofit valve; the existing state is expected'
run diagnose sound.ini --symptom wek
refused 'a mistyped symptom' \
    'flushcalc: --symptom "wek" is not known; did you mean "weak"? It is short, weak, long, runs on, noise or splash'
run diagnose sound.ini --symptom
refused 'a symptom that is not said' 'flushcalc: --symptom needs a value'
run verify true.ini --symptom weak
refused 'a claim has no symptom' \
    'flushcalc: verify takes no --symptom; see flushcalc verify --help'
run diagnose sound.ini --sheet --format json
gives 0 'a field sheet in JSON'
holds out '"report": "diagnose --sheet"' 'a field sheet in JSON: which report'
holds out '"made": "2' 'a field sheet in JSON: its date'
run diagnose sound.ini --sheet --format html
gives 0 'a field sheet as a page'
holds out '<dd>Field sheet of gauge readings</dd>' 'a field sheet as a page: its title'
run diagnose sound.ini --format csv
gives 0 'readings in CSV'
holds out 'name,at,open,static,pressure [psi],' 'readings in CSV: the table of readings'
run diagnose sound.ini
gives 0 'readings as described'
holds out 'CHECKS OUT: piping and supply' 'diagnose: it checks out'
holds out ' 57.1     57.1 ' 'diagnose: what is expected'
[ "$(grep -c 'Check by hand' out)" -eq 0 ]
result $? 'diagnose: nothing by hand without a symptom'
# the same closet wants 60 psi where 57.1 are left
sed 's/minimum flowing = 10 psi/minimum flowing = 60 psi/' sound.ini >little.ini
run diagnose little.ini
gives 1 'readings as described, and too little'
holds out 'PIPING CHECKS OUT, TOO LITTLE PRESSURE: 57.1 psi at wc' \
    'diagnose: what there is'
holds out 'requires 60.0 psi: short by 2.9 psi' 'diagnose: what is missing'
run diagnose sound.ini --symptom 'runs on'
gives 0 'a valve that runs on'
holds out '4.  handle or button stuck' 'diagnose: what is looked at by hand'
run diagnose fouled.ini
gives 3 'a fouled strainer that one reading speaks for'
holds out 'The next look' 'diagnose: a look'
holds out 'shows = clogged | clean' 'diagnose: what it may show'
printf '[look in]\nat = strainer\nshows = clogged\n' >>fouled.ini
run diagnose fouled.ini
gives 1 'a fouled strainer'
holds out 'FOUND: strainer partly plugged: about 19 psi more lost with wc open (33' \
    'diagnose: the cause'
holds out 'Where     between riser and strainer' 'diagnose: a work order'
[ "$(grep -c 'The next' out)" -eq 0 ]
result $? 'diagnose: no further reading'
run diagnose several.ini
gives 3 'readings that leave several causes'
holds out 'NARROWED DOWN' 'diagnose: several are left'
holds out 'Put the gauge at main (first hose bibb or meter outlet on the house side)' \
    'diagnose: the next reading'
# the main itself gives 80 psi, or 80 - 19.1 where it sags
holds out '  80.0 psi ' 'diagnose: what it may show'
holds out '  60.9 psi ' 'diagnose: what else it may show'
run diagnose odd.ini
gives 3 'readings that contradict each other'
holds out "READINGS DON'T AGREE" 'diagnose: they are to be taken again'
holds out 'Which, and by how much' 'diagnose: what contradicts what'
[ "$(grep -c 'Causes one by one' out)" -eq 0 ]
result $? 'diagnose: nothing is made of them'
# At 25 sqrt(30 / 25) = 27.4 gpm the main loses 10 psi, the riser 10, and the
# strainer 18 more than its 12: three things at once.
read_there a main wc '70 psi' b riser wc '60 psi' c strainer wc '30 psi' \
    d riser none '80 psi' >three.ini
run diagnose three.ini
gives 3 'readings that nothing explains'
holds out 'CANNOT TELL: neither one fault nor two explain' 'diagnose: nothing explains them'
run diagnose three.ini --format json
gives 3 'readings that nothing explains, in JSON'
holds out '"verdict": "cannot tell"' 'in JSON: nothing explains them'
run diagnose states.ini
gives 0 'a reading with other valves'
holds out '1 reading taken with the retrofit valves is not used' \
    'diagnose: a reading with other valves is left out'
run diagnose states.ini --state retrofit
gives 0 'readings with the new valves'
holds out '1 reading taken with the existing valves is not used' \
    'diagnose: a reading with the old valves is left out'
run diagnose several.ini --format json --units si
gives 3 'readings in JSON'
holds out '"verdict": "narrowed down"' 'readings in JSON: the answer'
holds out '"kind": "blocked"' 'readings in JSON: the kind of a cause'
holds out '"pressure": "kPa"' 'readings in JSON: the units asked for'
# 80 psi are 551.58 kPa
holds out '"pressure": 551.58' 'readings in JSON: a pressure in them'
{
    cat several.ini
    printf '[reading caught]\nat = wc\nfilled = 4 gal in 7.28 s\nflushing = wc\n'
} >flows.ini
# 4 gal in 7.28 s are 32.97 gpm, 2.079897 L/s; sqrt(80 / 0.056) = 37.80 are
# expected, and a tenth of what was read is the accuracy
run diagnose flows.ini
holds out ' 33.0     37.8    -4.8         3.3  gpm' 'diagnose: a flow beside pressures'
run diagnose flows.ini --full
holds out 'Flows read' 'diagnose: flows that were read'
holds out ' 33.0     37.8    -4.8         3.3' 'diagnose: a flow beside its like'
run diagnose flows.ini --format json --units si
holds out '"flow": 2.07989' 'readings in JSON: a flow'
run diagnose flows.ini --sheet
holds out 'Flows read so far' 'a field sheet: flows'
holds out ' 37.8  33.0         3.3' 'a field sheet: a flow that was read'
run diagnose several.ini --sheet
gives 3 'a field sheet'
holds out 'FIELD SHEET OF GAUGE READINGS' 'a field sheet: its heading'
holds out '60.9 to 80.0  ________   ________' 'a field sheet: what is to be read'
holds out '57.1  43.5        0.1' 'a field sheet: what was read'
awk 'length($0) > 80 { bad = 1 } END { exit bad }' out
result $? 'a field sheet: no line over 80 columns'
run diagnose several.ini --sheet --output sheet.txt
[ "$status" -eq 3 ] && [ ! -s out ] && [ -s sheet.txt ]
result $? 'a field sheet in a file'

# ---- Sizes and remedies ----------------------------------------------------

# 27 gpm, the code's peak of one closet, in type L copper (ASTM B88): 10.5 ft/s
# in 1 in, 6.9 ft/s in 1-1/4 in; the limit is 8.  From 120 psi pressure is no
# matter, and from 30 psi no size gives 35 psi ten feet up.
open_size='s/^size = 3 in/size = choose/'
site '120 psi' "$high" | sed "$open_size" >choose.ini
site '30 psi' | sed "$open_size" >nosize.ini

run size
refused 'size without a site' \
    'flushcalc: size needs a site file; see flushcalc size --help'
run size choose.ini nosize.ini
refused 'size of two sites' \
    'flushcalc: size takes no further argument "nosize.ini"; see flushcalc size --help'
run size absent.ini
refused 'size of a site that is not there' \
    'absent.ini: cannot be read: No such file or directory'
run size works.ini
refused 'size with nothing to choose' \
    'works.ini: no pipe has its size to choose; "size = choose" is expected of at least one; to look for a fix: flushcalc size --remedy'
run size choose.ini --state existing
refused 'size is for every state' \
    'flushcalc: size takes no --state; see flushcalc size --help'
run size choose.ini --format csv
gives 0 'size writes csv'
holds out 'name,from,material,size,' 'size: its table in csv'
run size choose.ini --format csv --table nothing
refused 'a table that size does not have' \
    'flushcalc: there is no table "nothing"; the tables are pipes, event_margin_at, contradictions, findings, overrides, assumptions, cautions'
run size short.ini --remedy=yes
refused 'a value too many for --remedy' 'flushcalc: --remedy takes no value'
run size choose.ini --wriet sized.ini
refused 'a mistyped option of size' \
    'flushcalc: there is no option --wriet; did you mean --write?'
for option in remedy 'write x.ini' 'pick 1'; do
    # shellcheck disable=SC2086 # words are meant
    run check works.ini --$option
    refused "check takes no --${option%% *}" \
        "flushcalc: check takes no --${option%% *}; see flushcalc check --help"
done
run check choose.ini
refused 'check of a pipe without a size' \
    'choose.ini:11: [pipe riser] size is to be chosen; run flushcalc size, or give a nominal size'
run size choose.ini --remedy
refused 'remedies for a pipe without a size' \
    'choose.ini:11: [pipe riser] size is to be chosen; run flushcalc size, or give a nominal size'

needs='flushcalc: --pick says which option to write; it needs --remedy and --write'
run size short.ini --remedy --pick 1
refused 'a remedy picked but not written' "$needs"
run size short.ini --pick 1 --write written.ini
refused 'a remedy picked without --remedy' "$needs"
run size choose.ini --pick 1
refused 'a remedy picked alone' "$needs"
run size short.ini --remedy --write written.ini
refused 'which remedy is to be written' \
    'flushcalc: --write needs --pick N, the number of the option to write; see flushcalc size --help'
for number in 0 x '' -1 1.5 1000001 99999999999999999999; do
    run size short.ini --remedy --write written.ini --pick "$number"
    refused "remedy $number" \
        "flushcalc: --pick \"$number\" is not a whole number from 1 to 1000000"
done
run size short.ini --remedy --write written.ini --pick 99
refused 'a remedy that there is not' \
    'flushcalc: there is no option 99 that works; there is nothing to write'
run size works.ini --remedy --write written.ini --pick 1
refused 'a remedy for what works' \
    'flushcalc: there is no option 1 that works; there is nothing to write'
for name in - ''; do
    run size choose.ini --write "$name"
    refused "a site written to \"$name\"" \
        'flushcalc: --write needs the name of a file'
done
run size choose.ini --write written.ini --write other.ini
refused '--write twice' 'flushcalc: --write is given twice'
if ls written.ini other.ini >/dev/null 2>&1; then
    result 1 'what is refused writes no site'
else
    result 0 'what is refused writes no site'
fi

run size choose.ini --write absent/sized.ini
refused 'a site written to a folder that is not there' \
    'flushcalc: absent/sized.ini cannot be written: No such file or directory'
run size choose.ini --write absent/sized.ini --output kept-away.txt
refused 'no report where the site cannot be written' \
    'flushcalc: absent/sized.ini cannot be written: No such file or directory'
[ ! -e kept-away.txt ]
result $? 'nor a file of it'
mkdir occupied
run size choose.ini --write occupied
refused 'a site written to a folder' \
    'flushcalc: occupied cannot be written: Is a directory'

run size choose.ini
gives 0 'sizes are found'
holds out 'WORKS with the sizes found for 1 pipe: 12.5 inch-feet, the lowest' \
    'size: how many, and what they cost'
cp out sizes.txt
run size choose.ini --write sized.ini
written sized.ini 'the sizes chosen' 'sizes are written'
cmp -s out sizes.txt
result $? 'the report is the same as without --write'
holds sized.ini 'size = 1-1/4 in' 'the site has its size'
run check sized.ini
gives 0 'the site with its sizes works'
run size choose.ini --write sized-too.ini --output report-too.txt
[ "$status" -eq 0 ] && [ ! -s out ] && [ "$(cat err)" = \
    'flushcalc: sized-too.ini is written, with the sizes chosen' ] \
    && cmp -s sized.ini sized-too.ini && cmp -s sizes.txt report-too.txt
result $? 'sizes and their report, each to its file'
"$FLUSHCALC" size - --write sized-in.ini <choose.ini >out 2>err
status=$?
written sized-in.ini 'the sizes chosen' 'size of a site from standard input'
cmp -s sized.ini sized-in.ini
result $? 'it is written the same'
none_left ./.flushcalc.*
result $? 'no temporary file is left'
run size choose.ini --format json --units si
gives 0 'sizes in JSON'
holds out '"feasible": true' 'sizes in JSON: whether there are any'
holds out '"length": "m"' 'sizes in JSON: the units asked for'
run size nosize.ini
gives 1 'no sizes do'
holds out 'DOES NOT WORK with any sizes. ' 'size: none do'
run size nosize.ini --format json
gives 1 'no sizes do, in JSON'
holds out '"feasible": false' 'no sizes in JSON: that there are none'
run size nosize.ini --write written.ini
[ "$status" -eq 1 ] && [ "$(cat err)" = \
    'flushcalc: no sizes work at peak, so written.ini is not written' ]
result $? 'sizes that do not work are not written'
holds out 'DOES NOT WORK with any sizes. ' 'the report tells why all the same'
[ ! -e written.ini ]
result $? 'no site of them is there'

cat >tanks.ini <<'END'
[source main]
kind = fixed
pressure = 50 psi
[fixture wc]
on = main
kind = water closet, flush tank
END
run flush tanks.ini --all
refused 'all flush valves where there is none' \
    'tanks.ini: no fixture has a flush valve; one that flushes by a valve is expected'

# numbered TEXT -- the number of the option that begins so
numbered() {
    sed -n "s/^ *\\([1-9][0-9]*\\)  $1 .*/\\1/p" out
}

# With 30 psi pressure helps, and no pipe does: the height alone leaves 25.7.
run size short.ini --remedy
gives 0 'a building that can be cured'
holds out ' options work alone.' 'remedy: how many options work'
cures=$(numbered 'Raise the pressure of street')
fails=$(sed -n '/^Options that do not work alone/,/^$/s/^ *\([1-9]\)  .*/\1/p' out |
    head -n 1)
[ -n "$cures" ] && [ -n "$fails" ] && [ "$cures" != "$fails" ]
result $? 'remedy: what would do and what would not, numbered'
run size short.ini --remedy --pick "$fails" --write written.ini
refused 'a remedy that does not work' \
    "flushcalc: there is no option $fails that works; there is nothing to write"
[ ! -e written.ini ]
result $? 'it is not written'
run size short.ini --remedy --pick "$cures" --write written.ini
written written.ini "option $cures" 'a remedy is written'
sed 's/^kind = fixed/kind = street main/; s/^pressure/static/' short.ini \
    >main.ini
run size main.ini --remedy
holds out 'What the city main would have to give' \
    'remedy: a city main is not in reach'
main=$(numbered 'Not in your hands: the utility would have to raise')
run size main.ini --remedy --pick "$main" --write raised.ini
[ "$(cat err)" = "flushcalc: raised.ini is written, with option $main, which is not in your hands" ]
result $? 'what a city main would have to give is written, and said to be that'
holds raised.ini '; Not in your hands: the utility would' \
    'the file itself says so'
run check written.ini
gives 0 'the site with the remedy works'
run check short.ini
gives 1 'the site itself is as it was'
run size works.ini --remedy
gives 0 'a building that needs no cure'
holds out 'Nothing to fix.' 'remedy: nothing to fix'
run size short.ini --remedy --format json
gives 0 'remedies in JSON'
holds out '"kind": "source"' 'remedies in JSON: the levers'
run size short.ini --remedy --format csv
gives 0 'remedies in CSV'
holds out 'number,kind,works,' 'remedies in CSV: the options come first'

# Of 120 psi a reducer leaves 86 to 94, and the site allows 80.
{
    site '120 psi' | sed '/^\[fixture/,$d'
    printf '[reducer r]\nfrom = riser\nset = 86..94 psi\n'
    site '120 psi' | sed -n '/^\[fixture/,$s/^on = riser/on = r/;/^\[fixture/,$p'
} >ranged.ini
run size ranged.ini --remedy --full
gives 0 'a reducer set to a range can be turned down'
holds out '  r    86.0..94.0 ' 'remedy: its setting with its ends'
holds out '  The set pressure of r is known to 86.0..94.0 psi only; at least and at' \
    'remedy: that the window is that of the middle'
run size ranged.ini --remedy --format json
holds out '"set_low": 86' 'remedies in JSON: the low end of a setting'
run size short.ini --remedy --full
if grep -q 'is known to' out; then
    result 1 'remedy: no word of ends where there are none'
else
    result 0 'remedy: no word of ends where there are none'
fi

# ---- A tables file, and a site written into another folder ------------------

# Of 40 psi 30 ft up 27 are left (0.433 psi a foot): enough for the valve's 25
# where a file of one's own asks for 5, and not where one of the same name in
# the other folder asks for 50.
closet_table() {
    printf '[fixture ipc water closet, flush valve]\n'
    printf 'source = invented for this test\npressure = %s\n' "$1"
}
tabled() {
    site '40 psi' "tables = $1" |
        sed -e 's/^\(rise\|length\) = .*/\1 = 30 ft/' -e "$open_size"
}
mkdir -p there/deep elsewhere
closet_table '5 psi' >there/own.ini
closet_table '5 psi' >own.ini
for name in there/deep/own.ini elsewhere/own.ini; do
    closet_table '50 psi' >$name
done
ln -s there/deep linked
tabled own.ini >there/tabled.ini
tabled ../there/./own.ini >there/winding.ini
tabled "$PWD/own.ini" >there/absolute.ini
tabled own.ini >tabled.ini

# moved SITE WRITTEN TABLES -- it is written so, and is sized as SITE is
moved() {
    rm -f "$2"
    run size "$1" --write "$2"
    written "$2" 'the sizes chosen' "$2 of $1: it is written"
    holds "$2" "tables = $3" "$2 of $1: its tables"
    run check "$2"
    gives 0 "$2 of $1: it works with the same tables"
}
moved there/tabled.ini there/sized.ini 'own.ini'
if grep -q '^tables.*was' there/sized.ini; then
    result 1 'in the same folder the tables stand as they did'
else
    result 0 'in the same folder the tables stand as they did'
fi
moved there/tabled.ini sized-up.ini 'there/own.ini ; was own.ini'
moved there/tabled.ini there/deep/sized.ini '../own.ini ; was own.ini'
moved there/tabled.ini linked/sized-by-link.ini '../own.ini ; was own.ini'
moved there/tabled.ini elsewhere/sized.ini '../there/own.ini ; was own.ini'
moved there/winding.ini elsewhere/sized.ini '../there/../there/./own.ini'
moved there/absolute.ini elsewhere/sized.ini "$PWD/own.ini"
moved tabled.ini elsewhere/sized.ini '../own.ini ; was own.ini'
rm there/sized.ini elsewhere/sized.ini
(cd there/deep && "$FLUSHCALC" size ../tabled.ini --write ../sized.ini) \
    >out 2>err
status=$?
written ../sized.ini 'the sizes chosen' 'from a third folder: it is written'
holds there/sized.ini 'tables = own.ini' 'from a third folder: its tables'
"$FLUSHCALC" size - --write elsewhere/sized.ini <tabled.ini >out 2>err
status=$?
written elsewhere/sized.ini 'the sizes chosen' \
    'from standard input into another folder: it is written'
holds elsewhere/sized.ini 'tables = ../own.ini' \
    'from standard input: its tables start from the working folder'
mkfifo pipe
timeout 60 cat pipe >through.ini & # in case nothing is written
"$FLUSHCALC" size there/tabled.ini --write pipe >out 2>err
status=$?
wait
written pipe 'the sizes chosen' 'through a pipe: it is written'
holds through.ini "tables = $(pwd -P)/there/own.ini" \
    'through a pipe: its tables by their whole path'
sed 's/^size = choose/size = 3 in/; s/^pressure = .*/pressure = 15 psi/' \
    there/tabled.ini >there/short.ini
run size there/short.ini --remedy
cures=$(numbered 'Raise the pressure of street')
run size there/short.ini --remedy --pick "$cures" --write elsewhere/cured.ini
written elsewhere/cured.ini "option $cures" \
    'a remedy is written into another folder'
holds elsewhere/cured.ini 'tables = ../there/own.ini ; was own.ini' \
    'a remedy in another folder: its tables'
run check elsewhere/cured.ini
gives 0 'a remedy in another folder works with the same tables'

# The valve bears 26 psi with no flow and the code asks 35: nothing does both.
site '30 psi' | sed 's/^maximum static = .*/maximum static = 26 psi/' \
    >hopeless.ini
run size hopeless.ini --remedy
gives 1 'a building that cannot be cured'
holds out 'None of the 6 options tried works alone.' 'remedy: none'

# ---- Several sites ---------------------------------------------------------

run check works.ini converted.ini
gives 0 'two sites that work'
run check works.ini unsure.ini
gives 3 'two sites, one cannot be told'
run check unsure.ini short.ini works.ini
gives 1 'three sites: what fails comes before what cannot be told'
holds out '3 sites: 1 works, 1 does not, 1 not certain.' \
    'several sites: the total'
for name in works short unsure; do
    holds out "  $name.ini " "several sites: a line for $name.ini"
done
run check broken.ini works.ini wrong.ini
[ "$status" -eq 2 ]
result $? 'a site that cannot be read: the exit status'
holds out '  works.ini ' 'the others are reported'
for name in broken wrong; do
    grep -q "^  $name.ini  *not calculated .*[0-9] errors*" out
    result $? "and $name.ini has its line"
done
holds out '2 could not be calculated' 'they are counted'
awk '/^broken.ini:7: / { first = NR } /^wrong.ini:11: / { last = NR }
    END { exit !(first && first < last) }' err
result $? 'their errors, in the order of the files'
run check broken.ini wrong.ini
[ "$status" -eq 2 ] && grep -q '^  broken.ini  *not calculated' out
result $? 'none that can be read: their lines'
run check works.ini short.ini --output short.ini
[ "$status" -eq 2 ] && [ ! -s out ]
result $? 'a report in the place of one of several sites'
holds err '--output would overwrite short.ini' 'which of them'

# One input step by step.
run check works.ini --sweep 'street.pressure=20..120 psi/4'
gives 0 'a sweep: the status of the site as it is given'
holds out 'works from' 'where it flips'
flip=$(sed -n 's/.*works from \([0-9.]* psi\).*/\1/p' out)
under=$(echo "$flip" | awk '{ printf "%.1f psi", $1 - 0.1 }')
run check works.ini --set "street.pressure=$flip"
gives 0 'at that figure it works'
run check works.ini --set "street.pressure=$under"
gives 1 'and at the next lower one it does not'
run check works.ini short.ini --sweep 'wc.count=1..3'
[ "$status" -eq 2 ] && [ ! -s out ]
result $? 'a sweep of two sites'
holds err '--sweep takes one site, and 2 are given' 'why'
cat >typical.ini <<'END'
[source main]
kind = fixed
pressure = 62 psi
[valve closet-dual]
minimum flowing = 25 psi
[pipe riser-{floor}]
floors = 2..3
from = main
material = copper L
size = 2 in
length = 40 ft
[fixture wc-{floor}]
floors = 2..3
on = riser-{floor}
kind = water closet, flush valve
existing = closet-dual
END
run check typical.ini --set 'riser.size=4 in'
refused 'a typical part without its floor' \
    '--set riser.size=4 in: "riser" is not a part of the site; did you mean "riser-{floor}", on all its floors, or "riser-2"?'
run check typical.ini --set 'closet-dual.minimum flowing=9 psi'
refused 'a valve without its kind' \
    '--set closet-dual.minimum flowing=9 psi: "closet-dual" is not a part of the site; did you mean "valve closet-dual"?'
run check typical.ini --sweep 'riser.size=2 in..3 in'
refused 'a sweep is told as one' \
    'flushcalc: --sweep riser.size=2 in: "riser" is not a part of the site; did you mean "riser-{floor}", on all its floors, or "riser-2"?'
mkdir folder
run check folder
refused 'a folder' 'folder: is a folder; its files are expected, such as folder/*.ini'
for command in check compare diagnose effects flush help new path quick size tables verify; do
    run $command --help
    gives 0 "help of $command"
    [ -z "$(awk 'length > 79' out)" ]
    result $? "help of $command has at most 79 columns"
done
run path --help
holds out 'with which valves (retrofit, where there are any)' 'path: its own default'
run diagnose --help
holds out 'with which valves (existing)' 'diagnose: its own default'
run tables fixtures
gives 0 'a kind of table in the plural'
[ -z "$(grep '^synonyms' out)" ] && grep -q '^fixture ipc lavatory' out
result $? 'tables fixtures lists the fixtures'
run check works.ini --sweep 'x'
[ "$status" -eq 2 ] && [ ! -s out ]
result $? 'a sweep of nothing'
holds err 'NAME.KEY=FROM..TO/STEPS is expected' 'what is expected'

# What comes first, and that a line says what the site alone does.
run check works.ini unsure.ini short.ini broken.ini converted.ini
sed -n 's/^  \([a-z]*\)\.ini .*/\1/p' out | tr '\n' ' ' >order
case $(cat order) in 'short unsure '*' broken ') true ;; *) false ;; esac
result $? 'the worst first, what could not be calculated last'
mv out two
run check works.ini unsure.ini short.ini broken.ini converted.ini --threads 1
cmp -s out two
result $? 'the same with one thread'
run check broken.ini short.ini converted.ini unsure.ini works.ini
cmp -s out two
result $? 'the same in another order'
run check short.ini
warned=$(sed -n 's/^  \([0-9]*\) warnings*, see --full.*/\1/p' out)
grep -q "^  short.ini .* ${warned:--}\$" two
result $? 'as many warnings as the site alone has'

# ---- Options anywhere, units, forms ----------------------------------------

run check works.ini --units si
gives 0 'an option behind the operand'
holds out ' kPa' 'units are those asked for'
if grep -q psi out; then result 1 'no other units'; else
    result 0 'no other units'; fi
cp out behind
run --units si check works.ini
cmp -s out behind
result $? 'an option in front of the command'
POSIXLY_CORRECT=1
export POSIXLY_CORRECT
run check works.ini --units=si
cmp -s out behind
result $? 'an option behind the operand, POSIXLY_CORRECT'
unset POSIXLY_CORRECT
cp works.ini ./--format
run check -- --format
gives 0 'a file named like an option, behind --'
run check works.ini --format json
gives 0 'JSON'
[ "$(head -n 1 out)" = '{' ] && [ "$(tail -n 1 out)" = '}' ]
result $? 'JSON is one object'
holds out '"verdict": "works"' 'JSON: the verdict'
holds out '"pressure": "psi"' 'JSON: the units'
run check short.ini works.ini --format json
gives 1 'JSON of several sites'
holds out '"path":"short.ini"' 'JSON of several sites names them'
[ "$(wc -l <out)" -eq 2 ] && ! grep -qv '^{.*}$' out
result $? 'an object a line'
run check works.ini
cp out once
run check works.ini
cmp -s out once
result $? 'the same input gives the same bytes'
if awk 'length($0) > 80 { long = 1 } END { exit !long }' once; then
    result 1 'no line is wider than 80 columns'
else
    result 0 'no line is wider than 80 columns'
fi

# ---- Standard input --------------------------------------------------------

"$FLUSHCALC" check - <works.ini >out 2>err
status=$?
gives 0 'a site from standard input'
cmp -s out once
result $? 'it is the same as from the file'
"$FLUSHCALC" check - short.ini <works.ini >out 2>err
status=$?
gives 1 'standard input among several sites'
holds out '  standard input ' 'it has a name of its own'
"$FLUSHCALC" check - <broken.ini >out 2>err
status=$?
[ "$status" -eq 2 ] && [ ! -s out ]
result $? 'a broken site from standard input'
holds err 'standard input:7: ' 'its errors, with the line'
"$FLUSHCALC" check - <&- >out 2>err
[ $? -eq 2 ] && [ ! -s out ] && [ -s err ]
result $? 'standard input that is closed'

# ---- Where the report goes -------------------------------------------------

run check works.ini --output report.txt
[ "$status" -eq 0 ] && [ ! -s out ] && [ ! -s err ] && cmp -s report.txt once
result $? 'output to a file'
echo precious >kept.txt
run check broken.ini --output kept.txt
[ "$status" -eq 2 ] && [ "$(cat kept.txt)" = precious ]
result $? 'a failure leaves the file as it was'
chmod 640 kept.txt
run check works.ini --output kept.txt
[ "$(ls -l kept.txt | cut -c 1-10)" = '-rw-r-----' ] && cmp -s kept.txt once
result $? 'a file that is replaced keeps its rights'
ln -s kept.txt link.txt
run check short.ini --output link.txt
[ "$status" -eq 1 ] && [ -L link.txt ] && grep -q 'DOES NOT WORK' kept.txt
result $? 'a link stays a link'
run check works.ini --output absent/report.txt
refused 'output to a folder that is not there' \
    'flushcalc: absent/report.txt cannot be written: No such file or directory'
mkdir full
run check works.ini --output full
refused 'output to a folder' 'flushcalc: full cannot be written: Is a directory'
(ulimit -f 0 2>/dev/null && trap '' XFSZ 2>/dev/null &&
    exec "$FLUSHCALC" check works.ini --output half.txt 2>/dev/null)
[ $? -ne 0 ] && [ ! -e half.txt ]
result $? 'a file that cannot be written whole is not there'
none_left ./.flushcalc.*
result $? 'no temporary file is left'

if [ -c /dev/full ]; then
    "$FLUSHCALC" check works.ini >/dev/full 2>err
    status=$?
    : >out
    refused 'a full disk' \
        'flushcalc: standard output cannot be written: No space left on device'
    run check works.ini --output /dev/full
    refused 'output to a full device' \
        'flushcalc: /dev/full cannot be written: No space left on device'
    [ -c /dev/full ]
    result $? 'a device is not replaced by a file'
    "$FLUSHCALC" --help >/dev/full 2>err
    [ $? -eq 2 ]
    result $? 'help to a full disk'
fi
"$FLUSHCALC" check works.ini >&- 2>err
status=$?
: >out
refused 'standard output that is closed' \
    'flushcalc: standard output cannot be written: Bad file descriptor'
# The reader is gone before the report comes, whether the host ignores SIGPIPE
# or not; the exit status is still the verdict's.
unread() {
    name=$1 expected=$2
    shift 2
    { sleep 1; "$FLUSHCALC" "$@" 2>err; echo $? >status; } | :
    [ "$(cat status)" -eq "$expected" ] && [ ! -s err ]
    result $? "a pipe that nobody reads: $name"
}
unread 'a building that works' 0 check works.ini
unread 'a building that is short' 1 check short.ini
unread 'JSON' 0 check works.ini --format json
unread 'help' 0 --help
unread 'a version' 0 --version
if [ -e /dev/stdout ]; then
    unread 'named by --output' 1 check short.ini --output /dev/stdout
fi
(
    trap '' PIPE
    { sleep 1; "$FLUSHCALC" check short.ini 2>err; echo $? >status; } | :
)
[ "$(cat status)" -eq 1 ] && [ ! -s err ]
result $? 'a pipe that nobody reads, of a host that ignores SIGPIPE'

# ---- Colour and escaping ---------------------------------------------------

escape=$(printf '\033')
run check short.ini works.ini
if grep -q "$escape" out; then result 1 'no colour but on a terminal'; else
    result 0 'no colour but on a terminal'; fi
site '120 psi' |
    sed "s/^title.*/title = Inn $(printf '\342\200\256')txt/" >bidi.ini
run check bidi.ini
holds out 'Inn ?txt' 'a title cannot turn the direction of text'
run check bidi.ini --format json
holds out '"title": "Inn \u202Etxt"' 'JSON carries it escaped'

# A namespace of its own, where it may be had, can have a /tmp that cannot be
# written to, and no /proc.
# run_shut WORDS ARGUMENT... -- run a command there, behind these words of sh
run_shut() {
    words=$1
    shift
    unshare -rm sh -c "unset TMPDIR
        mount --rbind /tmp /tmp && mount -o remount,bind,ro /tmp &&
        ! touch /tmp/flushcalc-args.probe 2>/dev/null && $words &&
        exec \"\$@\"" sh "$@" >out 2>err </dev/null
    status=$?
}
run_shut true true
if [ "$status" -eq 0 ]; then
    "$FLUSHCALC" tables >usual
    run_shut true "$FLUSHCALC" tables
    gives 0 'no folder need be writable: tables'
    cmp -s out usual
    result $? 'and they are as ever'
    run_shut true "$FLUSHCALC" check "$work/works.ini"
    gives 0 'no folder need be writable: a site'
    # A sanitizer reads /proc on its own account.
    run_shut 'mount -t tmpfs none /proc' "$FLUSHCALC" --version
    if grep -q Sanitizer err; then
        result 0 'without /proc # SKIP the sanitizer needs it'
    else
        run_shut 'mount -t tmpfs none /proc' "$FLUSHCALC" tables
        why='cannot be read by way of /proc or a temporary file'
        [ "$status" -eq 2 ] && [ ! -s out ] && [ "$(wc -l <err)" -eq 1 ] &&
            grep -q ": $why: Read-only file system\$" err
        result $? 'without /proc either it says what lacks'
    fi
else
    result 0 'no folder need be writable # SKIP no namespace of its own'
fi

# script(1) gives the command a terminal; not every system has it.
if script -qec true /dev/null >/dev/null 2>&1; then
    TERM=xterm script -qec "'$FLUSHCALC' check short.ini" /dev/null \
        >out 2>err </dev/null
    grep -q "$escape\[1;31mDOES NOT WORK:$escape\[0m" out
    result $? 'colour on a terminal'
    TERM=dumb script -qec "'$FLUSHCALC' check short.ini" /dev/null \
        >out 2>err </dev/null
    grep -q 'DOES NOT WORK' out && ! grep -q "$escape" out
    result $? 'no colour on a dumb terminal'
    NO_COLOR=1 TERM=xterm script -qec "'$FLUSHCALC' check short.ini" \
        /dev/null >out 2>err </dev/null
    grep -q 'DOES NOT WORK' out && ! grep -q "$escape" out
    result $? 'no colour under NO_COLOR'
fi

# ---- Values set over the file ----------------------------------------------

# same_but FILE FILE -- the reports are the same but for what was set
same_but() {
    sed '/^Set on the command line: /d' "$1" | cmp -s - "$2"
}

for command in 'check' 'path' 'flush' 'size --remedy' 'verify' 'diagnose'; do
    set -- $command
    operand=
    case $1 in path | flush) operand='wc' ;; esac
    cp short.ini set.ini
    # shellcheck disable=SC2086 # words
    run "$@" set.ini $operand
    before=$status
    cp out plain
    # shellcheck disable=SC2086 # words
    run "$@" set.ini $operand --set 'street.pressure = 25 psi'
    cp out with
    with=$status
    sed 's/^pressure = .*/pressure = 25 psi/' short.ini >set.ini
    # shellcheck disable=SC2086 # words
    run "$@" set.ini $operand
    [ "$with" -eq "$status" ] && { [ "$status" -eq 2 ] ||
        { same_but with out && ! cmp -s with plain; }; }
    result $? "$command: a value set is as one in the file"
    [ "$before" -eq 2 ] || {
        grep -q '^Set on the command line: street.pressure = 25 psi' with &&
            grep -q 'psi (file: 30 psi)' with
        result $? "$command: it is told, and what the file has"
    }
done
run check works.ini short.ini --set street.pressure=25psi
[ "$status" -eq 1 ] && grep -q '^Set on the command line: street' out
result $? 'several sites: it is told'
run check works.ini --set street.pressure=25psi --format json
grep -q '"value": "25psi"' out && grep -q '"file": "120 psi"' out
result $? 'JSON tells it'
run check works.ini --set street.pressure=25psi --format csv
[ "$(grep -c -e ',set.$' -e '"street.pressure = 25psi (file: 120 psi)".$' out)" \
    -eq 2 ]
result $? 'CSV tells it in every row'
run check works.ini --set "street.pressure=25 psi" --format html
holds out "<dd>flushcalc check works.ini --set 'street.pressure=25 psi' " \
    'a page tells the command'
run check works.ini --set 'stret.pressure=25 psi'
refused 'a name that is unknown' '--set stret.pressure=25 psi: "stret" is not a part of the site; did you mean "street"?'
run check works.ini --set 'street.presure=25 psi'
refused 'a key that is unknown' '--set street.presure=25 psi: [source street] has no key "presure"; did you mean "pressure"?'
run check broken.ini --set riser.from=street
gives 1 'what the file has wrong may be set'
rm written.ini
run size short.ini --set 'riser.size=choose' --write written.ini
result "$((status - 1))" 'short of pressure no size works'
run size works.ini --set 'street.pressure=100psi; riser.size=choose' \
    --write written.ini
grep -q '^pressure = 100psi ; was 120 psi$' written.ini
result $? 'size --write writes what was set'
run check written.ini
gives 0 'which works'
run tables --set a.b=c
refused 'the tables have no values to set' \
    'flushcalc: tables takes no --set; see flushcalc tables --help'

# ---- Comparing -------------------------------------------------------------

{
    cat works.ini
    printf '[case low]\nstreet.pressure = 25 psi\n'
} >cases.ini
{
    cat cases.ini
    printf '[case wrong]\nstret.pressure = 25 psi\n'
} >badcase.ini
run compare cases.ini --set 'street.pressure = 110 psi'
gives 1 'compare: the worst counts'
grep -q '^3 compared: 2 work, 1 does not, 0 not certain\.$' out
result $? 'compare: the file, its case, and what is set'
grep -q 'low: street.pressure: 120 psi -> 25 psi' out
result $? 'compare: what differs'
run compare badcase.ini
[ "$status" -eq 2 ] && grep -q '^3 compared: 1 works, 1 does not' out &&
    grep -q '^badcase.ini:[0-9]*: \[case wrong\] "stret" is not a part' err
result $? 'compare: one wrong case does not silence the others'
{
    cat "$srcdir/examples/clinic.ini"
    printf '[case high residual]\nmain.residual = 90 psi\n'
    printf '[case reserve]\nsite.reserve = 1 psi\n'
} >understood.ini
line=$(grep -n '^main.residual' understood.ini | cut -d: -f1)
run check "$srcdir/examples/clinic.ini"
cp out clinic.txt
run check understood.ini
[ "$status" -eq 1 ] && [ "$(sed -n 3,5p out)" = "$(sed -n 3,5p clinic.txt)" ]
result $? 'a case that cannot be calculated does not stop a check of its file'
[ ! -s err ]
result $? 'which does not tell of it'
run compare understood.ini
[ "$status" -eq 2 ] && tr -s '\n ' '  ' <out >line &&
    grep -q -- "- high residual: could not be calculated: understood.ini:$line: \[case high residual\] \[source main\] residual is above the static pressure; it is expected to be at most that," line &&
    grep -q '^3 compared: 0 work, 2 do not, 0 not certain, 1 could not' out
result $? 'compare: its line has the whole message, and the others theirs'
run compare understood.ini --format json
grep -q "\"understood.ini:$line: \[case high residual\] \[source main\] residual is above" out
result $? 'compare: JSON has the message'
run compare works.ini no-such.ini
[ "$status" -eq 2 ] && grep -q 'no-such.ini: could not be calculated' out
result $? 'compare: one file that is not there does not either'
run compare cases.ini --format csv
[ "$(wc -l <out)" -eq 3 ]
result $? 'compare: CSV has a row each'
run compare works.ini --set 'nobody.length = 3 ft'
grep -q '^works.ini: --set nobody.length = 3 ft: ' err
result $? 'compare: a value that cannot be set names its file'
run check works.ini short.ini --set 'nobody.length = 3 ft'
grep -q '^works.ini: --set nobody' err && grep -q '^short.ini: --set nobody' err
result $? 'so does a check of several sites'
high='main.static = 84 psi; main.test static = 79 psi'
clinic=$srcdir/examples/clinic.ini
run compare "$clinic" --set "$high" --set 'rp.loss = 5 psi' \
    --set 'rp.loss = 4 psi'
gives 1 'compare: too much pressure'
grep -q '^4 compared: 2 work, 1 too high, 1 does not, 0 not certain\.$' out
result $? 'which is counted by itself'
[ "$(grep -c ' too high *too high ' out)" -eq 1 ]
result $? 'and stands in the row'
run compare "$clinic" --set "$high" --set 'rp.loss = 5 psi'
grep -q '^  existing  *works  *too high  *works$' out
result $? 'and in the column'
run compare "$clinic" --set "$high" --format json
[ "$(grep -c '"too_high": "yes"' out)" -ge 2 ]
result $? 'JSON tells it'
cp "$srcdir/tests/cases/bought.ini" bought.ini
run size --remedy bought.ini --pick 1 --write bigger.ini
price=$(sed -n 's/^ *pipe: \([0-9]*\)\.00 by the prices\.$/\1/p' out)
run compare bought.ini bigger.ini
grep -q "^  cost of pipes changed  *-  *$price\$" out
result $? 'compare: what the pipes cost that a remedy replaces'
run compare bought.ini --set 'west.fittings = none'
! grep -q 'cost of pipes' out
result $? 'compare: no cost where no pipe differs'
run check "$clinic" --sweep 'main.static = 70 psi .. 90 psi' \
    --set 'main.test static = 79 psi'
tr '\n' ' ' <out | tr -s ' ' >line
grep -q 'After retrofit: works from [0-9.]* psi (cannot tell from [0-9.]* psi to [0-9.]* psi); too much pressure from [0-9.]* psi\.' line &&
    grep -q 'Existing: works from [0-9.]* psi' line
result $? 'a sweep tells the flips of each verdict and each state'
grep -q '^  82.0 psi  cannot tell, too  *too high' out
result $? 'and both in the table'
run check "$clinic" --sweep 'main.static = 70 psi .. 90 psi' \
    --set 'main.test static = 79 psi' --format html
holds out '>cannot tell</text>' 'the key has a word for what cannot be told'
holds out '>too high</text>' 'and for too much pressure'
run compare works.ini --set 'street.pressure = 110 psi; riser.length = 13 ft'
grep -q 'set 1: ' out
result $? 'compare: what is set at length has a number'
run compare works.ini
grep -q 'Nothing to compare' out
result $? 'compare: a hint where there is one alone'
run check cases.ini
gives 0 'check leaves cases out'
holds out 'The file has 1 case, not in these figures' 'and tells of them'
run check badcase.ini
refused 'check of a wrong case' "$(grep 'case wrong' badcase.ini -n >/dev/null
    printf 'badcase.ini:%s: [case wrong] "stret" is not a part of the site; did you mean "street"?' \
        "$(grep -n '^stret' badcase.ini | cut -d: -f1)")"

printf '[case empty]\n' >>cases.ini
run compare cases.ini
grep -q -- '- empty: nothing$' out
result $? 'compare: an empty case differs in nothing, which is told'
run compare no-such.ini cases.ini
grep -q '^What differs from cases.ini$' out
result $? 'compare: what differs is from the first that could be calculated'
run check typical.ini --set 'wc-2.count=2; wc-{floor}.count=3'
refused 'all floors after one of them' \
    '--set wc-2.count=2; wc-{floor}.count=3: wc-{floor}.count would undo wc-2.count before it; all floors are expected first, then one of them'
run check typical.ini --set 'wc-2.count=2' --sweep 'wc-2.count=1..3..5'
refused 'a range is no end of a sweep' \
    'flushcalc: --sweep wc-2.count=1..3..5: two figures in one unit are expected, such as 60..80 psi'
run check works.ini --set 'site.reserve = 1 psi' \
    --sweep 'street.pressure=100..120 psi/2'
holds out 'Set on the command line: site.reserve = 1 psi (file: not given).' \
    'a sweep tells what is set beside'
run flush "$clinic" 'women-wc-*:2'
refused 'flush: a number of what may be several' \
    'flushcalc: 2 of "women-wc-*" counts in what may be several fixtures; a number of one of them, or "women-wc-*" alone for the whole of each, is expected'
run flush "$clinic" women-wc-1 women-wc-2 women-wc-3 women-wc-4 women-wc-5 \
    women-wc-6 --full
cp out named.txt
run flush "$clinic" 'women-wc-*' --full
cmp -s out named.txt
result $? 'flush: a pattern is as the names that it matches'

echo "1..$count"
exit $failed
