# Steps that jobs have in common; they read this file with ". ./steps.sh". All happens in /tmp of the guest, in memory.
set -u

# In exact time the clock leaps to the next timer while the processor waits for the shared disk, so that minutes seem to
# pass while a program is loaded. What is always busy keeps it from that; it yields to everything else.
stay_awake() {
    [ "$CLOCK" = exact ] || return 0
    chrt --idle 0 sh -c 'while :; do :; done' &
    waker=$!
}

may_doze() { # from now on nothing is loaded, and waiting costs nothing
    [ "$CLOCK" != exact ] || kill "$waker"
}

collect() { # leaves what was written for those outside
    for left in journal event-log errors program-status descriptors console-typed console-after sink onlooker-* heard-* pedalsim.log pedalsim.err nodes identified first.yaml feet.performance stranger; do
        [ ! -e "$left" ] || cp -r "$left" "$OUT/"
    done
}

fail() { # why
    echo "job: $1"
    collect
    exit 1
}

feet_play() {
    pedalsim pedals > pedalsim.log 2> pedalsim.err &
    feet=$!
}

until_there() { # file that pedalsim makes
    until [ -e "$1" ]; do
        [ -z "${program:-}" ] || kill -0 "$program" 2> /dev/null || fail "the program ended before pedalsim made $1"
        kill -0 "$feet" 2> /dev/null || fail "pedalsim ended before it made $1"
        sleep 0.2
    done
}

node() { # device of pedalsim's, part of the node's path
    awk -v device="$1" -v part="$2" '
        $1 == "plug" && $4 == device { for (i = 5; i <= NF; i++) if (index($i, part)) last = $i }
        END { print last }' pedalsim.log
}

java_is_loaded() { # most of it is in memory then
    home=${JAVA%/bin/java}
    cat "$home"/lib/*.so "$home"/lib/server/* > /dev/null
}

program_runs() { # command before java, if any
    java_is_loaded
    mkdir -m 777 journal
    touch event-log errors
    sink line:9701:mixer http:9702:recorder udp:9703:lamp > sink &
    "$@" "$JAVA" -XX:+UseSerialGC -XX:TieredStopAtLevel=1 -jar instep.jar run pottery.yaml --journal journal > event-log 2> errors &
    program=$!
}

terminate_program() {
    kill -TERM "$program"
    for _ in $(seq 200); do
        kill -0 "$program" 2> /dev/null || break
        sleep 0.1
    done
    ! kill -KILL "$program" 2> /dev/null || fail "the program heeds no TERM"
    wait "$program"
    echo $? > program-status
    program=
}

feet_end() {
    wait "$feet" || fail "pedalsim ended with $?"
    collect
}

foot_board() { # describes a USB MIDI device to the kernel; it is plugged in when its UDC is told
    mount -t configfs config /sys/kernel/config
    board=/sys/kernel/config/usb_gadget/board
    mkdir $board $board/strings/0x409 $board/configs/c.1 $board/functions/midi.board
    echo 0x1209 > $board/idVendor
    echo 0xb0a2 > $board/idProduct
    echo "Clay Works" > $board/strings/0x409/manufacturer
    echo "Lab foot board" > $board/strings/0x409/product
    echo "SN-42" > $board/strings/0x409/serialnumber
    ln -s $board/functions/midi.board $board/configs/c.1/
}

virtual_wire() { # from the virtual card's second device to its first
    sleep 1
    first=$(sed -n 's/^Client *\([0-9]*\) : "[^"]* 0-0".*/\1/p' /proc/asound/seq/clients)
    second=$(sed -n 's/^Client *\([0-9]*\) : "[^"]* 0-1".*/\1/p' /proc/asound/seq/clients)
    seqwire "$second:0" "$first:0" > seqwire.log 2>&1 &
}
