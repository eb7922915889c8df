#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/written.sh -- what a report or a site file that is written may
# take the place of: whole or not at all, what a hand has made never, and what
# is no file as it is.  Prints TAP.
#
#   FLUSHCALC  the command to test
set -u
# shellcheck source=tests/scripts/tap.sh
. "$(dirname "$0")/tap.sh"

# refused NAME MESSAGE -- the last run said just this, and wrote nothing
refused() {
    printf 'flushcalc: %s\n' "$2" >expected
    [ "$status" -eq 2 ] && [ ! -s out ] && cmp -s err expected && none_left
    result $? "$1"
}

# none_left -- no temporary file is there
none_left() {
    [ -z "$(find . -name '.flushcalc.*')" ]
}

# is_report FILE -- whole, as standard output had it
is_report() {
    cmp -s "$1" report
}

cat >own.ini <<'END'
; what was measured here
[pipe copper L]
source = invented
c aged = 115
END
site '120 psi' "$high
tables = own.ini" >hall.ini
sed 's/^size = .*/size = choose/' hall.ini >site.ini
cp hall.ini hall.kept
cp own.ini own.kept
"$FLUSHCALC" check hall.ini >report 2>err
[ $? -eq 0 ] && [ -s report ]
result $? 'the building works'

# untouched NAME -- neither the site nor its tables
untouched() {
    cmp -s hall.ini hall.kept && cmp -s own.ini own.kept && none_left
    result $? "$1"
}

# ---- What a hand has made --------------------------------------------------

sections='which has sections as a site file or a tables file has; another name is expected'
ln hall.ini hard.ini
ln -s hall.ini soft.ini
ln -s soft.ini softer.ini
for name in hall.ini ./hall.ini "$work/hall.ini" hard.ini soft.ini softer.ini \
    own.ini site.ini; do
    run check hall.ini --output "$name"
    refused "a report over $name" "--output would overwrite $name, $sections"
done
for command in compare effects diagnose verify 'flush wc' 'path wc'; do
    # shellcheck disable=SC2086 # words are meant
    set -- $command
    run "$1" hall.ini ${2+"$2"} -o own.ini
    refused "$1 over the tables" "--output would overwrite own.ini, $sections"
done
run check hall.ini soft.ini --format json -o own.ini
refused 'several over the tables' "--output would overwrite own.ini, $sections"
run quick still=60 one=50 need=25 -o own.ini
refused 'quick over a tables file' "--output would overwrite own.ini, $sections"
run tables pipe -o own.ini
refused 'tables over a tables file' \
    "--output would overwrite own.ini, $sections"
printf '\357\273\277; of Windows\r\n\r\n \t[site]\r\n; so\r\nunits = us\r\n' \
    >windows.ini
run check hall.ini -o windows.ini
refused 'a report over a site file with a mark and comments' \
    "--output would overwrite windows.ini, $sections"
for name in /dev/stdin /dev/fd/0 /proc/self/fd/0 hall.ini hard.ini; do
    [ -e "$name" ] || continue
    "$FLUSHCALC" check - --output "$name" <hall.ini >out 2>err
    status=$?
    refused "standard input to $name, its own file" \
        "--output would overwrite $name, $sections"
done
untouched 'the site and its tables are as they were'
# what is no site file yet is not lost either, where it is read
echo 'a note' >note
"$FLUSHCALC" check - --output note <note >out 2>err
status=$?
refused 'a report over what standard input reads' \
    '--output would overwrite standard input with the report; another name is expected'
run check note hall.ini --output ./note
refused 'a report over one of several that is no site file' \
    '--output would overwrite note with the report; another name is expected'
"$FLUSHCALC" check hall.ini >>hall.ini 2>err </dev/null
status=$?
: >out
refused 'a report behind the site itself' \
    'standard output is hall.ini itself; another file is expected'
"$FLUSHCALC" check - <hall.ini 1<>hall.ini 2>err
status=$?
refused 'a report into standard input' \
    'standard output is standard input itself; another file is expected'
untouched 'the site is as it was'

# --write, and what new writes, take the place of nothing that has text.
lost='is there already, and what it holds would be lost; another name is expected'
for name in site.ini own.ini note soft.ini report; do
    run size site.ini --write "$name"
    refused "size over $name" "$name $lost"
    run quick still=60 one=50 need=25 --write "$name"
    refused "quick over $name" "$name $lost"
    run new stories=3 closets=2 --output "$name"
    refused "new over $name" "$name $lost"
