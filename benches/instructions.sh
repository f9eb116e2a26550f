#!/usr/bin/env bash
# Counts the instructions of the running machine, which a busy computer does not change: one fixed operating point under
# callgrind with N cycles and with 2N; the difference is N cycles and nothing else. N is 3, or the first argument, from 2 on: the first
# cycle from rest does not burn. Needs valgrind and python3, takes half a minute.
set -euo pipefail
cd "$(dirname "$0")/.."
for tool in valgrind python3 cargo; do
    if ! command -v "$tool" > /dev/null; then
        echo "benches/instructions.sh needs $tool; on Debian: apt-get install valgrind python3" >&2
        exit 1
    fi
done
cycles="${1:-3}"
case "$cycles" in
    '' | *[!0-9]* | 0* | 1) echo "the number of cycles is a whole number from 2, not \`$cycles\`" >&2; exit 2 ;;
esac
scratch="$(mktemp -d)"
trap 'rm -rf "$scratch"' EXIT

# Cargo says where it put the program.
program="$(cargo bench --bench instructions --no-run --message-format=json 2> "$scratch/build" |
    sed -n 's/.*"name":"instructions".*"executable":"\([^"]*\)".*/\1/p' | tail -n 1)"
if [ -z "$program" ]; then
    cat "$scratch/build" >&2
    exit 1
fi
twice="$((2 * cycles))"
for n in "$cycles" "$twice"; do
    if ! valgrind --tool=callgrind --callgrind-out-file="$scratch/out.$n" "$program" --cycles "$n" \
        > "$scratch/done.$n" 2> "$scratch/log"; then
        cat "$scratch/log" >&2
        exit 1
    fi
done
echo "demo, 38 mm, full throttle, 4000 rpm; $(rustc -V), $(sed -n '/^model name/{s/.*: //p;q}' /proc/cpuinfo)"
python3 benches/instructions.py "$scratch/done.$cycles" "$scratch/out.$cycles" "$scratch/done.$twice" "$scratch/out.$twice"
