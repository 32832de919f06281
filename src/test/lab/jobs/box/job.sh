#!/bin/sh
# The life of the box: the package is installed on a new Debian, runs as a service, is killed, stands still, loses a pedal and is killed in a take, gets another mapping, is asked for its
# page, gets a box that sends raw reports and a loudspeaker, loses power in the next take, is upgraded and removed.
# clock: real
# root: debian
# modules: sound
set -u
unit() { systemctl show instep --value -p "$1"; }

fail() { # why
    echo "job: $1" | tee "$OUT/failed"
    systemctl status --no-pager -l instep > "$OUT/failed-status" 2>&1
    journalctl --no-pager -b > "$OUT/failed-journal" 2>&1
    cp -r /var/lib/instep "$OUT/failed-takes" 2> /dev/null
    exit 1
}

until_true() { # what for, command...
    waits_for=$1
    shift
    for _ in $(seq 600); do
        "$@" && return 0
        sleep 0.5
    done
    fail "it never came to this: $waits_for"
}

restarted() { [ "$(unit NRestarts)" = "$1" ] && [ "$(unit ActiveState)" = active ]; }
is_there() { [ -e "$1" ]; }
status_says() { unit StatusText | grep -q "$1"; }
journal_says() { grep -qF "$1" /var/lib/instep/*.jsonl; }
systemd_said() { journalctl -b -q -o cat UNIT=instep.service > "$OUT/reload-log" && [ "$(grep -cF "$1" "$OUT/reload-log")" = "$2" ]; } # what, how often
apt() { DEBIAN_FRONTEND=noninteractive apt-get "$@" < /dev/null; } # with no network: all that it needs is there
sudo() { "$@"; } # root is here, and nobody else
told() { # a command as the pages tell it, which the test looks up there
    echo "$1" >> "$OUT/told"
    eval "$1"
}

ask() { # path, what to keep it as; by hand, since a small Debian has no program for it
    bash -c 'exec 3<>/dev/tcp/127.0.0.1/9780 && printf "GET %s HTTP/1.1\r\nHost: 127.0.0.1:9780\r\nAccept: application/openmetrics-text, */*\r\nConnection: close\r\n\r\n" "$0" >&3 && cat <&3' "$1" > "$OUT/page-$2" 2>&1
}
note() { systemctl show instep -p ActiveState -p SubState -p Result -p NRestarts -p StatusText > "$OUT/unit-$1"; }
left() { # when: all that the package has brought, or that came from it
    find / -xdev \( -path /proc -o -path /sys -o -path /run -o -path /lab \) -prune -o -path '*instep*' -print | sort > "$OUT/left-$1"
}

installed() {
    left before
    cp instep.deb instep_0.1.0_all.deb
    export DEBIAN_FRONTEND=noninteractive
    told 'sudo apt-get update && sudo apt-get install -y ./instep_0.1.0_all.deb' > "$OUT/install" 2>&1 < /dev/null || fail "the package cannot be installed: $(cat "$OUT/install")"
    until_true "the service is up" restarted 0
    note installed
    systemctl is-enabled instep > "$OUT/enabled"
    ls -l /var/cache/instep > "$OUT/archive" 2>&1
    instep --version > "$OUT/version" 2>&1
    until_true "the mapping in force is kept" is_there /var/lib/instep/in-force.yaml
    echo "nonsense: 1" >> /etc/instep/instep.yaml
    systemctl restart instep || fail "a faulty mapping keeps the last good one from standing in"
    until_true "the status says what it runs with" status_says "faulty at the start"
    note stands-in
    systemctl stop instep
    rm /var/lib/instep/in-force.yaml
    systemctl start instep && fail "it starts with a faulty mapping, and no other is known"
    note faulty
    journalctl --no-pager -b -u instep -p err -o cat > "$OUT/errors"
    cp pottery.yaml /etc/instep/instep.yaml
    told 'sudo rm /var/cache/instep/instep.jsa' && told 'sudo /usr/libexec/instep/class-archive' > "$OUT/archive-anew" 2>&1
    ls /var/cache/instep >> "$OUT/archive-anew"
    echo clay-and-water-7 | told 'sudo install -m 600 /dev/stdin /etc/instep/secrets/recorder'
    useradd potter
    export USER=potter
    told 'sudo adduser $USER instep' > "$OUT/joined" 2>&1
    id -nG potter >> "$OUT/joined"
}

plays() { # script
    sink line:9701:mixer http:9702:recorder udp:9703:lamp > "sink" &
    pedalsim "$1" > pedalsim.log 2> "$OUT/pedalsim.err" &
}

pedal_is_there() {
    until_true "the pedal is read" status_says "gear up\(; .*\)*$"
    touch plugged
}

