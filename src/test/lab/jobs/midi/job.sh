#!/bin/sh
# MIDI over the kernel's raw nodes. A USB foot board is plugged in through the kernel's own USB gadget, whose far end is
# a sound card, too; and the kernel's virtual MIDI card sends running status, which no USB cable carries.
# clock: exact
# modules: midi
# needs: the program
. ./steps.sh
stay_awake
foot_board
virtual_wire
sleep 1000 < /dev/snd/midiC0D2 &
stranger=$!
program_runs
feet_play
until_there plugged
may_doze
until_there held
LC_ALL=C dd if=/dev/snd/midiC2D0 of=/dev/null iflag=nonblock bs=1 count=1 2> stranger
touch asked
until_there letting-go
kill "$stranger"
until_there played
terminate_program
stay_awake
"$JAVA" -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -jar instep.jar identify --save first.yaml > identified 2>> errors &
program=$!
until_there listening
may_doze
until_there pressed
stay_awake
terminate_program
"$JAVA" -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -jar instep.jar run first.yaml --journal journal >> event-log 2>> errors &
program=$!
until_there running
may_doze
until_there ended
terminate_program
feet_end
