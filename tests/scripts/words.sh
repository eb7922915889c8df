#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/words.sh -- what people read says one thing by one word: none
# of the words that tests/words.txt has as not said stands in the reports of
# tests/cases, the messages of tests/bad, the man pages, the help, README.md,
# the comments of the examples, or the sentences of the library.
set -u
LC_ALL=C
export LC_ALL
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"
work=$(mktemp -d) || exit 99
trap 'rm -rf "$work"' EXIT
count=0
bad=0

# verdict NAME: what is in $work/why is wrong.
verdict() {
    count=$((count + 1))
    if [ -s "$work/why" ]; then
        bad=1
        echo "not ok $count - $1"
        sed 's/^/# /' "$work/why"
    else
        echo "ok $count - $1"
    fi
}

# What a person reads of a file, line by line, so that lines keep their
# numbers: of a man page what is not a request, nor bold or slanted by one (words
# of programs); of JSON the values, of a site file the comments, of C the
# literals.
read_as() {
    case $1 in
    man) sed -e 's/^\.\\".*//' -e 's/^\.[BI][RI]* .*//' \
        -e 's/^\.RB .*//' -e 's/^\.[A-Z][A-Z]*//' -e 's/\\f.//g' \
        -e 's/\\-/-/g' -e 's/\\e//g' -e 's/\\[(]en/-/g' "$2" ;;
    json) sed 's/"[a-z_]*"://' "$2" ;;
    comments) sed -e 's/^[^;#]*$//' -e 's/^[^;#]*[;#]//' "$2" ;;
    literals) awk '{
        text = ""
        line = $0
        sub(/^ *(\/\*| \*).*/, "", line)
        sub(/^#include.*/, "", line)
        gsub(/\\"/, "\001", line)
        while (match(line, /"[^"]*"/)) {
            text = text substr(line, RSTART + 1, RLENGTH - 2)
            line = substr(line, RSTART + RLENGTH)
        }
        gsub(/\001/, "\"", text)
        if (text !~ / /)
            text = ""
        print text }' "$2" ;;
    *) cat "$2" ;;
    esac
}

# said HOW NAME FILE: each word found in the file, which is called so.  Lines
# are joined, as reports are wrapped.
said() {
    read_as "$1" "$3" | awk -v name="$2" -F '\t' '
        FNR == NR {
            if (NF >= 2) {
                pattern[++n] = "[^a-z](" $1 ")[^a-z]"
                instead[n] = $2; meant[n] = $3; word[n] = $1
            }
            next
        }
        {
            line = tolower($0)
            gsub(/[ \t]+/, " ", line)
            sub(/^ /, "", line)
            starts[++lines] = length(text) + 1
            text = text " " line
        }
        function line_of(at,  low, high, middle) {
            low = 1; high = lines
            while (low < high) {
                middle = int((low + high + 1) / 2)
                if (starts[middle] <= at) low = middle
                else high = middle - 1
            }
            return low
        }
        END {
            text = text " "
            for (i = 1; i <= n; i++) {
                rest = text; past = 0
                while (match(rest, pattern[i])) {
                    at = past + RSTART + 1
                    from = at > 24 ? at - 24 : 1
                    around = substr(text, from, at - from + RLENGTH + 16)
                    if (meant[i] == "" || around !~ meant[i])
                        print name ":" line_of(at) ": " \
                            substr(text, at, RLENGTH - 2) " -> " instead[i]
                    past += RSTART + RLENGTH - 2
                    rest = substr(rest, RSTART + RLENGTH - 1)
                }
            }
        }' "$srcdir/tests/words.txt" -
}

# none NAME HOW FILE...: no such word in any of them.
none() {
    name=$1
    how=$2
    shift 2
    for file; do
        said "$how" "${file#"$srcdir"/}" "$file"
    done >"$work/why"
    verdict "$name"
}

# help NAME COMMAND...
help() {
    "$FLUSHCALC" "$@" --help >"$work/help" 2>&1 ||
        echo "no help" >"$work/why"
    said text "flushcalc $* --help" "$work/help" >"$work/why"
    verdict "flushcalc $* --help"
}

# The test sees what it is to see: across a line's end, and not within a word.
printf 'It has 40 psi with\n  nothing flowing.\nUnderstanding it.\n' \
    >"$work/text"
said text text "$work/text" >"$work/seen"
echo 'text:1: with nothing flowing -> static' |
    diff - "$work/seen" >"$work/why" 2>&1
verdict "a word that is not said is found"
printf '[reducer r]\nset = 50 psi ; behind the meter\n' >"$work/text"
said comments text "$work/text" >"$work/seen"
echo 'text:2: behind -> downstream of' |
    diff - "$work/seen" >"$work/why" 2>&1
verdict "of a site file only the comments are read"

none "reports of tests/cases" text "$srcdir"/tests/cases/*.txt
none "reports for programs of tests/cases" json "$srcdir"/tests/cases/*.json
none "messages of tests/bad" text "$srcdir"/tests/bad/*.err
none "man pages" man "$srcdir"/cli/flushcalc.1 \
    "$srcdir"/lib/flushcalc-site.5 "$srcdir"/lib/libflushcalc.3
none "README.md" text "$srcdir"/README.md
none "comments of the examples" comments "$srcdir"/examples/*.ini
none "comments of first site files" comments "$srcdir"/tests/starter/*.ini
none "the first check" text "$srcdir"/examples/first-check
none "sentences of the library" literals "$srcdir"/lib/*/*.c
help
for command in check path flush quick size verify diagnose tables new; do
    help "$command"
done
echo "1..$count"
exit $bad
