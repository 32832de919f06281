#!/bin/sh
# Makes what every job of the device lab needs, unless it is there: the kernel, its first file system, the tools.
#   LAB_DIR   where to
set -eu
here=$(cd "$(dirname "$0")" && pwd)
: "${LAB_DIR:?}"
packages="qemu-system-x86 seabios busybox-static cpio kmod xz-utils gcc libc6-dev"

miss() {
    echo "lab: $1" >&2
    echo "lab: the lab needs Debian or a system made from it, on x86-64, with:" >&2
    echo "lab:   apt-get update && apt-get install -y --no-install-recommends $packages" >&2
    exit 1
}

outdated() { # made, from what
    made=$1
    shift
    [ ! -e "$made" ] || [ -n "$(find "$@" -newer "$made")" ]
}

check_machine() {
    [ "$(uname -m)" = x86_64 ] || miss "this machine is $(uname -m)"
    PATH=$PATH:/sbin:/usr/sbin
    for program in qemu-system-x86_64 busybox cpio depmod xz gcc apt-get apt-cache dpkg-deb timeout; do
        command -v "$program" > /dev/null || miss "no $program"
    done
    busybox=$(command -v busybox)
    ! ldd "$busybox" > /dev/null 2>&1 || miss "$busybox is not static (package busybox-static)"
}

# Debian's kernel, unpacked and not installed. The cloud kernel will not do: it lacks uhid and 9p.
fetch_kernel() {
    [ ! -s "$LAB_DIR/kernel/release" ] || return 0
    package=$(apt-cache depends linux-image-amd64 2> /dev/null | sed -n 's/^ *Depends: *\(linux-image-[0-9]\)/\1/p' | head -n 1)
    [ -n "$package" ] || miss "apt knows no linux-image-amd64; run apt-get update"
    fresh=$LAB_DIR/kernel.new
    rm -rf "$fresh" "$LAB_DIR/kernel"
    mkdir -p "$fresh"
    (cd "$fresh" && apt-get -q download "$package") > "$fresh/log" 2>&1 || { cat "$fresh/log" >&2; miss "cannot fetch $package"; }
    dpkg-deb -x "$fresh/$package"_*.deb "$fresh"
    rm "$fresh"/*.deb
    [ -d "$fresh/lib" ] || ln -s usr/lib "$fresh/lib"
    release=$(ls "$fresh/lib/modules")
    depmod -b "$fresh" "$release"
    unpack_image "$fresh/boot/vmlinuz-$release" "$fresh/vmlinux"
    echo "$release" > "$fresh/release"
    mv "$fresh" "$LAB_DIR/kernel"
    echo "lab: fetched $package"
}

# The emulated machine takes many seconds to unpack its kernel, this one takes none. The packed one will do if need be.
unpack_image() { # packed, plain
    start=$(LC_ALL=C grep -abo "$(printf '\3757zXZ')" "$1" | head -n 1 | cut -d: -f1)
    tail -c "+$((${start:-0} + 1))" "$1" | xz -dc > "$2" 2> /dev/null || true # what follows the kernel is no xz
    [ "$(head -c 4 "$2" | tail -c 3)" = ELF ] || cp "$1" "$2"
}

# Copies modules with all that they need into $tree/modules, and lists them in the order of loading.
take_modules() { # list, module...
    list=$tree/modules/$1.list
    shift
    for module in "$@"; do
        modprobe -d "$LAB_DIR/kernel" -S "$release" --show-depends "$module" > "$tree/needed" || miss "the kernel has no $module"
        while read -r verb path _; do
            [ "$verb" = insmod ] || continue
            name=$(basename "$path")
            case $name in
                *.xz) name=${name%.xz}; xz -dc "$path" > "$tree/modules/$name" ;;
                *.zst) name=${name%.zst}; zstd -qdc "$path" > "$tree/modules/$name" ;;
                *) cp "$path" "$tree/modules/$name" ;;
            esac
            grep -qsx "$name" "$list" || echo "$name" >> "$list"
        done < "$tree/needed"
        rm "$tree/needed"
    done
}

make_initramfs() {
    release=$(cat "$LAB_DIR/kernel/release")
    archive=$LAB_DIR/initramfs.gz
    outdated "$archive" "$LAB_DIR/kernel/release" "$here/guest/init" "$here/prepare.sh" || return 0
    tree=$LAB_DIR/initramfs
    rm -rf "$tree"
    mkdir -p "$tree/modules"
    (cd "$tree" && mkdir bin dev proc sys host layer root)
    cp "$busybox" "$tree/bin/busybox"
    for name in sh cp mount umount mkdir insmod cut sed sync poweroff hostname ifconfig chroot echo ln chmod cat switch_root; do ln -s busybox "$tree/bin/$name"; done
    take_modules disk virtio_pci 9p 9pnet_virtio overlay
    take_modules image virtio_blk crc32c_generic ext4
    take_modules pedals hid hid_generic uhid evdev joydev
    take_modules midi dummy_hcd libcomposite usb_f_midi snd_usb_audio snd_virmidi
    take_modules sound snd_aloop
    cp "$here/guest/init" "$tree/init"
    chmod 755 "$tree/init"
    (cd "$tree" && find . | LC_ALL=C sort | cpio --quiet -o -H newc -R 0:0 | gzip -1) > "$archive.new"
    mv "$archive.new" "$archive"
    rm -r "$tree"
}

# Static, so that they run whatever the guest's root is.
build_tools() {
    mkdir -p "$LAB_DIR/tools"
    build pedalsim pedalsim.c device.c models.c
    build sink sink.c
    build seqwire seqwire.c
    build onlooker onlooker.c
    build freeze freeze.c
    build ear ear.c
}

build() { # tool, sources
    tool=$LAB_DIR/tools/$1
    shift
    outdated "$tool" "$here"/guest/*.[ch] || return 0
    (cd "$here/guest" && gcc -std=c11 -O2 -Wall -Wextra -Werror -static -o "$tool.new" "$@") || miss "cannot build ${tool##*/}"
    mv "$tool.new" "$tool"
}

mkdir -p "$LAB_DIR/out"
exec 9> "$LAB_DIR/lock"
flock 9
check_machine
fetch_kernel
make_initramfs
build_tools
