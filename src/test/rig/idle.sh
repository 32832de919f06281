#!/bin/sh
# Measures the daemon when nothing happens: the time from its start until it is ready, wake-ups a second over all threads, and memory.
#
#   src/test/rig/idle.sh [SECONDS [JVM FLAG...]]
#
# Runs the example configuration for SECONDS (default 60) twice, first with something that takes its connections, then with nothing at the gear's addresses,
# where its own attempts to connect are what wakes it. Needs target/instep.jar and Python 3; the daemon runs with the flags of
# src/deb/instep, to which further ones may be added.
set -eu
seconds=${1:-60}
[ $# -eq 0 ] || shift
cd "$(dirname "$0")/../../.."
work=$(mktemp -d)
sink=; daemon=
trap 'kill $daemon $sink 2>/dev/null || true; rm -rf "$work"' EXIT INT TERM
export MALLOC_ARENA_MAX=1

# Voluntary and forced switches of each thread: "name number".
switches() {
    for task in /proc/"$1"/task/*; do
        awk -v t="${task##*/}" '/^Name/ { n = $2 } /ctxt_switches/ { s += $2 } END { print t ":" n, s }' "$task/status"
    done 2>/dev/null | sort
}

start() {
    : >"$work/out"
    begun=$(date +%s%N)
    # shellcheck disable=SC2046
    STATE_DIRECTORY=$work/journal java $(src/test/rig/flags.sh) "$@" -jar target/instep.jar run "$work/pottery.yaml" >"$work/out" 2>&1 &
    daemon=$!
    until grep -q 'is ready' "$work/out"; do
        kill -0 $daemon 2>/dev/null || { cat "$work/out"; exit 1; }
        sleep 0.005
    done
    ended=$(date +%s%N)
    worked=$(awk -v hz="$(getconf CLK_TCK)" '{ print int(($14 + $15) * 1000 / hz) }' /proc/$daemon/stat)
    echo "start to ready: $(((ended - begun) / 1000000)) ms, ${1:-plain}; it used $worked ms of the processors"
}

stop() {
    kill $daemon
    wait $daemon || true
    daemon=
}

measure() {
    start "$@"
    sleep 10
    switches $daemon >"$work/before"
    sleep "$seconds"
    switches $daemon >"$work/after"
    echo "wake-ups a second, all threads, and those threads that woke:"
    join "$work/before" "$work/after" | awk -v s="$seconds" '{ n = $3 - $2; all += n; if (n) list = list sprintf("  %s %.2f", substr($1, index($1, ":") + 1), n / s) }
        END { printf "  %.2f:%s\n", all / s, list }'
    grep -E '^(VmRSS|RssAnon|VmHWM|Threads)' /proc/$daemon/status | tr '\n' ' '
    echo
    stop
}

python3 src/test/rig/sink.py >"$work/ports" &
sink=$!
until [ -s "$work/ports" ]; do sleep 0.05; done
read -r mixer recorder lamp <"$work/ports" || { echo "no ports from sink.py" >&2; exit 1; }
sed "s/192.0.2.10:9701/127.0.0.1:$mixer/; s/192.0.2.11:9702/127.0.0.1:$recorder/; s/192.0.2.12:9703/127.0.0.1:$lamp/" \
    config-examples/pottery.yaml >"$work/pottery.yaml"
echo "load before: $(cut -d' ' -f1-3 /proc/loadavg), $(nproc) processors"
echo "== gear takes connections"
measure "$@"
echo "== no gear at these addresses"
cp config-examples/pottery.yaml "$work/pottery.yaml"
measure "$@"
echo "== start with a class archive, and without, by turns"
java -XX:ArchiveClassesAtExit="$work/instep.jsa" -jar target/instep.jar demo --speed 100 --journal "$work/demo" >/dev/null 2>&1
for _ in 1 2 3; do
    start "-XX:SharedArchiveFile=$work/instep.jsa" "$@"
    stop
    start "$@"
    stop
done
