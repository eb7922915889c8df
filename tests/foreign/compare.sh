#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# tests/foreign/compare.sh i386|arm64|s390x [FOLDER] -- builds the sources for
# another processor in FOLDER, a Debian of its own, and compares the reports of
# all examples there with those of this machine ($FLUSHCALC): they are to be the
# same, byte for byte.  As root on amd64; takes the network and some 900 MB.
#
#   i386          runs here as it is; longs and pointers have 32 bits
#   arm64, s390x  run under emulation, some ten times as long; the second has
#                 its highest byte first
#
# make check-foreign compares with i386, make check-foreign FOREIGN=s390x with
# that.
set -eu
: "${FLUSHCALC:?the command here}" "${srcdir:?sources as they are handed out}"
arch=${1:?i386, arm64 or s390x}
root=${2:-$PWD/foreign}
mirror=${DEBIAN_MIRROR:-http://deb.debian.org/debian}
emulate=
case $arch in
i386) triplet=i386-linux-gnu compiler=i686-linux-gnu ;;
arm64) triplet=aarch64-linux-gnu emulate=qemu-aarch64-static ;;
s390x) triplet=s390x-linux-gnu emulate=qemu-s390x-static ;;
*) echo "no recipe for $arch; i386, arm64 or s390x is expected" >&2; exit 2 ;;
esac
compiler=${compiler-$triplet}

[ -e "$root/etc/debian_version" ] ||
    debootstrap --variant=minbase bookworm "$root" "$mirror"
# Libraries of one processor at a time: those of GSL replace each other.
chroot "$root" sh -ec '
    DEBIAN_FRONTEND=noninteractive
    export DEBIAN_FRONTEND
    arch=$1 compiler=gcc-$2
    dpkg --add-architecture "$arch"
    apt-get -q update
    apt-get -q -y install --no-install-recommends make pkg-config \
        qemu-user-static "$compiler" $(for library in libc6-dev libgsl-dev \
        libiniparser-dev libjansson-dev libxml2-dev nettle-dev
        do echo "$library:$arch"; done)
' sh "$arch" "$compiler"
rm -rf "$root/src" "$root/reports-$arch" "$root/reports-here"
cp -R "$srcdir" "$root/src"
chroot "$root" sh -ec '
    mkdir /src/_foreign
    cd /src/_foreign
    PKG_CONFIG_LIBDIR=/usr/lib/$2/pkgconfig:/usr/share/pkgconfig \
        ../configure --quiet --host="$3" --disable-shared CFLAGS=-O2
    make -s -j2 flushcalc
    cd ..
    FLUSHCALC="$4 /src/_foreign/flushcalc" srcdir=. \
        sh tests/foreign/reports.sh "/reports-$1"
' sh "$arch" "$triplet" "$compiler" "$emulate"
sh "$srcdir/tests/foreign/reports.sh" "$root/reports-here"
diff -rq "$root/reports-here" "$root/reports-$arch" &&
    echo "the same: $(find "$root/reports-here" -type f | wc -l) reports"
