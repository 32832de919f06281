#!/bin/sh
# The life of the box: the package is installed on a new Debian, runs as a service, is killed, stands still, loses power in a take, is upgraded and removed.
# clock: real
# root: debian
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
note() { systemctl show instep -p ActiveState -p SubState -p Result -p NRestarts -p StatusText > "$OUT/unit-$1"; }
left() { # when: all that the package has brought, or that came from it
    find / -xdev \( -path /proc -o -path /sys -o -path /run -o -path /lab \) -prune -o -path '*instep*' -print | sort > "$OUT/left-$1"
}

installed() {
    left before
    dpkg -i instep.deb > "$OUT/install" 2>&1 || fail "the package cannot be installed: $(cat "$OUT/install")"
    until_true "the service is up" restarted 0
    note installed
    systemctl is-enabled instep > "$OUT/enabled"
    ls -l /var/cache/instep > "$OUT/archive" 2>&1
    instep --version > "$OUT/version" 2>&1
    echo "nonsense: 1" >> /etc/instep/instep.yaml
    systemctl restart instep && fail "it starts with a faulty mapping"
    note faulty
    cp pottery.yaml /etc/instep/instep.yaml
    echo clay-and-water-7 | install -m 600 /dev/stdin /etc/instep/secrets/recorder
    sha256sum < /etc/instep/instep.yaml > "$OUT/config-written"
}

plays() { # script
    sink line:9701:mixer http:9702:recorder udp:9703:lamp > "sink" &
    pedalsim "$1" > pedalsim.log 2> "$OUT/pedalsim.err" &
}

pedal_is_there() {
    until_true "the pedal is read" status_says "gear up$"
    touch plugged
}

killed() {
    until_true "the wheel is on air" is_there on-wheel
    until_true "the status says so" status_says "on air wheel"
    note wheel
    kill -9 "$(unit MainPID)"
    until_true "it is started again after a kill" restarted 1
    note killed
    touch killed
}

frozen() {
    until_true "the pedal works again" is_there pressed-again
    freeze "$(unit MainPID)" instep-loop > "$OUT/frozen" 2>&1 &
    until_true "the watchdog has it started again" restarted 2
    note thawed
    touch thawed
}

first_day() {
    installed
    systemctl restart instep || fail "it does not start with the lesson's mapping"
    plays pedals
    pedal_is_there
    killed
    frozen
    until_true "a take is open with the wheel on air" is_there in-take
    until_true "the status says so" status_says "on air wheel, take 1"
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
    pedal_is_there
    until_true "the pedal works" is_there played
    note rebooted
    cp sink "$OUT/sink-2"
    instep journal verify /var/lib/instep > "$OUT/verified" 2>&1
    echo $? >> "$OUT/verified"
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
    dpkg-deb -R instep.deb newer
    sed -i 's/^Version: .*/&+1/' newer/DEBIAN/control
    dpkg-deb --root-owner-group -b newer newer.deb > /dev/null
    dpkg -i newer.deb < /dev/null > "$OUT/upgrade" 2>&1 || fail "no upgrade: $(cat "$OUT/upgrade")"
    until_true "the service is up after the upgrade" restarted 0
    note upgraded
    sha256sum < /etc/instep/instep.yaml > "$OUT/config-kept"
}

removed() {
    dpkg -r instep > "$OUT/remove" 2>&1 || fail "it cannot be removed"
    left removed
    note removed
    dpkg -P instep > "$OUT/purge" 2>&1 || fail "it cannot be purged"
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