done
[ "$(cat note)" = 'a note' ]
result $? 'the note is as it was'
untouched 'so are the site and its tables'
for command in 'size site.ini --write' 'quick still=60 one=50 need=25 --write' \
    'new stories=3 closets=2 -o'; do
    : >empty
    # shellcheck disable=SC2086 # words are meant
    run $command empty
    [ "$status" -ne 2 ] && grep -q '^\[fixture' empty
    result $? "${command%% *} into an empty file"
done

# One file by two names, there or not.
mkdir folder
ln -s folder linked
ln -s folder/later.txt later
for pair in 'a.txt a.txt' 'a.txt ./a.txt' "a.txt $work/a.txt" \
    'folder/a.txt linked/a.txt' 'later folder/later.txt' 'a.txt folder/../a.txt'
do
    # shellcheck disable=SC2086 # two words are meant
    set -- $pair
    for command in 'size site.ini' 'quick still=60 one=50 need=25'; do
        # shellcheck disable=SC2086 # words are meant
        run $command --write "$1" --output "$2"
        refused "${command%% *}: $1 is $2" \
            '--write and --output name one file; two are expected'
    done
done
[ ! -e a.txt ] && [ -z "$(ls folder)" ]
result $? 'none of them is there'

# ---- Links -----------------------------------------------------------------

run check hall.ini -o later
[ "$status" -eq 0 ] && [ -L later ] && is_report folder/later.txt
result $? 'a link to nothing: what it leads to is made'
ln -s later latest
rm folder/later.txt
run check hall.ini -o latest
[ "$status" -eq 0 ] && [ -L later ] && [ -L latest ] &&
    is_report folder/later.txt
result $? 'a link to a link to nothing, the same'
run check hall.ini -o latest
[ "$status" -eq 0 ] && [ -L later ] && [ -L latest ] &&
    is_report folder/later.txt
result $? 'and over what is there then'
ln -s "$work/folder/absolute.txt" whole
run check hall.ini -o whole
[ "$status" -eq 0 ] && [ -L whole ] && is_report folder/absolute.txt
result $? 'a link to a whole path'
ln -s folder/sized.ini sized
run size site.ini --write sized
[ "$status" -eq 0 ] && [ -L sized ] &&
    grep -q '^tables = ../own.ini' folder/sized.ini
result $? 'a site file by a link: its tables are found from where it is'
ln -s ring ring
run check hall.ini -o ring
refused 'a link to itself' \
    'ring cannot be written: Too many levels of symbolic links'
ln -s absent/report.txt astray
run check hall.ini -o astray
refused 'a link to a folder that is not there' \
    'astray cannot be written: No such file or directory'
ln -s folder intofolder
run check hall.ini -o intofolder
refused 'a link to a folder' 'intofolder cannot be written: Is a directory'
run check hall.ini -o report.d/
refused 'a folder that is not there' \
    'report.d/ cannot be written: No such file or directory'
run check hall.ini -o note/report
refused 'below what is no folder' \
    'note/report cannot be written: Not a directory'
# The other name of a hard link keeps what it had, as a snapshot does.
echo yesterday >first
ln first second
run check hall.ini -o first
[ "$status" -eq 0 ] && is_report first && [ "$(cat second)" = yesterday ]
result $? 'a hard link: the other name keeps what it had'

# ---- Rights and owners -----------------------------------------------------

echo kept >protected
chmod 444 protected
run check hall.ini -o protected
refused 'a write-protected file' \
    'protected cannot be written: it is write-protected; another name is expected'
ln -s protected shield
run check hall.ini -o shield
refused 'a link to one' \
    'shield cannot be written: it is write-protected; another name is expected'
: >blank
chmod 400 blank
run size site.ini --write blank
refused 'a site over an empty one' \
    'blank cannot be written: it is write-protected; another name is expected'
[ "$(cat protected)" = kept ]
result $? 'it is as it was'
for rights in 600 640 664 777 200; do
    echo old >rights
    chmod "$rights" rights
    run check hall.ini -o rights
    [ "$status" -eq 0 ] && [ "$(stat -c %a rights)" = "$rights" ]
    result $? "rights of $rights are kept"
    rm -f rights
