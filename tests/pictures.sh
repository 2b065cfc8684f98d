#!/usr/bin/env bash
# Draws the pictures of docs into a directory: `tests/pictures.sh DIR`, those that take seconds; `tests/pictures.sh DIR all`,
# the others too, which take minutes. The program is built before, `cargo build --release`.
set -euo pipefail
cd "$(dirname "$0")/.."
folder=$1
program=${SHORTGRAIN:-target/release/shortgrain}

drawn() {
    local status=0
    "$program" "$@" --force --quiet || status=$?
    # Exit 1 is an answer too: something is careful or fragile.
    test "$status" -le 1
}

# The picture's name, then the command that draws it.
draw() {
    local picture=$folder/$1
    shift
    drawn "$@" --picture "$picture"
}

draw house-number.svg check shapes/house-number/house-number.svg
draw turned-coat-hook-10.svg turn shapes/coat-hook-10/coat-hook-10.svg
draw turned-game-token.svg turn shapes/game-token/game-token.svg
if [ "${2:-}" = all ]; then
    drawn check shapes/coat-hook-10/coat-hook-10.svg --push-map "$folder/push-map-coat-hook-10.svg"
    draw mended-house-number.svg mend shapes/house-number/house-number.svg --without turn
    draw guide-mended.svg mend shapes/coat-hook-10/coat-hooks.svg --only move-bridge,widen
    draw mended-coat-hook-10.svg mend shapes/coat-hook-10/coat-hook-10.svg --without turn
    # The pages of docs/samples.md.
    draw mended-marker-P.svg mend shapes/planter-markers/planter-markers.svg --only move-bridge --piece marker-P
    draw mended-markers-B-R.svg mend shapes/planter-markers/planter-markers.svg --only move-bridge,widen --piece marker-B --piece marker-R
    draw mended-clock-dial.svg mend shapes/clock-dial/clock-dial.svg --only turn,three-ply
    draw mended-game-token.svg mend shapes/game-token/game-token.svg --only turn,widen
    draw mended-drawer-label.svg mend shapes/drawer-label/drawer-label.svg --only turn,widen
    draw mended-number-tray.svg mend shapes/number-tray/number-tray.svg --only turn
    draw mended-pasta-gauge.svg mend shapes/pasta-gauge/pasta-gauge.svg --only turn,widen
    draw mended-choir-numerals.svg mend shapes/choir-numerals/choir-numerals.svg --only turn,widen,thicken
    draw mended-bee-hive.svg mend shapes/bee-hive/bee-hive.svg --only turn,widen
    draw mended-snow-crystal.svg mend shapes/snow-crystal/snow-crystal.svg --only turn,three-ply
    draw turned-bee-hive.svg turn shapes/bee-hive/bee-hive.svg
    draw turned-snow-crystal.svg turn shapes/snow-crystal/snow-crystal.svg
    draw turned-router-template.svg turn shapes/router-template/router-template.svg
fi
