#!/usr/bin/env bash
# Drives the real window under a private virtual display with pointer and keys: opens the demo, places a vent, undoes, redoes,
# saves, reopens the saved plan, and writes the sheet. Needs xvfb, openbox, xdotool, scrot, and what a window needs.
#
# usage: drive.sh PROGRAM [SCREENSHOT.png]
set -euo pipefail
program=$(realpath "$1")
shot=${2:-}
work=$(mktemp -d)
export XDG_DATA_HOME=$work/data XDG_CONFIG_HOME=$work/config XDG_STATE_HOME=$work/state
unset WAYLAND_DISPLAY
fail() { echo "drive: $*" >&2; [ -s "$work/log" ] && cat "$work/log" >&2; exit 1; }

# Asks again until the window is there. A search walks all windows, and dies when one of them goes while it looks (the one that was
# just closed, or one of the window manager's), so one that failed says nothing.
window_named() {
  local found
  for _ in $(seq 120); do
    found=$(xdotool search --onlyvisible --name "$1" 2>/dev/null | head -1) || found=
    if [ -n "$found" ]; then echo "$found"; return; fi
    kill -0 $window_program 2>/dev/null || return 1
    sleep 0.5
  done
  return 1
}

Xvfb -displayfd 3 -screen 0 1440x960x24 -nolisten tcp 3>"$work/display" 2>/dev/null &
server=$!
trap 'kill $window_program $manager $server 2>/dev/null || true; rm -rf "$work"' EXIT
manager= window_program=
for _ in $(seq 100); do [ -s "$work/display" ] && break; sleep 0.1; done
[ -s "$work/display" ] || fail "no virtual display"
DISPLAY=:$(cat "$work/display"); export DISPLAY
openbox 2>/dev/null &
manager=$!
sleep 1

# The plan that is worked on lies in the work folder, so that saving asks for no name.
cp -r "$(dirname "$0")/../../assets/demo" "$work/demo"
sed 's|\.\./assets/demo/|demo/|' "$(dirname "$0")/../../projects/cap.ron" > "$work/cap.ron"
"$program" "$work/cap.ron" 2>"$work/log" &
window_program=$!
window=$(window_named Mouldbench) || fail "no window came"
xdotool windowsize --sync "$window" 1400 900 || true
xdotool windowfocus "$window" || true
sleep 8

key() { xdotool key --window "$window" --clearmodifiers "$1"; sleep 1; }
vents() { grep -c 'Vent(' "$work/cap.ron" || true; }
before=$(vents)

# The step "Vents" on the card, then "Place vents", then a click on the part in the middle of the canvas.
at() { xdotool mousemove --window "$window" "$1" "$2"; sleep 0.4; }
at 60 345; xdotool click 1; sleep 1
at 1140 80; xdotool click 1; sleep 1
at 660 470; sleep 1; xdotool click 1; sleep 3
key ctrl+s; sleep 1
after=$(vents)
[ "$after" -eq $((before + 1)) ] || fail "a click placed no vent: $before vents before, $after after"
key Escape
key ctrl+z; key ctrl+s; sleep 1
[ "$(vents)" -eq "$before" ] || fail "undo took no vent back"
key ctrl+shift+z; key ctrl+s; sleep 1
[ "$(vents)" -eq "$after" ] || fail "redo put no vent back"
[ -z "$shot" ] || scrot -o "$shot"
kill -0 $window_program 2>/dev/null || fail "the program ended"
kill $window_program; wait $window_program 2>/dev/null || true

# Reopened: the saved plan is read, checked and put on a sheet.
"$program" "$work/cap.ron" 2>"$work/log" &
window_program=$!
window_named 'Probe cap' >/dev/null || fail "the saved plan did not reopen"
"$program" sheet "$work/cap.ron" --out "$work/cap.pdf" 2>>"$work/log" || [ $? -eq 1 ] || fail "no sheet was written"
[ "$(head -c 5 "$work/cap.pdf")" = "%PDF-" ] || fail "the sheet is no PDF"
echo "drive: opened, vent placed, undone, redone, saved, reopened, sheet written"
