#!/bin/sh
# A lesson on real kernel devices: the program runs as it would under a desk, feet play, stand-ins for the gear write
# down what they are told.
# clock: exact
# needs: the program
. ./steps.sh
stay_awake
touch onlooker-floor onlooker-after console-typed console-after
console_says() { # what is typed into the console; its settings hold only as long as it is open
    sh -c 'stty raw -echo; exec cat' < /dev/tty1 > "$1" &
}
console_says console-typed
typist=$!
program_runs
feet_play
until_there plugged
onlooker "$(node floor event)" look 600 > onlooker-floor &
until_there rolled
may_doze
until_there played
floor=$(node floor event)
onlooker "$floor" look 600 > onlooker-again &
again=$!
until [ -s onlooker-again ]; do sleep 0.1; done # it says at once whether the pedal is free
kill $again
terminate_program
kill "$typist"
console_says console-after
onlooker "$(node floor event)" look 5 > onlooker-after &
feet_end