killed() {
    until_true "the wheel is on air" is_there on-wheel
    until_true "the status says so" status_says "on air wheel"
    note wheel
    echo "5 $(cut -d. -f1 /proc/uptime)" > /run/instep/starts # as if it had ended four times before
    kill -9 "$(unit MainPID)"
    until_true "it is started again after a kill" restarted 1
    note killed
    ls -l /run/instep > "$OUT/paced" && cat /run/instep/starts >> "$OUT/paced"
    rm /run/instep/starts # the kills to come are no part of it
    touch killed
}

frozen() {
    until_true "the pedal works again" is_there pressed-again
    freeze "$(unit MainPID)" instep-loop > "$OUT/frozen" 2>&1 &
    until_true "the watchdog has it started again" restarted 2
    note thawed
    touch thawed
}

pulled() {
    until_true "the cable is pulled in a take" is_there pulled
    until_true "the status says so" status_says "on air wide, take 1, 3 of 3 gear up, floor is not there"
    note pulled
    touch put-back
    until_true "the pedal is read again" status_says "take 1, 3 of 3 gear up\(; .*\)*$"
    note put-back
    touch plugged-again
}

killed_in_take() {
    until_true "the wheel is on air in a take" is_there in-first-take
    until_true "the status says so" status_says "on air wheel, take 1"
    kill -9 "$(unit MainPID)"
    until_true "it is started again" restarted 3
    until_true "it goes on with the take" status_says "on air wide, take 1, 3 of 3 gear up\(; .*\)*$"
    note resumed
    touch killed-in-take
}

looked_at() {
    until_true "the take goes on" is_there goes-on
    for page in / /glance /health /metrics; do ask "$page" "$(basename "/desk$page")"; done
}

clock_set() { # by how much, what is said of it
    date -s "$1" > /dev/null || fail "the clock cannot be set"
    until_true "the kernel tells that the clock was set" journal_says "this computer's clock was set: $2"
}

remapped() { # sed writes another file and gives it the name of the first, as careful editors do
    sed -i 's/left.press: { angle: wheel/left.press: { angle: glaze/' /etc/instep/instep.yaml
    until_true "the mapping waits for the end of the take" journal_says "comes into force when take 1 is over"
    touch saved
    until_true "the take is over" is_there take-over
    clock_set "-3 hours" "the next take counts"
    until_true "the mapping is in force" journal_says "; state standby kept"
    touch remapped
    until_true "the glaze was on air" is_there glazed
}

reloaded() {
    systemctl log-level debug # it tells of every message then
    echo "nonsense: 1" >> /etc/instep/instep.yaml
    told 'sudo systemctl reload instep' || fail "it cannot be asked to reload"
    until_true "a faulty mapping is refused" journal_says "the changed configuration was not taken up"
    until_true "that is said to be over" systemd_said "(READY=1" 1
    note refused
    sed -i '/^nonsense/d' /etc/instep/instep.yaml
    systemctl reload instep || fail "it cannot be asked to reload again"
    until_true "it says what came of it" journal_says "nothing to reload"
    until_true "that is said to be over as well" systemd_said "(READY=1" 2
    systemctl log-level info
    touch reloaded
}

nodes() { # when: whose the raw nodes are
    for node in /dev/hidraw*; do
        stat -c '%G %a' "$node" | tr '\n' ' '
        grep HID_ID= "/sys/class/hidraw/$(basename "$node")/device/uevent"
    done > "$OUT/nodes-$1"
}
heard() { grep -qF "$1" "$OUT/identified"; }
times_kept() { [ "$(cat /var/lib/instep/*.jsonl | grep -cF "; state standby kept")" = "$1" ]; }

opened() { # what a person does who has read what identify prints
    until_true "a box with raw reports is plugged in" is_there treadle
    nodes before
    instep identify --save "$OUT/saved.yaml" > "$OUT/identified" 2>&1 & # as root, who reads every node
    ears=$!
    until_true "identify listens" heard "Press the pedals"
    touch listening
    until_true "the box was pressed" is_there pressed
    until_true "identify has heard it" heard "byte: 0"
    kill "$ears"
    wait "$ears"
    grep -o 'SUBSYSTEM=="hidraw".*' "$OUT/identified" | sort -u > /etc/udev/rules.d/70-instep.rules
    told 'sudo udevadm control --reload && sudo udevadm trigger'
    udevadm settle
    nodes after
    cp /etc/instep/instep.yaml mapping
    sed -i -e 's/^pedals:/&\n  treadle: { match: { usb: "1209:b0b0" }, contacts: { push: { byte: 0, bit: 0 } } }/' \
        -e '0,/^      on:/s//&\n        push.press: { angle: hands, until: push.release }/' /etc/instep/instep.yaml
    until_true "the mapping with the box is in force" times_kept 2
    until_true "the box is read" status_says "3 of 3 gear up\(; .*\)*$"
    note opened
    touch opened
    until_true "the hands were on air" is_there pushed
    cp mapping /etc/instep/instep.yaml
    until_true "the mapping without the box is in force" times_kept 3
    rm /etc/udev/rules.d/70-instep.rules # the person's own, which no package removes
    touch put-away
}

