#!/bin/sh
# Counts what a press costs, where a busy machine makes times worthless: system calls of the loop and of the journal's thread, and collections of garbage.
#
#   src/test/rig/count.sh [EVENTS]
#
# The daemon alone gets EVENTS (default 3000, at least 1500) events, 12 ms apart; after the first five hundred strace counts for five seconds. Needs what run.sh needs, and strace.
set -eu
events=${1:-3000}
cd "$(dirname "$0")/../../.."
work=$(mktemp -d)
driver=
trap 'kill $driver $(cat "$work/pid") 2>/dev/null || true; rm -rf "$work"' EXIT INT TERM # a driver that is killed leaves its contender

cc -O2 -Wall -o "$work/driver" src/test/rig/driver.c
classes=${INSTEP_CLASSES:-target/instep.jar}
javac -nowarn -cp "$classes:target/instep.jar" -d "$work" src/test/java/instep/daemon/LatencyRig.java
export MALLOC_ARENA_MAX=1
"$work/driver" "$events" instep "echo \$\$ >$work/pid; exec java $(src/test/rig/flags.sh) -Xlog:gc:file=$work/gc:uptime \
    -cp $work:$classes:target/instep.jar instep.daemon.LatencyRig $work/journal" >"$work/said" 2>&1 &
driver=$!
until [ "$(cat "$work"/journal/journal-*.jsonl 2>/dev/null | wc -l)" -gt 2500 ]; do sleep 0.5; done # five a press
thread() { dirname "$(grep -lx "$1" /proc/"$(cat "$work/pid")"/task/*/comm)"; }
before=$(grep -c Pause "$work/gc")
for name in instep-loop journal; do
    timeout 5 strace -c -U calls,name -o "$work/$name.calls" -p "$(basename "$(thread $name)")" 2>/dev/null &
done
sleep 6
after=$(grep -c Pause "$work/gc")
presses=$(awk '$2 == "read" { print $1 }' "$work/instep-loop.calls")
for name in instep-loop journal; do
    awk -v n="$presses" -v t=$name '$1 ~ /^[0-9]+$/ && $2 != "total" { printf "%-12s %5.2f %s\n", t, $1 / n, $2 }' "$work/$name.calls"
done
echo "calls a press, of $presses presses; meanwhile $((after - before)) collections"
