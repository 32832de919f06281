#!/bin/sh
# Makes a small Debian with systemd and Java as a disk for the guest, unless it is there: what a new box has before anything of ours is installed.
#   LAB_DIR   where to
# As root: files of others are made.
set -eu
: "${LAB_DIR:?}"

miss() {
    echo "lab: $1" >&2
    echo "lab: a box of its own needs, as root:" >&2
    echo "lab:   apt-get update && apt-get install -y --no-install-recommends mmdebstrap e2fsprogs" >&2
    exit 1
}

exec 9> "$LAB_DIR/lock"
flock 9
disk=$LAB_DIR/debian.ext4
. /etc/os-release
# Debian 13 gave the library of sound cards another name.
case $VERSION_CODENAME in bookworm) sound=libasound2 ;; *) sound=libasound2t64 ;; esac
packages=systemd-sysv,udev,default-jre-headless,$sound
[ ! -s "$disk" ] || [ "$(cat "$disk.of" 2> /dev/null)" != "$packages" ] || exit 0
PATH=$PATH:/sbin:/usr/sbin
for program in mmdebstrap mke2fs; do command -v "$program" > /dev/null || miss "no $program"; done
[ "$(id -u)" = 0 ] || miss "you are not root"
tree=$LAB_DIR/debian
rm -rf "$tree" "$disk.new"
# Other languages are left out.
mmdebstrap --mode=root --variant=minbase --include="$packages" \
    --dpkgopt='path-exclude=/usr/share/locale/*' \
    "$VERSION_CODENAME" "$tree" > "$LAB_DIR/debian.log" 2>&1 || { tail -n 20 "$LAB_DIR/debian.log" >&2; miss "no Debian can be made"; }
echo box > "$tree/etc/hostname"
printf '127.0.0.1 localhost box\n' > "$tree/etc/hosts"
echo 0123456789abcdef0123456789abcdef > "$tree/etc/machine-id"
rm -rf "$tree"/var/cache/apt/* "$tree"/var/lib/apt/lists/*
mkdir -p "$tree/lab"
for unit in apt-daily.timer apt-daily-upgrade.timer dpkg-db-backup.timer e2scrub_all.timer e2scrub_reap.service fstrim.timer systemd-timesyncd.service getty.target; do
    ln -sf /dev/null "$tree/etc/systemd/system/$unit"
done
truncate -s 2G "$disk.new"
mke2fs -q -t ext4 -d "$tree" "$disk.new"
rm -rf "$tree"
mv "$disk.new" "$disk"
echo "$packages" > "$disk.of"
echo "lab: made a Debian"
