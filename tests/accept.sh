#!/usr/bin/env bash
# Writes anew what is compared word for word, the sessions in tests/transcripts and docs/guide.md, and every picture in docs.
# Read the difference before it is committed (`git diff tests/transcripts docs`), and look at the pictures.
# `tests/accept.sh pictures` draws the pictures alone.
set -euo pipefail
cd "$(dirname "$0")/.."

if [ "${1:-}" != pictures ]; then
    SHORTGRAIN_ACCEPT=1 cargo test --release --locked --test transcripts
fi
cargo build --release --locked --quiet
tests/pictures.sh docs all
git status --short tests/transcripts docs
