#!/bin/sh
# Measures how long a press takes from the device to a gear's socket, on loopback: C, the daemon, and Python in turns.
#
#   src/test/rig/run.sh [EVENTS [STARTS]]
#
# EVENTS (default 3000) go through each contender; after that the daemon is started STARTS times (default 5) for its first press. Needs
# target/instep.jar, a JDK, a C compiler and Python 3. The daemon runs with the flags of src/deb/instep.
set -eu
events=${1:-3000} starts=${2:-5}
cd "$(dirname "$0")/../../.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT INT TERM

cc -O2 -Wall -o "$work/driver" src/test/rig/driver.c
cc -O2 -Wall -o "$work/baseline" src/test/rig/baseline.c
classes=${INSTEP_CLASSES:-target/instep.jar}
javac -nowarn -cp "$classes:target/instep.jar" -d "$work" src/test/java/instep/daemon/LatencyRig.java
python=$(python3 -c 'import sys; print(sys.executable)')
export MALLOC_ARENA_MAX=1
daemon="exec java $(src/test/rig/flags.sh) -cp $work:$classes:target/instep.jar instep.daemon.LatencyRig $work/journal"

echo "load before: $(cut -d' ' -f1-3 /proc/loadavg), $(nproc) processors, $(uname -r)"
"$work/driver" "$events" C "exec $work/baseline" instep "$daemon" python "exec $python src/test/rig/baseline.py"
echo
echo "the first press after a start, and the 199 after it:"
for i in $(seq "$starts"); do
    "$work/driver" 200 instep "$daemon-$i" | tail -n 1 # a journal of its own: the take of the one before was left open, and would go on
done
