#!/bin/sh
# A lesson on real kernel devices: the program runs as it would under a desk, feet play, stand-ins for the gear write
# down what they are told.
# clock: exact
# needs: the program
set -u
say() { echo "job: $1"; }
node() { awk -v name="$1" '$1 == "plug" && $4 == name { last = $5 } END { print last }' pedalsim.log; }
fail() {
    say "$1"
    collect
    exit 1
}
collect() { cp -r journal event-log errors sink onlooker-* pedalsim.log pedalsim.err "$OUT/"; }
until_there() { # file that pedalsim makes
    until [ -e "$1" ]; do
        kill -0 $program 2> /dev/null || fail "the program ended before pedalsim made $1"
        kill -0 $feet 2> /dev/null || fail "pedalsim ended before it made $1"
        sleep 0.05
    done
}

# In exact time the clock leaps while the processor waits for the shared disk: have Java in memory before it matters.
home=${JAVA%/bin/java}
cat "$home"/lib/modules "$home"/lib/*.so "$home"/lib/server/* > /dev/null
mkdir journal
touch event-log errors onlooker-floor onlooker-after

sink line:9701:mixer http:9702:recorder udp:9703:lamp > sink &
"$JAVA" -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -jar instep.jar run pottery.yaml --journal journal > event-log 2> errors &
program=$!
pedalsim pedals > pedalsim.log 2> pedalsim.err &
feet=$!

until_there plugged
onlooker "$(node floor)" look 600 > onlooker-floor &
until_there played
onlooker "$(node floor)" look 600 > onlooker-again &
again=$!
sleep 0.2
kill $again
kill -TERM $program
wait $program
echo $? > "$OUT/program-status"
onlooker "$(node floor)" look 5 > onlooker-after &
wait $feet || fail "pedalsim ended with $?"
collect
