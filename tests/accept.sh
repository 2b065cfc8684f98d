#!/usr/bin/env bash
# Writes anew what is compared word for word: the sessions in tests/transcripts and the picture in docs.
# Read the difference before it is committed (`git diff tests/transcripts`), and look at docs/house-number.svg.
set -euo pipefail
cd "$(dirname "$0")/.."

SHORTGRAIN_ACCEPT=1 cargo test --release --locked --test transcripts
# Exit 1 is an answer too: something is careful or fragile.
status=0
cargo run --release --locked -- check shapes/house-number/house-number.svg \
    --picture docs/house-number.svg --force --quiet || status=$?
test "$status" -le 1
git status --short tests/transcripts docs
