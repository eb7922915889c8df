#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/completion.sh -- what bash and zsh make of a word half typed.
# Prints TAP.
#
#   FLUSHCALC  the command to test
#   srcdir     the top of the sources
#
# The help of each command says which options and words there are; the command
# must offer just those to a shell.
set -u
LC_ALL=C
export LC_ALL
: "${FLUSHCALC:?the path of the command to test}"
: "${srcdir:?the top of the sources}"

case $FLUSHCALC in
*/*) FLUSHCALC=$(cd "$(dirname "$FLUSHCALC")" && pwd)/$(basename "$FLUSHCALC") ;;
esac
srcdir=$(cd "$srcdir" && pwd) || exit 99
folder=$(mktemp -d "${TMPDIR:-/tmp}/flushcalc-completion.XXXXXX") || exit 99
trap 'rm -rf "$folder"' EXIT
trap 'exit 99' HUP INT TERM
cd "$folder" || exit 99

n=0
failed=0

# same NAME EXPECTED GOT -- one line of TAP
same() {
    n=$((n + 1))
    if [ "$2" = "$3" ]; then
        echo "ok $n - $1"
    else
        echo "not ok $n - $1"
        printf 'expected: %s\ngot: %s\n' "$2" "$3" | sed 's/^/# /'
        failed=1
    fi
}

skip() {
    n=$((n + 1))
    echo "ok $n - $1 # SKIP $2"
}

# on_one_line: the lines of the input, parted by blanks
on_one_line() {
    tr '\n' ' ' | sed 's/ $//'
}

# offered WORD...: what the last of the words may become, on one line
offered() {
    "$FLUSHCALC" --complete "$@" 2>&1 | on_one_line
}

# Two typical floors of two kinds, and a heater: no fixture.
cat >site.ini <<'EOF'
[site]
title = Invented
[source street]
kind = street main
static = 70 psi
[pipe riser]
from = street
material = copper L
size = 2 in
length = 10 ft
[fixture wc-{floor}]
floors = 2..3
on = riser
kind = water closet, flush valve
[fixture basin-{floor}]
floors = 2..3
on = riser
kind = lavatory
[heater boiler]
on = riser
serves = basin-2, basin-3
EOF

# ---- The command itself ----------------------------------------------------

commands=$("$FLUSHCALC" --help |
    sed -n 's/^\(usage:\|      \) flushcalc \([a-z]*\) .*/\2/p')
same 'the commands of the help' "$(echo "$commands" | on_one_line)" \
    "$(offered '')"
same 'a command half typed' 'diagnose' "$(offered di)"
same 'no such command' '' "$(offered frobn)"
for command in $commands; do
    "$FLUSHCALC" "$command" --help >help
    options=$(sed -n 's/^  \(-[a-zA-Z], \)*\(--[a-z]*\).*/\2/p' help | sort)
    same "the options of $command --help" "$(echo "$options" | on_one_line)" \
        "$(offered "$command" -- | tr ' ' '\n' | sort | on_one_line)"
    # "--units us|si" in the help: these words, and no other
    for option in $options; do
        words=$(sed -n "s/^  $option \\([^ ]*|.*\\)/\\1/p" help |
            sed "s/  .*//; s/'//g" | tr '|' '\n' | sed "s/^/$option=/")
        same "the words of $command $option" "$(echo "$words" | on_one_line)" \
            "$(offered "$command" "$option=")"
    done
done
same 'before a command' '--help --version --schema' "$(offered --)"
same 'an option is offered once' '' "$(offered check --units si --un)"
same 'behind an unknown option' 'path' "$(offered --nosuch pat)"
same 'the words of an unknown option' '' "$(offered --nosuch=)"
same 'an option is no command behind --' 'path' "$(offered -- pat)"
same 'a value in one word, then an option' '--units' \
    "$(offered check --format=json --un)"
same 'behind an unknown command' 'path' "$(offered frobn site.ini pat)"
same 'the fixtures of standard input' '' "$(offered path - '' </dev/null)"
same 'one kind of tables is enough' '' "$(offered tables pipe '')"
same 'a figure of quick is offered once' 'main= up=' \
    "$(offered quick still=45 '' | tr ' ' '\n' | sed -n '/^main=\|^up=\|^still=/p' |
        on_one_line)"
same 'an answer of new is offered once' 'main=' \
    "$(offered new stories=8 '' | tr ' ' '\n' | sed -n '/^main=\|^stories=/p' |
        on_one_line)"