done
(umask 027 && "$FLUSHCALC" check hall.ini -o masked)
[ "$(stat -c %a masked)" = 640 ]
result $? 'a new file has the rights of one'
if [ "$(id -u)" -eq 0 ]; then
    echo old >owned
    chown 12345:23456 owned
    chmod 640 owned
    run check hall.ini -o owned
    [ "$status" -eq 0 ] && is_report owned &&
        [ "$(stat -c %u:%g:%a owned)" = 12345:23456:640 ]
    result $? 'owner, group and rights are kept'
    # somebody else, who may read all here
    chmod 755 "$work"
    mkdir open
    chmod 777 open
    echo old >open/owned
    chmod 666 open/owned
    other() {
        setpriv --reuid=12345 --regid=23456 --clear-groups "$FLUSHCALC" "$@" \
            >out 2>err </dev/null
        status=$?
    }
    other --version
    if [ "$status" -eq 0 ]; then
        other check hall.ini -o open/owned
        refused 'an owner who would lose it' 'open/owned cannot be written: it would no longer belong to whom it belongs; another name is expected'
        [ "$(cat open/owned)" = old ]
        result $? 'it is as it was'
        chmod 755 open
        other check hall.ini -o open/owned
        refused 'a folder that takes no new file' \
            'open/owned cannot be written: Permission denied'
        chmod 644 open/owned
        other check hall.ini -o open/owned
        refused 'a file of somebody else' \
            'open/owned cannot be written: it is write-protected; another name is expected'
    else
        skip 'somebody else' 'he cannot run it here'
    fi
else
    skip 'owner and group' 'only root gives files away'
    mkdir shut
    chmod 555 shut
    run check hall.ini -o shut/report
    refused 'a folder that takes no new file' \
        'shut/report cannot be written: Permission denied'
fi

# ---- Names -----------------------------------------------------------------

long=$(printf '%0251d' 0).txt
run check hall.ini -o "$long"
[ "$status" -eq 0 ] && is_report "$long"
result $? 'a name of 255 bytes'
run check hall.ini -o "x$long"
refused 'one of 256' "x$long cannot be written: File name too long"
odd=$(printf 'a\nb\033[31m\377')
run check hall.ini -o "$odd"
[ "$status" -eq 0 ] && is_report "$odd"
result $? 'a name with a line feed, an escape and no UTF-8'
run check hall.ini -o "absent/$odd"
refused 'none of which a message has' \
    'absent/a?b?[31m? cannot be written: No such file or directory'
deep=$(awk 'BEGIN { while (n++ < 400) printf "absent/abs" }')
run check hall.ini -o "$deep"
refused 'a path of 4,000 bytes' \
    "$deep cannot be written: No such file or directory"
run check hall.ini -o ./-n
[ "$status" -eq 0 ] && is_report ./-n
result $? 'a name that starts with a hyphen'

# ---- What is no file -------------------------------------------------------

mkfifo pipe
timeout 20 cat pipe >through &
run check hall.ini -o pipe
wait $!
[ "$status" -eq 0 ] && [ -p pipe ] && is_report through
result $? 'a FIFO is written to'
timeout 20 head -c 1 pipe >through &
run check hall.ini --full -o pipe
wait $!
[ "$status" -eq 0 ] && [ ! -s err ] && [ -p pipe ]
result $? 'a FIFO whose reader has seen enough'
run check hall.ini -o /dev/null
[ "$status" -eq 0 ] && [ -c /dev/null ] && [ ! -s err ]
result $? 'the null device'
if command -v python3 >/dev/null 2>&1; then
    python3 -c 'import socket; socket.socket(socket.AF_UNIX).bind("socket")'
    run check hall.ini -o socket
    refused 'a socket' 'socket cannot be written: No such device or address'
else
    skip 'a socket' 'python3 makes it'
fi
# What is open already goes on where it is.
if [ -e /dev/stdout ]; then
    echo before >log
    "$FLUSHCALC" check hall.ini -o /dev/stdout >>log 2>err
    { echo before && cat report; } | cmp -s - log
    result $? 'standard output by name: a log is gone on with'
    echo before >log
    "$FLUSHCALC" check hall.ini -o /dev/fd/3 3>>log 2>err
    { echo before && cat report; } | cmp -s - log
    result $? 'the same of another descriptor'
    "$FLUSHCALC" check hall.ini -o /dev/stdout 2>err | cmp -s - report
    result $? 'a pipe as standard output, by name'
