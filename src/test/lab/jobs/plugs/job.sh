#!/bin/sh
# Pedals that are alike, a worn contact, floods, and a plug that is pulled and put back two hundred times.
# clock: exact
# needs: the program
. ./steps.sh

flood() { # lines into the script: presses and releases of the heel, faster than anybody reads
    for _ in $(seq 300); do printf 'down near 2\nup near 2\n'; done
}

replug() { # lines into the script: the plug is pulled while the sole is down; how often it came before
    for time in $(seq 200); do
        printf 'down near 1\nwait 30\ndestroy near\nawait journal/*.jsonl %d "device" "near" "absent"\n' $((time + $1))
        printf 'create near footswitch phys=lab/desk/1\nawait journal/*.jsonl %d "device" "near" "up"\n' $((time + $1))
    done
}

torrent() { # lines into the script: 8,000 reports a second, for a quarter of a second; byte 0 of one and of the next
    for _ in $(seq 1000); do printf 'raw box %s00000000000000\nwait 0.125\nraw box %s00000000000001\nwait 0.125\n' "$1" "$2"; done
}

while read -r line; do
    case $line in
        FLOOD) flood ;;
        REPLUG*) replug "${line#REPLUG }" ;;
        "TORRENT of nothing") torrent 02 04 ;;
        "TORRENT of red") torrent 01 00 ;;
        *) printf '%s\n' "$line" ;;
    esac
done < pedals > script
mv script pedals

descriptors_now() {
    ls "/proc/$program/fd" | wc -l >> descriptors
}

stay_awake
program_runs
feet_play
until_there plugged
may_doze
descriptors_now
touch counted
until_there replugged
sleep 1
descriptors_now
until_there played
terminate_program
feet_end
