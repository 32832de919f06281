#!/bin/sh
# A person who has never typed a configuration: presses every pedal once while the program listens, and runs what it saved.
# clock: exact
# needs: the program
. ./steps.sh
stay_awake
java_is_loaded
touch identified errors event-log
mkdir -m 777 journal
feet_play
until_there plugged
"$JAVA" -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -jar instep.jar identify --save first.yaml --record feet.performance > identified 2> errors &
program=$!
until_there listening
may_doze
until_there pressed
stay_awake
terminate_program
touch ended
until_there swapped
"$JAVA" -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -jar instep.jar run first.yaml --journal journal > event-log 2>> errors &
program=$!
until_there running
may_doze
until_there played
terminate_program
feet_end
