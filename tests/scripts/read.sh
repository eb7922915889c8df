#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/read.sh -- what a site and its tables may be read from, and
# what of that a message or a report tells: devices, FIFOs, folders, files
# without end, files of others, names that no line of a file can hold.  Prints
# TAP.
#
#   FLUSHCALC  the command to test
set -u
# shellcheck source=tests/scripts/tap.sh
. "$(dirname "$0")/tap.sh"

# run ARGUMENT... -- no more than 20 s: nothing here waits for anybody
run() {
    timeout 20 "$FLUSHCALC" "$@" >out 2>err </dev/null
    status=$?
}

site '120 psi' "$high
tables = own.ini" >site.ini
cat >own.ini <<'END'
[pipe copper L]
source = invented
c aged = 115
END

# with TABLES -- check with that file of tables
with() {
    run check site.ini --set "site.tables=$1"
}

run check site.ini
result "$status" 'the building works'

# ---- What is no file -------------------------------------------------------

mkfifo pipe
mkdir folder
for kind in 'device /dev/zero' 'device /dev/null' 'device /dev/random' \
    'device /dev/tty' 'FIFO pipe' 'folder folder' 'folder .' 'folder /'; do
    [ -e "${kind#* }" ] || continue
    with "${kind#* }"
    refused "tables = ${kind#* }" \
        "${kind#* }: is a ${kind%% *}; a file is expected"
done
ln -s pipe link
with link
refused 'a link to a FIFO' 'link: is a FIFO; a file is expected'
if command -v python3 >/dev/null 2>&1; then
    python3 -c 'import socket; socket.socket(socket.AF_UNIX).bind("socket")'
    with socket
    refused 'tables that are a socket' 'socket: is a socket; a file is expected'
    run check socket
    refused 'a site that is one' \
        'socket: cannot be read: No such device or address'
else
    skip 'a socket' 'python3 makes it'
fi
with absent.ini
refused 'tables that are not there' \
    'absent.ini: cannot be read: No such file or directory'
ln -s ring ring
with ring
refused 'a link to itself' \
    'ring: cannot be read: Too many levels of symbolic links'
# What whoever calls names himself is read as far as a file may be long.
run check /dev/zero
refused 'a site without end' \
    '/dev/zero: is more than 67108864 bytes long; at most 67108864 (64 MiB) can be read'
run check /dev/null
[ "$status" -eq 2 ] && [ ! -s out ] &&
    grep -q '^/dev/null: the site has no source; ' err
result $? 'a site of nothing'
run check folder
refused 'a site that is a folder' \
    'folder: is a folder; its files are expected, such as folder/*.ini'
timeout 20 cat site.ini >pipe &
run check pipe
wait $!
[ "$status" -eq 0 ] && [ -s out ]
result $? 'a site from a FIFO'

# ---- How much --------------------------------------------------------------

most=67108864
truncate -s $((most + 1)) sparse.ini
with sparse.ini
refused 'a large file of tables' \
    "sparse.ini: is $((most + 1)) bytes long; at most $most (64 MiB) can be read"
run check sparse.ini
refused 'a large site' \
    "sparse.ini: is $((most + 1)) bytes long; at most $most (64 MiB) can be read"
head -c $((most + 4096)) /dev/zero | timeout 60 "$FLUSHCALC" check - \
    >out 2>err
status=$?
refused 'standard input as large' \
    "flushcalc: standard input is more than $most bytes long; at most $most (64 MiB) can be read"
head -c $((most + 4096)) /dev/zero |
    timeout 60 "$FLUSHCALC" compare site.ini - >out 2>err
status=$?
refused 'the same of several' \
    "flushcalc: standard input is more than $most bytes long; at most $most (64 MiB) can be read"
# as much as may be, all of it a comment but the site
{
    cat site.ini
    awk 'BEGIN { while (n++ < 99) s = s "; a line"
                 while (m++ < 70000) print s }'
} | head -c $most >largest.ini
timeout 60 "$FLUSHCALC" check - <largest.ini >out 2>err
[ $? -eq 0 ] && [ -s out ]
result $? 'the largest standard input'
timeout 60 "$FLUSHCALC" check largest.ini >out 2>err
[ $? -eq 0 ] && [ -s out ]
result $? 'the largest file'
rm largest.ini sparse.ini
# a file that grows while it is read: there is an end to it all the same
cp site.ini grows.ini
{
    while [ -e grows.ini ]; do
        head -c 100000 /dev/zero | tr '\0' ';'
    done
} >>grows.ini &
run check grows.ini
rm grows.ini
wait $!
[ "$status" -le 3 ] && { [ -s out ] || [ -s err ]; }
result $? 'a file that grows'

# ---- Files of others -------------------------------------------------------

