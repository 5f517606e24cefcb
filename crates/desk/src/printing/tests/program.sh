#!/bin/sh
# Stands in for a program of the system: writes down what it was asked, and answers what lies beside it.
PATH=/usr/bin:/bin
here=${0%/*}
name=${0##*/}
for word in "$@"; do printf '%s\n' "$word"; done >>"$here/$name.asked"
printf '%s\n' "$WAYBENCH_PRINTER" "$WAYBENCH_PAPER" >>"$here/$name.environment"
answer="$here/$name$1"
[ -e "$answer.seconds" ] && sleep "$(cat "$answer.seconds")"
[ -e "$answer.err" ] && cat "$answer.err" >&2
[ -e "$answer.out" ] && cat "$answer.out"
[ -e "$answer.code" ] && exit "$(cat "$answer.code")"
exit 0