fi
run check hall.ini -o /dev/full
refused 'a full device' '/dev/full cannot be written: No space left on device'
[ -c /dev/full ]
result $? 'which is one still'

# ---- No room ---------------------------------------------------------------

# A limit of no blocks at all, and the signal for that at its default.
echo yesterday >small
(
    ulimit -f 0
    exec "$FLUSHCALC" check hall.ini -o small
) >/dev/null 2>&1
status=$?
[ "$status" -eq 2 ] && [ "$(cat small)" = yesterday ] && none_left
result $? 'no room for a file: what was there stays'
for form in text html csv json; do
    (
        ulimit -f 0
        exec "$FLUSHCALC" check hall.ini --format "$form" -o "new.$form"
    ) >/dev/null 2>&1
    [ $? -eq 2 ] && [ ! -e "new.$form" ] && none_left
    result $? "no room for a new file, $form"
done
cat >fill <<'END'
mount -t tmpfs -o size=64k none disk && echo yesterday >disk/report &&
    cp "$1" disk/site.ini && cp own.ini disk && head -c 1M /dev/zero \
    >disk/filler 2>/dev/null
echo mounted
"$2" check disk/site.ini --format html -o disk/report
echo $?
"$2" size site.ini --write disk/sized.ini
echo $?
cat disk/report
ls -A disk
END
mkdir disk
unshare -rm sh ./fill hall.ini "$FLUSHCALC" >out 2>err
if grep -q mounted out; then
    printf '%s\n' mounted 2 2 yesterday filler own.ini report site.ini |
        cmp -s - out && [ "$(cat err)" = \
"flushcalc: disk/report cannot be written: No space left on device
flushcalc: disk/sized.ini cannot be written: No space left on device" ]
    result $? 'a full disk: what was there stays, and nothing else'
else
    skip 'a full disk' 'none may be mounted'
fi
"$FLUSHCALC" check hall.ini -o quiet.txt >&- 2>err
[ $? -eq 0 ] && is_report quiet.txt
result $? 'standard output closed, and a file to write'
"$FLUSHCALC" check hall.ini -o closed.txt >&- 2>&- <&-
[ $? -eq 0 ] && is_report closed.txt
result $? 'standard input and error too'

# ---- Signals, and two at once ----------------------------------------------

# Where a signal arrives just as the report is written is left to chance: what
# is there is whole every time, the old one or the new.
"$FLUSHCALC" check hall.ini --format html -o page.html
cp page.html old
sed 's/Invented hall/Invented hall again/' hall.ini >again.ini
"$FLUSHCALC" check again.ini --format html -o page.html
cp page.html new
for signal in TERM INT HUP; do
    whole=0
    for delay in 0 0.004 0.008 0.012 0.016 0.02 0.024 0.028 0.032 0.05; do
        cp old page.html
        # a host starts what runs in the background with INT ignored
        timeout -s "$signal" --foreground "${delay}" \
            "$FLUSHCALC" check again.ini --format html -o page.html \
            >/dev/null 2>&1
        { cmp -s page.html old || cmp -s page.html new; } && none_left ||
            whole=1
    done
    result $whole "$signal at any time: the old file or the new one"
done
# two writers, and a reader that never sees half a report
"$FLUSHCALC" check hall.ini --format html -o shared.html
sed 's/-o page.html/-o shared.html/' old >old.shared
sed 's/-o page.html/-o shared.html/' new >new.shared
{
    i=0
    while [ $((i += 1)) -le 20 ]; do
        "$FLUSHCALC" check hall.ini --format html -o shared.html
    done
} &
{
    i=0
    while [ $((i += 1)) -le 20 ]; do
        "$FLUSHCALC" check again.ini --format html -o shared.html
    done
} &
half=0
i=0
while [ $((i += 1)) -le 60 ]; do
    cp shared.html seen
    cmp -s seen old.shared || cmp -s seen new.shared || half=1
done
wait
cmp -s shared.html old.shared || cmp -s shared.html new.shared || half=1
none_left || half=1
result $half 'two write one file at once: it is whole at any time'

echo "1..$count"
exit $failed
