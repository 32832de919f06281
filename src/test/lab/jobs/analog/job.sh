#!/bin/sh
# Pedals that tell how far they are down, dials, hats, and boxes that describe their own reports.
# clock: exact
# needs: the program
. ./steps.sh
stay_awake
program_runs
feet_play
until_there plugged
may_doze
until_there played
terminate_program
feet_end
