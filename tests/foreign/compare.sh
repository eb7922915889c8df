#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/foreign/compare.sh i386|arm64 [FOLDER] -- builds the sources for another
# processor in FOLDER, a Debian of its own, and compares the reports of all
# examples there with those of this machine ($FLUSHCALC): they are to be the
# same, byte for byte.  As root; takes the network and some 400 MB.
#
#   i386   runs here as it is
#   arm64  needs qemu-user-static and binfmt, and takes an hour
#
# make check-foreign compares with i386.
set -eu
: "${FLUSHCALC:?the command of this machine}" "${srcdir:?the top of the sources}"
arch=${1:?i386 or arm64}
root=${2:-$PWD/foreign-$arch}
mirror=${DEBIAN_MIRROR:-http://deb.debian.org/debian}
packages=gcc,make,libc6-dev,libgsl-dev,libiniparser-dev,libjansson-dev
packages=$packages,libxml2-dev,nettle-dev,pkg-config

if [ ! -e "$root/etc/debian_version" ]; then
    debootstrap --arch="$arch" --variant=minbase --include="$packages" \
        bookworm "$root" "$mirror"
fi
rm -rf "$root/src"
mkdir "$root/src"
(cd "$srcdir" && tar -cf - --exclude=.git --exclude='_build*' .) |
    tar -xf - -C "$root/src"
(cd "$root/src" && autoreconf -fi)
rm -rf "$root/src/_foreign"
mkdir "$root/src/_foreign"
chroot "$root" sh -ec 'cd /src/_foreign
    ../configure --quiet --disable-shared CFLAGS=-O2
    make -s -j2
    FLUSHCALC=/src/_foreign/flushcalc srcdir=.. sh ../tests/foreign/reports.sh \
        reports'
sh "$srcdir/tests/foreign/reports.sh" "$root/reports-here"
diff -rq "$root/reports-here" "$root/src/_foreign/reports" &&
    echo "the same: $(find "$root/reports-here" -type f | wc -l) reports"
