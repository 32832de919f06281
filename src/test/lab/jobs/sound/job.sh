#!/bin/sh
# Tones through the kernel's looped sound card: what is played into one of its two devices is heard at the other.
# clock: exact
# modules: sound
# needs: the program
. ./steps.sh
stay_awake # all along: most of Java's sound is loaded with the first tone
cat /usr/lib/*/libasound.so.2 > /dev/null || fail "no libasound2 on this machine: apt-get install libasound2"
ear /dev/snd/pcmC0D1c > heard-speaker.pcm 2> heard-speaker.began &
ear /dev/snd/pcmC0D0c > heard-phones.pcm 2> heard-phones.began &
program_runs
feet_play
until_there played
terminate_program
feet_end
