#!/usr/bin/env bash
# Solves the shock tubes with PyClaw and with the ducts, on the same cells, and prints both side by side.
# Needs python3 with venv, a C and a Fortran compiler (PyClaw is built from source once, some minutes) and cargo.
set -euo pipefail
cd "$(dirname "$0")"
root=$(cd ../../.. && pwd)
venv="$root/target/side_by_side"

for tool in python3 cc gfortran cargo; do
    command -v "$tool" >/dev/null || { echo "run.sh needs $tool" >&2; exit 1; }
done
if [ ! -x "$venv/bin/python" ]; then
    python3 -m venv "$venv"
fi
"$venv/bin/pip" install --quiet --requirement requirements.txt
"$venv/bin/python" pyclaw_tubes.py > "$venv/pyclaw.csv"
mv "$venv/pyclaw.csv" pyclaw.csv
cd "$root"
cargo test --release --test gas_dynamics side_by_side -- --nocapture
