#!/bin/sh
# The program runs as somebody who may not read the pedal, until the node is opened to all: it must go on and take it up.
# clock: exact
# needs: the program
. ./steps.sh
stay_awake
program_runs setpriv --reuid=65534 --regid=65534 --clear-groups
feet_play
until_there denied
sleep 0.2
chmod 666 "$(node floor event)"
until_there played
terminate_program
feet_end
