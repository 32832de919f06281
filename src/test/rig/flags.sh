#!/bin/sh
# Prints the JVM's flags of the service, in one line.
set -eu
eval "$(grep -E '^(archive|flags|desk)=' "$(dirname "$0")/../../deb/instep")"
echo "$flags $desk"
