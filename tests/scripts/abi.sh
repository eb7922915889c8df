#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/abi.sh [dump FILE] -- what a program that was built with the
# release of lib/abi/ calls is still there, and the same: by libabigail.  That
# something was added, in the room that a struct has, at the end of a result or
# of an enumeration, is no fault.  `make abi` writes the dump of a release.
# Prints TAP.
set -u
: "${srcdir:?the top of the sources}" "${builddir:?the top of the build}"
library=$builddir/lib/.libs/libflushcalc.so
headers=$srcdir/lib/flushcalc

# dump FILE: what the library has now.
dump() {
    abidw --drop-private-types --exported-interfaces-only --no-show-locs \
        --no-corpus-path --no-comp-dir-path --no-elf-needed \
        --headers-dir "$headers" --out-file "$1" "$library"
}

if [ "${1-}" = dump ]; then
    dump "$2.tmp" && xz -9 <"$2.tmp" >"$2"
    status=$?
    rm -f "$2.tmp"
    exit $status
fi

skip() {
    echo "1..0 # SKIP $1"
    exit 0
}
for program in abidiff xz; do
    command -v $program >/dev/null || skip "no $program"
done
[ -e "$library" ] || skip "no shared library"
readelf -S "$library" | grep -q '\.debug_info' || skip "no debug information"
# of one processor: the offsets of another are others
[ "$(uname -m)" = x86_64 ] || skip "the dump is of x86_64"
work=$(mktemp -d) || exit 99
trap 'rm -rf "$work"' EXIT
xz -dc "$srcdir/lib/abi/libflushcalc.abi.xz" >"$work/release.abi" || exit 99

# These come from the library alone and grow at their end; of the others no
# caller knows what is in them.
results='fc_check_result|fc_flush_result|fc_effects|fc_path|fc_size_result'
results="$results|fc_remedies|fc_verify_result|fc_diagnosis|fc_quick_result"
results="$results|fc_checked_sites|fc_sweep_result|fc_comparison"
hidden='fc_site|fc_tables|fc_report|fc_diagnostics|fci_.*'

dump "$work/now.abi" || exit 99

# broken DUMP [DUMP]: what a program built with the first would miss in the
# second, a line each.  A line is of the struct that stands above it and further
# left; what is said of room for members is left out.
broken() {
    abidiff --no-added-syms --harmless "$1" "${2-$work/now.abi}" \
        >"$work/said" 2>&1
    # 1 and 2 are errors of its own
    [ $(($? & 3)) -eq 0 ] || cat "$work/said"
    awk -v results="^($results)\$" -v hidden="^($hidden)\$" '
        {
            match($0, /^ */)
            indent = RLENGTH
            for (i in names)
                if (i + 0 >= indent)
                    delete names[i]
            name = ""
            for (i = indent - 1; i >= 0 && name == ""; i--)
                if (i in names)
                    name = names[i]
        }
        room != "" && (indent > room ||
            (indent == room && /and offset changed/)) { next }
        { room = "" }
        /type of .* reserved\[[0-9]*\]. changed/ { room = indent; next }
        match($0, /(struct|enum) fc[a-z_]+. changed:/) {
            names[indent] = $0
            sub(/.*(struct|enum) /, "", names[indent])
            sub(/. changed:.*/, "", names[indent])
        }
        /\[D\]/ { print }
        / deletions?:/ { deleted = indent; next }
        deleted && indent <= deleted { deleted = 0 }
        name ~ hidden { next }
        deleted && !/ reserved\[/ { print name ": gone: " $0 }
        /type size changed from/ && name !~ results { print name ": " $0 }
        /offset changed from/ && !/reserved/ { print name ": " $0 }
        /parameter [0-9]+ of type .* changed:$/ && !/fc[a-z_]*[ *]*. changed/ {
            print
        }
        /parameter [0-9]+ .* was (added|removed)/ { print }
        /type name changed from/ { print name ": " $0 }
        /from value .* to / { print name ": " $0 }' "$work/said"
}

number=0
# result STATUS NAME
result() {
    number=$((number + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $number - $2"
    else
        echo "not ok $number - $2"
        sed 's/^/# /' "$work/broken"
    fi
}

# seen NAME SED-SCRIPT: a release that was otherwise is told from this one.
seen() {
    sed "$2" "$work/release.abi" >"$work/other.abi"
    broken "$work/other.abi" >"$work/broken"
    ! cmp -s "$work/release.abi" "$work/other.abi" && [ -s "$work/broken" ]
    result $? "$1 is seen"
}

echo 1..9
broken "$work/release.abi" >"$work/broken"
[ ! -s "$work/broken" ]
result $? "a program built with the release runs with this library"
seen "a function that is gone" 's/fc_version/fc_version_of_old/g'
seen "a member that moved" "/class-decl name='fc_range'/,/<.class-decl>/ {
    s/offset-in-bits='64'/offset-in-bits='96'/
}"
seen "a struct of another size" \
    "/class-decl name='fc_range'/s/size-in-bits='256'/size-in-bits='320'/"
seen "an enumerator of another value" \
    "/name='FC_WORKS'/s/value='1'/value='7'/"
seen "a struct that shrank to nothing" \
    "/class-decl name='fc_point'/,/<.class-decl>/s/size-in-bits='[0-9]*'/size-in-bits='64'/"
# What may be added is no fault: an enumerator at the end, a result that grew.
sed "/<enumerator name='FC_WILL_NOT_WORK'/d
    /class-decl name='fc_check_result'/s/size-in-bits='[0-9]*'/size-in-bits='64'/" \
    "$work/release.abi" >"$work/other.abi"
broken "$work/other.abi" >"$work/broken"
[ ! -s "$work/broken" ] && ! cmp -s "$work/release.abi" "$work/other.abi"
result $? "what was added is no fault"

# small NAME MEMBERS: the dump of a library of one struct.
small() {
    echo "typedef struct fc_x { double a; $2 } fc_x;
        int fc_f(const fc_x *x) { return x->a > 0; }" >"$work/small.c"
    cc -g -shared -fPIC -o "$work/small.so" "$work/small.c" &&
        abidw --out-file "$work/$1.abi" "$work/small.so"
}
small old 'unsigned long long reserved[3];' &&
    small taken 'double b; unsigned long long reserved[2];' &&
    small longer 'double b; unsigned long long reserved[3];'
broken "$work/old.abi" "$work/taken.abi" >"$work/broken"
[ -s "$work/taken.abi" ] && [ ! -s "$work/broken" ]
result $? "a member in the room of its struct is no fault"
broken "$work/old.abi" "$work/longer.abi" >"$work/broken"
[ -s "$work/broken" ]
result $? "a member beside the room is seen"