same 'an option behind a command' '--units' "$(offered check --un)"
same 'none behind --' '' "$(offered check -- --un)"
same 'a value as one word' '--units=si' "$(offered check --units=s)"
same 'a value as bash parts it' 'si' "$(offered check --units = s)"
same 'no value yet, as bash parts it' 'us si' "$(offered check --units =)"
same 'a value before the command' 'path' "$(offered --units si pat)"
same 'a site is a file' '' "$(offered path '')"
same 'a command behind help' 'flush' "$(offered help fl)"
same 'no second command behind help' '' "$(offered help flush '')"
same 'an option by its letter has a value' 'wc-2 wc-3 basin-2 basin-3' \
    "$(offered path -o report.txt site.ini '')"
same 'a value behind the letter is in one word' 'wc-2 wc-3 basin-2 basin-3' \
    "$(offered path -oreport.txt site.ini '')"
same 'what is written is a file' '' "$(offered path --output '')"
same 'the fixtures of a site' 'wc-2 wc-3 basin-2 basin-3' \
    "$(offered path site.ini '')"
same 'a fixture half typed' 'wc-2 wc-3' "$(offered path site.ini wc)"
same 'fixtures behind options' 'basin-2 basin-3' \
    "$(offered path --units si site.ini --darcy bas)"
same 'one fixture is enough for path' '' "$(offered path site.ini wc-2 '')"
same 'flush takes more, each once' 'wc-3' "$(offered flush site.ini wc-2 wc)"
same 'no fixtures of a file that is not there' '' \
    "$(offered path absent.ini '')"
same 'no fixtures of standard input' '' "$(offered path - '')"
same 'nothing at all' "$(echo "$commands" | on_one_line)" "$(offered)"
same 'kinds of tables' 'pipe' "$(offered tables pip)"
same 'what a first site file is made of' 'floor= flow-test=' \
    "$(offered new stories=8 fl)"
same 'each once' 'flow-test=' "$(offered new floor=12ft fl)"

# ---- The shells ------------------------------------------------------------

# in_bash WORD...: what bash would offer, parted by |
in_bash() {
    bash -c '
        . "$1"
        command=$2
        shift 2
        COMP_WORDS=(flushcalc "$@")
        COMP_CWORD=$#
        complete -p flushcalc | grep -q -e "-F _flushcalc" || exit 1
        _flushcalc "$command"
        IFS="|"
        printf "%s" "${COMPREPLY[*]}"' \
        bash "$srcdir/cli/completion/bash/flushcalc" "$FLUSHCALC" "$@" 2>&1
}

# in_zsh WORD...: the same of zsh; "files" where it looks for names of files
in_zsh() {
    zsh -f -c '
        compadd() { print -rn -- "${(Pj:|:)2}" }
        _files() { print -rn files }
        script=$1
        words=("${@:2}")
        CURRENT=$#words
        source $script' \
        zsh "$srcdir/cli/completion/zsh/_flushcalc" "$FLUSHCALC" "$@" 2>&1
}

cp site.ini 'my site.ini'
for shell in bash zsh; do
    if ! command -v $shell >/dev/null 2>&1; then
        skip "$shell" "no $shell here"
        continue
    fi
    file=
    [ $shell = bash ] || file=files
    same "$shell: a command" 'path' "$(in_$shell pa)"
    same "$shell: the fixtures of a site" 'wc-2|wc-3|basin-2|basin-3' \
        "$(in_$shell path site.ini '')"
    same "$shell: a file" "$file" "$(in_$shell path '')"
    same "$shell: a name in quotes" 'wc-2|wc-3' \
        "$(in_$shell path "'my site.ini'" wc)"
    same "$shell: a name with a backslash" 'wc-2|wc-3' \
        "$(in_$shell path 'my\ site.ini' wc)"
    HOME=$folder
    export HOME
    # shellcheck disable=SC2088 # the shell under test is to see the tilde
    same "$shell: a name under the home" 'wc-2|wc-3' \
        "$(in_$shell path '~/site.ini' wc)"
done
if command -v bash >/dev/null 2>&1; then
    same 'bash: a word with a blank' 'runs\ on' \
        "$(in_bash diagnose --symptom r)"
    same 'bash: parted at the sign' 'us|si' "$(in_bash check --units =)"
fi
echo "1..$n"
exit $failed
