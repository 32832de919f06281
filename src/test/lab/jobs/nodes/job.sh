#!/bin/sh
# The lab looks at itself: do the devices come, do presses carry the kernel's time, does a grab keep others out?
# clock: exact
. ./steps.sh
stay_awake
feet_play
until_there plugged
ls -l /dev/input /dev/hidraw* > nodes
onlooker "$(node floor event)" grab 20 > onlooker-floor &
sleep 0.2
onlooker "$(node floor event)" look 20 > onlooker-second &
onlooker "$(node floor hidraw)" look 20 > onlooker-raw &
onlooker "$(node desk event)" look 20 > onlooker-desk &
onlooker "$(node box hidraw)" look 20 > onlooker-box &
sleep 0.3
may_doze
touch go
feet_end