# foreign NAME -- the tables file is refused, and nothing of it is told
foreign() {
    with foreign
    refused "$1: nothing of it is told" 'foreign: is no tables file: none of its sections is of a kind that tables have; one such as [pipe NAME] or [valve NAME] is expected'
}
printf 'secret:x:0:0:secret:/root:/bin/sh\n' >foreign
foreign 'a list of users'
printf '[secret]\nsecret_key = secret\nsecret\n[default\n' >foreign
foreign 'keys in sections'
printf '; a note\n[user]\n\temail = secret@example.org\n' >foreign
foreign 'settings'
printf '{"secret": "secret"}\n' >foreign
foreign 'JSON'
printf 'secret\377\n' >foreign
foreign 'no UTF-8'
printf 'secret \033[31m\n' >foreign
foreign 'control characters'
printf '=secret\n[=]secret\n[]' >foreign
foreign 'brackets'
printf 'secret\0secret\n' >foreign
with foreign
refused 'what is no text' \
    'foreign:1: this line has a NUL byte; expected a text file in UTF-8'
for file in /etc/passwd /etc/shadow /proc/self/environ /proc/self/cmdline; do
    [ -r "$file" ] || continue
    with "$file"
    [ "$status" -eq 2 ] && [ ! -s out ] && [ "$(wc -l <err)" -eq 1 ] &&
        grep -q -e ': is no tables file: ' -e ': this line has a NUL byte' err
    result $? "tables = $file"
done
printf '; nothing yet\n' >foreign
with foreign
result "$status" 'a tables file without entries is one'
# One that is meant to be one tells what is wrong with it.
printf '[pipes copper L]\nsource = invented\n[valve v]\nflw = 1 gpm\n' >foreign
with foreign
[ "$status" -eq 2 ] && grep -q '^foreign:1: .*"pipe"' err &&
    grep -q '^foreign:4: .*"flw"' err
result $? 'a tables file with mistakes is one'
cp own.ini unread
chmod 0 unread
with unread
if [ "$status" -eq 0 ]; then
    skip 'a file that may not be read' 'it may be here'
else
    refused 'a file that may not be read' \
        'unread: cannot be read: Permission denied'
fi

# ---- Names of files and folders --------------------------------------------

# What a report or a message may not hold: control characters but the ends of
# lines and pages, and what is no UTF-8.
harmless() {
    tr -d '\012\014\015' <"$1" >signs
    ! LC_ALL=C grep -q "[$(printf '\001')-$(printf '\037\177')]" signs &&
        iconv -f UTF-8 -t UTF-8 <"$1" >/dev/null 2>&1
}

feed='
'
escape=$(printf '\033[31m')
sed 's/^size = 3 in/size = choose/' site.ini >choose.ini
for name in "line${feed}[source forged]${feed}kind = fixed" "esc${escape}" \
    "$(printf 'no\377UTF-8')" "$(printf 'c1\302\233x')" \
    "$(printf 'turned\342\200\256txt')" '-' '--help' '=1+1' '<b>&amp;' \
    "it's \"so\"" ' ends ' 'two  blanks' 'a ;comment' '#' 'a\' \
    "$(printf '%0250d' 0)"; do
    shown=$(printf '%.20s' "$name" | tr -c '[:print:]' '?')
    mkdir -p -- "./$name.d" && cp own.ini "./$name.d" || exit 99
    cp site.ini "./$name.d/-$name"
    cp choose.ini "./$name.d/choose.ini"
    wrong=0
    for form in text html csv json; do
        run check --format "$form" -- "./$name.d/-$name"
        [ "$status" -eq 0 ] && [ ! -s err ] && harmless out || wrong=1
        (cd "./$name.d" && timeout 20 "$FLUSHCALC" check --format "$form" \
            -- "-$name") >out 2>err
        [ $? -eq 0 ] && [ ! -s err ] && harmless out || wrong=1
        case $form in
        html) ! command -v xmllint >/dev/null 2>&1 ||
            xmllint --nonet --noout out >err 2>&1 || wrong=1 ;;
        json) ! command -v python3 >/dev/null 2>&1 ||
            python3 -m json.tool out >/dev/null 2>err || wrong=1 ;;
        esac
    done
    for form in text html csv json; do
        run check --format "$form" -- "./$name.d/-$name" site.ini
        [ "$status" -eq 0 ] && [ ! -s err ] && harmless out || wrong=1
    done
    # a message has one line, whatever its file is called
    sed 's/^length = .*/lenght = 1 ft/' site.ini >"./$name.d/broken"
    run check "./$name.d/broken"
    [ "$status" -eq 2 ] && [ ! -s out ] && harmless err &&
        [ "$(wc -l <err)" -eq 1 ] && grep -q '/broken:13: .*"lenght"' err ||
        wrong=1
    result $wrong "a folder and a file called $shown: reports and messages"

    # a site that is written elsewhere names its tables, or is not written
    rm -f written.ini
    run size "./$name.d/choose.ini" --write written.ini
    if [ "$status" -eq 2 ]; then
        [ ! -s out ] && [ ! -e written.ini ] && [ "$(wc -l <err)" -eq 1 ] &&
            grep -q '/choose.ini:4: .*no line of a file can name' err
        result $? "$shown: a site is not written where it cannot be named"
    else
        "$FLUSHCALC" check written.ini --format json >out 2>err &&
            grep -q '"tables_digest": "' out && ! grep -q forged written.ini
        result $? "$shown: a site that is written finds its tables"
    fi
    rm -rf "./$name.d"
done

echo "1..$count"
exit $failed
