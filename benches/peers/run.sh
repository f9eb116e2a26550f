#!/usr/bin/env bash
# Times Sod's shock tube side by side: PyClaw as used, its Fortran kernel alone, and the ducts of this project. Prints a table
# and puts it into README.md beside this file. Needs python3 with venv, a C and a Fortran compiler, cargo.
set -euo pipefail
cd "$(dirname "$0")/../.."
venv="$PWD/target/side_by_side"

for tool in python3 cc gfortran cargo; do
    if ! command -v "$tool" > /dev/null; then
        echo "benches/peers needs $tool; on Debian: apt-get install python3-venv gcc gfortran" >&2
        exit 1
    fi
done
if [ ! -x "$venv/bin/python" ]; then
    python3 -m venv "$venv"
fi
# Built from source the first time, some minutes. The same versions as in tests/gas_dynamics/side_by_side.
"$venv/bin/pip" install --quiet --requirement tests/gas_dynamics/side_by_side/requirements.txt
cargo bench --quiet --bench sod --no-run
"$venv/bin/python" -B benches/peers/peers.py
