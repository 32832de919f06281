#!/bin/sh
# Runs a job of the device lab: boots a Debian kernel in QEMU, lets the job play on virtual pedals, and ends with the
# job's exit status. What the job left lies in target/lab/out/JOB.
#
#   src/test/lab/run.sh JOB        JOB is a folder in src/test/lab/jobs
#
# LAB_DIR    where the lab keeps what it makes and fetches   (target/lab)
# LAB_JAR    the program under test                          (target/instep.jar)
# LAB_DEB    the package, for jobs that install it          (the one in target)
# LAB_JAVA   the Java that runs it                           (the one on the PATH)
# LAB_CLOCK  exact or real, against the job's own wish       (README.md says what they are)
# LAB_LIMIT  seconds until the machine is switched off       (400)
#
# Ends with 125 if the lab cannot be had or the job never ended; then it says what is missing.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
project=$(cd "$here/../../.." && pwd)
LAB_DIR=${LAB_DIR:-$project/target/lab}
LAB_JAR=${LAB_JAR:-$project/target/instep.jar}
LAB_DEB=${LAB_DEB:-$(ls "$project"/target/instep_*_all.deb 2> /dev/null | tail -n 1)}
LAB_JAVA=${LAB_JAVA:-$(readlink -f "$(command -v java || echo /no-java)")}
export LAB_DIR

miss() { echo "lab: $1" >&2; exit 125; }

job=${1:-}
[ -f "$here/jobs/$job/job.sh" ] || miss "no job '$job'; there are: $(cd "$here/jobs" && echo *)"
sh "$here/prepare.sh" || exit 125

out=$LAB_DIR/out/$job
rm -rf "$out"
mkdir -p "$out/job"
cp "$here/jobs/$job"/* "$here/guest/steps.sh" "$out/job/"
if grep -q '^# needs: the program' "$here/jobs/$job/job.sh"; then
    [ -f "$LAB_JAR" ] || miss "no $LAB_JAR: run 'mvn -B package' first"
    [ -x "$LAB_JAVA" ] || miss "no Java on the PATH: install openjdk-17-jre-headless or newer"
    cp "$LAB_JAR" "$out/job/instep.jar"
    [ -f "$here/jobs/$job/pottery.yaml" ] || cp "$here/pottery.yaml" "$out/job/"
fi

root=$(sed -n 's/^# root: //p' "$here/jobs/$job/job.sh")
disk=
reboots=-no-reboot
if [ "$root" = debian ]; then
    [ -f "$LAB_DEB" ] || miss "no $LAB_DEB: run 'mvn -B package' first"
    cp "$LAB_DEB" "$out/job/instep.deb"
    sh "$here/debian.sh" || exit 125
    # What is written lasts as long as this machine does, beyond a reset; the disk itself stays new.
    disk="-drive file=$LAB_DIR/debian.ext4,format=raw,if=virtio,snapshot=on -chardev pipe,id=switch,path=$out/switch -mon switch"
    mkfifo "$out/switch.in" "$out/switch.out"
    reboots=
fi

clock=${LAB_CLOCK:-$(sed -n 's/^# clock: //p' "$here/jobs/$job/job.sh")}
case $clock in
    exact) time="-smp 1 -accel tcg,thread=single -icount shift=0,sleep=off" ;;
    real) time="-smp 2 -accel tcg,thread=multi" ;;
    *) miss "job $job has no line '# clock: exact' or '# clock: real'" ;;
esac

# What the job's own devices need beside those of every job.
modules=$(sed -n 's/^# modules: //p' "$here/jobs/$job/job.sh")

# A kernel that looks for nothing, tests nothing and ends when it panics.
quick="console=ttyS0 quiet loglevel=4 panic=-1 mitigations=off nokaslr audit=0 cryptomgr.notests lpj=4000000 tsc=reliable random.trust_cpu=on"

# shellcheck disable=SC2086
timeout --kill-after=5 "${LAB_LIMIT:-400}" qemu-system-x86_64 \
    -nodefaults -no-user-config $reboots -display none -machine q35,usb=off,vmport=off -cpu max -m 2048 $time \
    -kernel "$LAB_DIR/kernel/vmlinux" -initrd "$LAB_DIR/initramfs.gz" \
    -append "$quick lab.job=$job lab.clock=$clock lab.java=$LAB_JAVA lab.modules=$modules lab.root=$root" \
    $disk \
    -serial "file:$out/console" \
    -fsdev local,id=host,path=/,security_model=none,readonly=on,multidevs=remap -device virtio-9p-pci,fsdev=host,mount_tag=host \
    -fsdev "local,id=lab,path=$LAB_DIR,security_model=none,multidevs=remap" -device virtio-9p-pci,fsdev=lab,mount_tag=lab \
    < /dev/null > "$out/qemu" 2>&1 &
machine=$!
trap 'kill $machine 2> /dev/null || true' EXIT
trap 'exit 143' INT TERM
cut_the_power() { # whenever the job asks for it
    while kill -0 $machine 2> /dev/null; do
        if [ -e "$out/cut-the-power" ]; then
            rm "$out/cut-the-power"
            echo system_reset > "$out/switch.in"
        fi
        sleep 0.5
    done
}
[ "$root" != debian ] || cut_the_power
ended=0
wait $machine || ended=$?

cat "$out/console" "$out/qemu"
[ "$ended" != 124 ] || miss "job $job was switched off after ${LAB_LIMIT:-400} s; see $out"
[ -s "$out/status" ] || miss "job $job never ended (qemu: $ended); see $out"
exit "$(cat "$out/status")"
