#!/bin/sh
# Runs the jar on an arm64 Java under user-mode emulation: the demo, presses from a FIFO through the daemon to a socket, as run.sh has them, and a look for devices. It says
# whether the native parts are there and work; times of an emulator say nothing.
#
#   src/test/rig/arm64.sh [EVENTS]
#
# As root. Needs target/instep.jar, a JDK, a C compiler, and: apt-get install mmdebstrap qemu-user-static. Takes 300 MB in /tmp.
set -eu
events=${1:-200}
cd "$(dirname "$0")/../../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM
tree=$work/arm64
. /etc/os-release
# Nothing of it is configured, so that nothing of it needs to run.
mmdebstrap --mode=root --variant=extract --architectures=arm64 --include=openjdk-17-jre-headless,libudev1 "$VERSION_CODENAME" "$tree" > "$work/log" 2>&1 || { tail "$work/log" >&2; exit 1; }
cp /usr/bin/qemu-aarch64-static target/instep.jar "$tree/"
mkdir -p "$tree/rig" "$tree/tmp"
cc -O2 -Wall -o "$work/driver" src/test/rig/driver.c
javac -nowarn -cp target/instep.jar -d "$tree/rig" src/test/java/instep/daemon/LatencyRig.java
java="/qemu-aarch64-static /usr/lib/jvm/java-17-openjdk-arm64/bin/java"

chroot "$tree" $java -XshowSettings:properties -version 2>&1 | grep -E 'os.arch|java.version ='
echo "== the demo"
chroot "$tree" $java -XX:TieredStopAtLevel=1 -jar /instep.jar demo --speed 10 --journal /tmp/demo > "$work/demo" 2>&1 || echo "it ended with $?"
tail -n 5 "$work/demo"
chroot "$tree" $java -jar /instep.jar journal verify /tmp/demo
echo "== devices"
chroot "$tree" $java -jar /instep.jar identify --list
echo "== presses through the daemon"
mount --bind /tmp "$tree/tmp" # the driver's FIFO is there
trap 'umount "$tree/tmp"; rm -rf "$work"' EXIT INT TERM
"$work/driver" "$events" instep "exec chroot $tree $java $(src/test/rig/flags.sh) -cp /rig:/instep.jar instep.daemon.LatencyRig $work/journal"
