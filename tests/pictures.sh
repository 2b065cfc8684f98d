#!/usr/bin/env bash
# Draws the pictures of docs into a directory: `tests/pictures.sh DIR`, those that take seconds; `tests/pictures.sh DIR all`,
# the others too, which take minutes. The program is built before, `cargo build --release`.
set -euo pipefail
cd "$(dirname "$0")/.."
folder=$1
program=${SHORTGRAIN:-target/release/shortgrain}

# The picture's name, then the command that draws it.
draw() {
    local picture=$folder/$1 status=0
    shift
    "$program" "$@" --picture "$picture" --force --quiet || status=$?
    # Exit 1 is an answer too: something is careful or fragile.
    test "$status" -le 1
}

draw house-number.svg check shapes/house-number/house-number.svg
draw turned-coat-hook-10.svg turn shapes/coat-hook-10/coat-hook-10.svg
draw turned-game-token.svg turn shapes/game-token/game-token.svg
if [ "${2:-}" = all ]; then
    draw mended-house-number.svg mend shapes/house-number/house-number.svg --without turn
    draw guide-mended.svg mend shapes/coat-hook-10/coat-hook-10.svg --without turn
fi
