#!/bin/sh
# Writes the tables of the names of keys, axes and wheels, src/main/resources/instep/input/*-names.txt, from the kernel's
# header (Debian: linux-libc-dev). Each line is a code and its names, the preferred one first: the last that the header
# gives with a number (the earlier ones, such as BTN_MISC, only name the start of a group), then those groups, then the
# names that it defines through others.
set -eu
HEADER=${1:-/usr/include/linux/input-event-codes.h}
cd "$(dirname "$0")/../.."
ROWS=$(mktemp)
trap 'rm -f "$ROWS"' EXIT

# table FILE PREFIXES: names that begin so, but for the bounds
table() {
  LC_ALL=C awk -v prefixes="^($2)_" '
    $1 == "#define" && $2 ~ prefixes && $2 !~ /^(KEY|ABS|REL)_(MAX|CNT)$/ && $2 != "KEY_MIN_INTERESTING" {
      if ($3 ~ /^(0x[0-9a-fA-F]+|[0-9]+)$/) {
        if (!($3 in row)) { row[$3] = ++rows; code[rows] = $3; first[rows] = $2 }
        else first[row[$3]] = $2 " " first[row[$3]]
        of[$2] = row[$3]
      } else if ($3 in of) { of[$2] = of[$3]; more[of[$3]] = more[of[$3]] " " $2 }
      else { print "no code for " $2 > "/dev/stderr"; exit 1 }
    }
    END { for (i = 1; i <= rows; i++) print code[i], first[i] more[i] }
  ' "$HEADER" | while read -r code names; do printf '%d %s\n' "$code" "$names"; done | sort -n > "$ROWS"
  {
    echo '# Made by src/build/code-names.sh from linux/input-event-codes.h; do not edit.'
    cat "$ROWS"
  } > "src/main/resources/instep/input/$1"
}

table key-names.txt 'KEY|BTN'
table axis-names.txt ABS
table wheel-names.txt REL
