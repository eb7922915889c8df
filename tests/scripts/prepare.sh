# SPDX-License-Identifier: GPL-3.0-or-later
# tests/scripts/prepare.sh -- what a fresh Debian machine lacks, and a build
# of the tree.  Sourced by examples/first-check and tests/run, which set `top`.
# shellcheck shell=sh disable=SC2034 # what is set here they use

build_root=${FLUSHCALC_BUILD:-$top/_build}
jobs=$(nproc 2>/dev/null || echo 1)

# Where nothing can be built, one line says what to do instead.
case $top$build_root in
*[[:space:]\"\#\$\&\'\`\\]*)
    echo "autoconf takes no path with a blank or one of \"#\$&'\`\\ in it:" \
        "move this folder to a path without, then start again: $top" >&2
    exit 2
    ;;
esac
if ! mkdir -p "$build_root" 2>/dev/null || [ ! -w "$build_root" ] ||
    { [ ! -x "$top/configure" ] && [ ! -w "$top" ]; }
then
    echo "This folder may not be written: copy it to one of your own and" \
        "start again there: cp -r $top ~/flushcalc" >&2
    exit 2
fi

# need_packages PACKAGE...: install those that are missing, when that may be
# done without asking anybody; else say the one line that does it.
need_packages() {
    missing=
    for package; do
        status=$(dpkg-query -W -f '${db:Status-Status}' "$package" \
            2>/dev/null) || status=
        [ "$status" = installed ] || missing="$missing $package"
    done
    [ -n "$missing" ] || return 0
    if [ "$(id -u)" -eq 0 ]; then
        run=
    elif sudo -n true 2>/dev/null; then
        run=sudo
    else
        echo "These packages are missing; this line installs them:" >&2
        echo "    sudo apt-get install -y$missing" >&2
        return 1
    fi
    echo "Installing:$missing" >&2
    # shellcheck disable=SC2086 # a list of words is meant
    $run env DEBIAN_FRONTEND=noninteractive sh -c "
        apt-get -q -y install --no-install-recommends $missing >/dev/null ||
        { apt-get -q update >/dev/null &&
          apt-get -q -y install --no-install-recommends $missing >/dev/null; }
    " >&2
}

build_packages="gcc make autoconf automake libtool pkg-config libc6-dev \
libgsl-dev libiniparser-dev libjansson-dev \
libxml2-dev nettle-dev check"

# configure_in FOLDER ARGUMENT...: configure a build there, once for the same
# arguments.
configure_in() {
    folder=$1
    shift
    if [ ! -x "$top/configure" ] || [ -n "$(find "$top/configure.ac" \
        "$top/Makefile.am" "$top"/*/Makefile.inc -newer "$top/configure")" ]
    then
        mkdir -p "$top/build-aux/m4" && (cd "$top" && autoreconf -fi) ||
            return 1
        touch "$top/configure"
    fi
    mkdir -p "$folder" || return 1
    if [ ! -f "$folder/Makefile" ] ||
        [ "$top/configure" -nt "$folder/config.status" ] ||
        [ "$top $*" != "$(cat "$folder/arguments" 2>/dev/null)" ]
    then
        (cd "$folder" && "$top/configure" --quiet "$@") &&
            echo "$top $*" >"$folder/arguments"
    fi
}

# quietly LOG COMMAND...: run it; print what it said only if it fails.
quietly() {
    log=$1
    shift
    mkdir -p "$(dirname "$log")"
    "$@" >"$log" 2>&1 || {
        cat "$log" >&2
        return 1
    }
}
