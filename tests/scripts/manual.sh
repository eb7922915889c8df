#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/manual.sh -- the man pages are sound and tell what the code
# knows: every key, function, command, option and JSON key; their examples
# work.
set -u
LC_ALL=C
export LC_ALL
: "${srcdir:?the top folder of the source}"
command_page=$srcdir/cli/flushcalc.1
site_page=$srcdir/lib/flushcalc-site.5
library_page=$srcdir/lib/libflushcalc.3
parts=$srcdir/lib/site/parts.c
valve_keys=$srcdir/lib/ini/valve_keys.c

work=$(mktemp -d "${TMPDIR:-/tmp}/flushcalc-manual.XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' HUP INT TERM
header=$work/header
cat "$srcdir"/lib/flushcalc/*.h >"$header"
n=0
bad=0

# verdict NAME LINES: no line is good; the lines say what is wrong.
verdict() {
    n=$((n + 1))
    if [ -z "$2" ]; then
        echo "ok $n - $1"
    else
        bad=1
        echo "not ok $n - $1"
        echo "$2" | sed 's/^/# /'
    fi
}

skip() {
    n=$((n + 1))
    echo "ok $n - $1 # SKIP $2"
}

# The text of a page as it was meant, without its escapes.
plain() {
    sed -e 's/\\&//g' -e 's/\\-/-/g' -e "s/\\\\(aq/'/g" -e 's/\\(dq/"/g' \
        -e 's/\\e/\\/g' "$1"
}

# example PAGE NAME: the block behind the comment `example: NAME'.
example() {
    plain "$1" | awk -v name="$2" '
        /^\.\\" example: / && $3 == name && NF == 3 { near = 1 }
        /^\.EE/ { if (inside) exit }
        inside { print }
        near && /^\.EX/ { inside = 1 }'
}

# enough WHAT LIST LEAST: a list that is shorter than it can be was not read as
# it should be.
enough() {
    found=$(echo "$2" | grep -c .)
    [ "$found" -ge "$3" ] || echo "only $found $1 were found"
}

# ---- Form -----------------------------------------------------------------

for page in "$command_page" "$site_page" "$library_page"; do
    name=$(basename "$page")
    if command -v groff >/dev/null 2>&1; then
        said=$(groff -man -ww -z -Tutf8 "$page" 2>&1) ||
            said="$said (groff failed)"
        verdict "$name: groff has nothing to say" "$said"
    else
        skip "$name: groff has nothing to say" "groff is not installed"
    fi
    verdict "$name: input lines are short and plain ASCII" "$(
        awk 'length > 80 { print FILENAME ":" NR ": is long" }' "$page"
        grep -n '[^ -~]' "$page")"
done

# ---- Keys of the site file ------------------------------------------------

# "kind key" for every key, "kind" for every kind, from lib/site/parts.c.
keys_in_code() {
    awk '
        function keys(list,    rest) {
            rest = $0
            while (match(rest, /[A-Z_]+\("[^"]*"/)) {
                word = substr(rest, RSTART, RLENGTH)
                rest = substr(rest, RSTART + RLENGTH)
                macro = key = word
                sub(/\(.*/, "", macro)
                gsub(/^[^"]*"|"$/, "", key)
                if (macro != "KIND")
                    of[list] = of[list] key "\n"
            }
        }
        /^#define [A-Z]+_FIELDS/ {
            list = $2
            sub(/\(.*/, "", list)
            next
        }
        /struct fci_field [a-z_]+\[/ {
            list = $0
            sub(/\[.*/, "", list)
            sub(/.* /, "", list)
        }
        list != "" && match($0, /(^|[^A-Z_])[A-Z]+_FIELDS/) {
            word = substr($0, RSTART, RLENGTH)
            sub(/[^A-Z]*/, "", word)
            of[list] = of[list] of[word]
        }
        list != "" { keys(list) }
        /^};|^$/ { list = "" }
        match($0, /[A-Z]\("[a-z]+", [a-z_]+_fields/) {
            word = substr($0, RSTART + 3, RLENGTH - 3)
            kind = fields = word
            sub(/".*/, "", kind)
            sub(/.* /, "", fields)
            print kind
            count = split(of[fields], each, "\n")
            for (i = 1; i < count; i++)
                print kind " " each[i]
        }' "$valve_keys" "$parts"
}

# The same from the page: .SS [kind ...] and .B key.
keys_in_page() {
    plain "$site_page" | awk '
        /^\.S[SH]/ {
            count = 0
            rest = $0
            while (/^\.SS/ && match(rest, /\[[a-z]+/)) {
                kind[++count] = substr(rest, RSTART + 1, RLENGTH - 1)
                rest = substr(rest, RSTART + RLENGTH)
                print kind[count]
            }
        }
        entry && /^\.B / {
            sub(/^\.B /, "")
            for (i = 1; i <= count; i++)
                print kind[i] " " $0
        }
        { entry = /^\.TP/ }'
}

keys_in_code >"$work/code"
keys_in_page >"$work/page"
kinds=$(grep -v ' ' "$work/code")
verdict "the kinds and keys of lib/site/parts.c were found" \
    "$(enough kinds "$kinds" 17; enough keys "$(cat "$work/code")" 110)"
for kind in $kinds; do
    count=$(grep -c "^$kind " "$work/code")
    verdict "flushcalc-site.5: [$kind] and its $count keys, and no other" "$(
        grep -qx "$kind" "$work/page" || echo "[$kind] has no heading"
        [ "$count" -gt 0 ] || echo "[$kind] has no key in lib/site/parts.c"
        grep "^$kind " "$work/code" | while read -r line; do
            grep -Fqx -e "$line" "$work/page" || echo "missing: $line"
        done
        grep "^$kind " "$work/page" | while read -r line; do
            grep -Fqx -e "$line" "$work/code" || echo "not a key: $line"
        done)"
done

# The words that a key may choose from.
words=$(tr '\n' ' ' <"$parts" |
    grep -o '[a-z]*_words\[\] = {[^}]*}' | grep -o '"[^"]*"' | tr -d '"')
verdict "flushcalc-site.5: every word that a key may take" "$(
    enough words "$words" 15
    echo "$words" | while read -r word; do
        plain "$site_page" | grep '^\.B' | grep -Fqw -e "$word" ||
            echo "missing: $word"
    done)"

# ---- The library ----------------------------------------------------------

# The header without its comments and preprocessor lines, on one line.
code_of() {
    tr '\n' '\001' <"$1" | sed -e 's|/\*[^*]*\*\**\([^/*][^*]*\*\**\)*/| |g' |
        tr '\001' '\n' | grep -v '^#' | tr '\n' ' ' | tr -s ' '
}

prototypes=$(code_of "$header" |
    grep -o '[a-z_][a-z_ *]*fc_[a-z_]*([^()]*);' | sed 's/^ *//')
shown=$(plain "$library_page" | awk '
    /^\.EE/ { inside = 0 }
    inside { print }
    /^\.EX/ { inside = 1 }' | tr '\n' ' ' | tr -s ' ')
verdict "libflushcalc.3: every prototype, as the header has it" "$(
    enough prototypes "$prototypes" 40
    echo "$prototypes" | while read -r prototype; do
        case $shown in
        *" $prototype "*) ;;
        *) echo "missing: $prototype" ;;
        esac
    done)"