sounded() { # the service may use a sound card once it is told so
    sed -i -e 's/^gear:/&\n  speaker: { sound: default, stale-after: 20s }/' \
        -e '0,/^      on:/s//&\n        middle.press: { send: { speaker: { tone: 1000, for: 1s } } }/' /etc/instep/instep.yaml
    until_true "it may not use the sound card" journal_says "may this user use the sound card"
    mkdir -p /etc/systemd/system/instep.service.d
    cp sound.conf /etc/systemd/system/instep.service.d/
    systemctl daemon-reload
    told 'sudo systemctl restart instep' || fail "it does not start with a sound card"
    until_true "the sound card is there, too" status_says "4 of 4 gear up\(; .*\)*$"
    note sounding
    cat /proc/asound/card0/pcm0p/sub0/status > "$OUT/sound-card"
    touch to-be-heard
    until_true "a tone went out" journal_says "its first sample was number"
    rm -r /etc/systemd/system/instep.service.d
    cp mapping /etc/instep/instep.yaml
    systemctl daemon-reload
    systemctl restart instep || fail "it does not start without a sound card"
    until_true "the pedal is read again" status_says "3 of 3 gear up\(; .*\)*$"
    touch was-heard
}

first_day() {
    installed
    systemctl restart instep || fail "it does not start with the lesson's mapping"
    plays pedals
    pedal_is_there
    killed
    frozen
    pulled
    killed_in_take
    looked_at
    clock_set "+3 hours" "take 1 keeps the time"
    remapped
    reloaded
    opened
    sounded
    until_true "another take is open with the hands on air" is_there in-take
    until_true "the status says so" status_says "on air hands, take 2"
    note take
    journalctl --no-pager -b -u instep > "$OUT/log-1"
    ls -ld /var/lib/instep /var/lib/instep/* > "$OUT/state-folder"
    sleep 1
    cp sink "$OUT/sink-1"
    touch "$OUT/second-day" "$OUT/cut-the-power"
    sleep 3600
}

second_day() {
    until_true "it comes up at boot" restarted 0
    plays pedals-2
    until_true "the pedal is read" status_says "gear up\(; .*\)*$"
    note gone-on
    touch plugged # only now does the foot move
    until_true "the take has come to its end" is_there played
    until_true "the status says so" status_says "no take open"
    note rebooted
    cp sink "$OUT/sink-2"
    instep journal verify /var/lib/instep > "$OUT/verified" 2>&1
    echo $? >> "$OUT/verified"
    instep journal takes /var/lib/instep > "$OUT/takes" 2>&1
    instep cutlist /var/lib/instep --write "$OUT/lesson.edl" > "$OUT/cutlist" 2>&1
    journalctl --no-pager -b -u instep > "$OUT/log-2"
    cp -r /var/lib/instep "$OUT/journal"
}

java_upgraded() { # dpkg tells the package of each change below that folder
    process=$(unit MainPID)
    stamp=$(stat -c %i /var/cache/instep/instep.jsa)
    dpkg-trigger --by-package=java-common /usr/lib/jvm
    dpkg --triggers-only -a > "$OUT/java-upgrade" 2>&1
    [ "$stamp" != "$(stat -c %i /var/cache/instep/instep.jsa)" ] && echo "made anew" >> "$OUT/java-upgrade"
    [ "$process" = "$(unit MainPID)" ] && echo "not disturbed" >> "$OUT/java-upgrade"
}

upgraded() {
    sha256sum < /etc/instep/instep.yaml > "$OUT/config-written"
    dpkg-deb -R instep.deb newer
    sed -i 's/^Version: .*/&+1/' newer/DEBIAN/control
    dpkg-deb --root-owner-group -b newer newer.deb > /dev/null
    apt install -y ./newer.deb > "$OUT/upgrade" 2>&1 || fail "no upgrade: $(cat "$OUT/upgrade")"
    until_true "the service is up after the upgrade" restarted 0
    note upgraded
    sha256sum < /etc/instep/instep.yaml > "$OUT/config-kept"
}

removed() {
    yes | told 'sudo apt-get remove instep' > "$OUT/remove" 2>&1 || fail "it cannot be removed"
    left removed
    note removed
    yes | told 'sudo apt-get purge instep' > "$OUT/purge" 2>&1 || fail "it cannot be purged"
    left purged
}

if [ -e "$OUT/second-day" ]; then
    second_day
    java_upgraded
    upgraded
    removed
else
    first_day
fi
