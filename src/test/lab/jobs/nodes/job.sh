#!/bin/sh
# The lab looks at itself: do the devices come, do presses carry the kernel's time, does a grab keep others out?
# clock: exact
set -eu
pedalsim pedals > "$OUT/pedalsim.log" 2> pedalsim.err &
sim=$!
until [ -e plugged ]; do kill -0 $sim || { cat pedalsim.err; exit 1; }; sleep 0.05; done
node() { awk -v name="$1" -v sort="$2" '$1 == "plug" && $4 == name { for (i = 5; i <= NF; i++) if ($i ~ sort) print $i }' "$OUT/pedalsim.log"; }
ls -l /dev/input /dev/hidraw* > "$OUT/nodes"
onlooker "$(node floor event)" grab 20 > "$OUT/floor-grabbed" &
sleep 0.1
onlooker "$(node floor event)" look 20 > "$OUT/floor-second" &
onlooker "$(node floor hidraw)" look 20 > "$OUT/floor-raw" &
onlooker "$(node desk event)" look 20 > "$OUT/desk" &
onlooker "$(node box hidraw)" look 20 > "$OUT/box" &
sleep 0.3
touch go
wait
cat pedalsim.err
