#!/bin/sh
# Measures whether a press waits for those who look at the desk page: two daemons in turns, one with a page that nobody looks at, one with a thousand connections to its page.
#
#   src/test/rig/visitors.sh [EVENTS [VISITORS]]
#
# EVENTS (default 1500) go through each; VISITORS (default 1000) are as in visitors.py, for ten minutes at most. Needs what run.sh needs. What the visitors' own program takes of the processors slows both
# daemons down; the ratio is what their number costs the one that they visit.
set -eu
events=${1:-1500} visitors=${2:-1000}
cd "$(dirname "$0")/../../.."
work=$(mktemp -d)
crowd=
trap 'kill $crowd 2> /dev/null || true; rm -rf "$work"' EXIT INT TERM

cc -O2 -Wall -o "$work/driver" src/test/rig/driver.c
classes=${INSTEP_CLASSES:-target/instep.jar}
javac -nowarn -cp "$classes:target/instep.jar" -d "$work" src/test/java/instep/daemon/LatencyRig.java
export MALLOC_ARENA_MAX=1
daemon() { # port of its page
    echo "DESK=$1 exec java $(src/test/rig/flags.sh) -cp $work:$classes:target/instep.jar instep.daemon.LatencyRig $work/journal-$1"
}

echo "load before: $(cut -d' ' -f1-3 /proc/loadavg), $(nproc) processors, $(uname -r)"
python3 src/test/rig/visitors.py 9782 "$visitors" 600 > "$work/crowd" &
crowd=$!
"$work/driver" "$events" alone "$(daemon 9781)" visited "$(daemon 9782)"
kill $crowd
wait $crowd || true
cat "$work/crowd"