names=$(sed -n 's/.*[ *]\(fc_[a-z_]*\)(.*/\1/p' "$header" | sort -u)
types=$(grep -o 'typedef \(struct\|enum\) fc_[a-z_]*' "$header" |
    sed 's/.* //' | sort -u)
verdict "libflushcalc.3: every function and type of the header" "$(
    enough functions "$names" 40
    enough types "$types" 40
    for name in $names $types; do
        grep -qw "$name" "$library_page" || echo "missing: $name"
    done)"

members=$(code_of "$header" | grep -o 'struct fc_[a-z_]* {[^}]*}' |
    sed -e 's/.*{//' -e 's/}//' -e 's/[;,]/\n/g' |
    sed -n 's/.*[ *]\([a-z_][a-z_]*\) *\(\[.*\)\{0,1\}$/\1/p' | sort -u)
verdict "libflushcalc.3: every member, unless it is a key of a site file" "$(
    enough members "$members" 120
    for member in $members; do
        list=${member#n_} # n_pipes stands beside pipes
        key=$(echo "$list" | tr _ ' ')
        grep -qw -e "$list" -e "$member" "$library_page" ||
            grep -Eq "^[a-z]+ $key\$" "$work/code" ||
            echo "missing: $member"
    done)"

example "$library_page" embed.c >"$work/embed.c"
cc=${CC:-}
[ -n "$cc" ] || cc=$(command -v gcc || command -v cc || command -v clang)
if [ -n "$cc" ]; then
    # shellcheck disable=SC2086 # a compiler and its options
    said=$($cc -std=c11 -Wall -Wextra -Werror -fsyntax-only \
        -I"$srcdir/lib" "$work/embed.c" 2>&1) ||
        said="$said (did not compile)"
    grep -q 'fc_check(' "$work/embed.c" || said="$said no example was found"
    verdict "libflushcalc.3: the example program compiles" "$said"
