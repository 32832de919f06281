#!/bin/sh
# Prints the JVM's flags of the service, in one line.
set -eu
sed -n '/^ExecStart=/,/[^\\]$/p' "$(dirname "$0")/../../../systemd/instep.service" \
    | tr -d '\\\n' | sed 's/^ExecStart=[^ ]*//; s/ -jar .*//; s/  */ /g'