else
    skip "libflushcalc.3: the example program compiles" "no C compiler"
fi

# ---- The command ----------------------------------------------------------

example "$site_page" small.ini >"$work/small.ini"
if [ -x "${FLUSHCALC:-}" ]; then
    commands=$("$FLUSHCALC" --help |
        sed -n -e 's/^usage:/      /' \
            -e 's/^       flushcalc \([a-z][a-z]*\) .*/\1/p' | sort -u)
    options=$({
        "$FLUSHCALC" --help
        for name in $commands; do "$FLUSHCALC" "$name" --help; done
    } | grep -oe '--[a-z][a-z-]*' | sort -u)
    verdict "flushcalc.1: every command of --help" "$(
        enough commands "$commands" 3
        for name in $commands; do
            grep -qx "\\.SS $name" "$command_page" || echo "missing: $name"
        done)"
    verdict "flushcalc.1: every long option of --help" "$(
        enough options "$options" 5
        plain "$command_page" | awk 'entry; { entry = /^\.TP/ }' >"$work/tags"
        for option in $options; do
            grep '^\.B' "$work/tags" | grep -qwe "$option" ||
                echo "missing: $option"
        done)"

    "$FLUSHCALC" check "$work/small.ini" >"$work/report" 2>"$work/messages"
    status=$?
    verdict "flushcalc-site.5: the example is read and checked" "$(
        case $status in
        0 | 1 | 3) [ -s "$work/report" ] || echo "no report" ;;
        *) echo "exit status $status" ;;
        esac
        cat "$work/messages")"

    # Of the schema what is described, not how; the names of what is described
    # apart stand two blanks deep.
    json=$("$FLUSHCALC" --schema | sed -n 's/^    *"\([a-z_]*\)": {$/\1/p' |
        grep -vx -e properties -e items -e additionalProperties | sort -u)
    verdict "flushcalc.1: every JSON key of the reports" "$(
        enough "JSON keys" "$json" 250
        sed -n '/^\.SH JSON/,/^\.SH CSV/p' "$command_page" >"$work/json"
        for key in $json; do
            either=${key%_low}
            grep '^\.[BIR]' "$work/json" |
                grep -qw -e "$key" -e "${either%_high}" ||
                echo "missing: $key"
        done)"

    # tables OPERAND...: the tables that CSV has of a report; there is none
    # called `-'.
    tables() {
        "$FLUSHCALC" "$@" --format csv --table - 2>&1 |
            sed -n 's/.*; the tables are //p' | tr -d ' ' | tr , '\n'
    }
    csv=$({
        tables check "$work/small.ini"
        tables check "$work/small.ini" "$work/small.ini"
        tables compare "$work/small.ini"
        tables path "$work/small.ini" wc-2
        tables flush "$work/small.ini" wc-2
        tables quick main=52
        tables size "$srcdir/examples/sizing.ini"
        tables size --remedy "$srcdir/examples/clinic.ini"
        tables verify "$srcdir/examples/library.ini"
        tables diagnose "$srcdir/examples/school.ini"
        tables tables pipe
    } | sort -u)
    verdict "flushcalc.1: every table of CSV" "$(
        enough "tables of CSV" "$csv" 30
        sed -n '/^\.SH CSV/,/^\.SH EXIT/p' "$command_page" >"$work/csv"
        for table in $csv; do
            grep '^\.B' "$work/csv" | grep -Fqw -e "$table" ||
                echo "missing: $table"
        done)"
else
    for what in "flushcalc.1: every command of --help" \
        "flushcalc.1: every long option of --help" \
        "flushcalc-site.5: the example is read and checked" \
        "flushcalc.1: every JSON key of the reports" \
        "flushcalc.1: every table of CSV"; do
        skip "$what" "the command is not built"
    done
fi
echo "1..$n"
exit "$bad"
