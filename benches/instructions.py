"""Splits the instructions that callgrind counted by the machine's parts. Called by instructions.sh with what the program printed and
what callgrind wrote, for N cycles and for 2N; prints the difference.

A part is a set of source files. Callgrind counts by source line, inlined code by the file that it stands in, so that inlining
hides nothing. Files that serve several parts (gas properties, formulas, powers, the standard library) go to the part whose code calls
them or has them inlined: a function of a part keeps what is inlined into it, and a shared function is divided among its callers as
callgrind counted its calls.
"""

import collections
import re
import sys

# The first that fits. What fits none is shared.
PARTS = [
    ("faces", r"/gas/(face|trace)"),
    ("ducts", r"/gas/|/laws/(riemann|limiter)\.rs"),
    ("cylinder", r"/src/cylinder/|/hardware/crank\.rs"),
    ("circuits", r"/src/metering/"),
    ("rest", r"/src/(rig|setup|study|cli|diagnostics|units|hardware)/|/benches/"),
]
NAMES = [name for name, _ in PARTS]


def part_of(file):
    if "/rustc/" in file or "/rustlib/" in file or "/.cargo/" in file:
        return None
    return next((name for name, pattern in PARTS if re.search(pattern, file)), None)


class Profile:
    """Costs of one run: of each function by source file, and of calls from function to function."""

    def __init__(self, path):
        self.home = {}  # function: its source file
        self.own = collections.Counter()  # (function, file): instructions
        self.calls = collections.Counter()  # (caller, file in the caller, called): instructions, all below included
        names = {}

        def full(text):
            """Callgrind writes a name once, `(7) name`, and `(7)` from then on."""
            match = re.match(r"\((\d+)\)(?: (.*))?$", text)
            if not match:
                return text
            number, name = match.groups()
            if name is not None:
                names[kind, number] = name
            return names[kind, number]

        function = file = called = None
        after_call = False
        total = None
        with open(path) as lines:
            text = lines.read().splitlines()
        for line in text:
            key, equals, value = line.partition("=")
            if equals and key in ("fl", "fi", "fe", "fn", "cfn", "cfi", "cfl", "calls", "ob", "cob"):
                kind = "function" if key in ("fn", "cfn") else "object" if key in ("ob", "cob") else "file"
                if key == "fn":
                    function = full(value)
                    self.home.setdefault(function, file)
                elif key == "cfn":
                    called = full(value)
                elif key == "calls":
                    after_call = True
                elif key in ("fl", "fi", "fe"):
                    file = full(value)
                else:
                    full(value)
            elif line.startswith("totals:"):
                total = int(line.split()[1])
            elif line and line[0] in "0123456789+-*":
                cost = int(line.split()[1])
                if after_call:
                    self.calls[function, file, called] += cost
                else:
                    self.own[function, file] += cost
                after_call = False
        if total != sum(self.own.values()):
            sys.exit(f"{path}: {sum(self.own.values())} instructions read of {total}; callgrind's format has changed")

    def split(self):
        """Instructions of each part."""
        shared = {f for f in self.home if part_of(self.home[f]) is None}
        # of each shared function, what its calls cost, by the part or the other shared function that calls it
        below = collections.defaultdict(collections.Counter)
        for (caller, file, called), cost in self.calls.items():
            if called in shared and caller != called:
                below[called][self.place(caller, file)] += cost
        weights = {f: self.weights(f, below, set()) for f in shared}
        sums = collections.Counter()
        for (function, file), cost in self.own.items():
            place = self.place(function, file)
            for name, weight in weights[place].items() if place in weights else [(place, 1.0)]:
                sums[name] += weight * cost
        return sums

    def place(self, function, file):
        """The part that a line of `file` in `function` belongs to, or the function itself where it is a shared one."""
        return part_of(file) or part_of(self.home[function]) or function

    def weights(self, function, below, seen):
        """Shares of the parts in the calls of a shared function; what nothing calls is the rest."""
        calls = {place: cost for place, cost in below[function].items() if place not in seen and cost > 0}
        total = sum(calls.values())
        if not total:
            return {"rest": 1.0}
        found = collections.Counter()
        for place, cost in calls.items():
            parts = {place: 1.0} if place in NAMES else self.weights(place, below, seen | {function})
            for name, weight in parts.items():
                found[name] += weight * cost / total
        return found


def numbers(path):
    with open(path) as file:
        words = file.read().split()
    return {words[i]: int(words[i + 1]) for i in range(0, len(words), 2)}


def main():
    done, profile, done_2, profile_2 = sys.argv[1:]
    less, more = numbers(done), numbers(done_2)
    cycles, steps, updates = (more[key] - less[key] for key in ("cycles", "steps", "cell_updates"))
    first, second = Profile(profile).split(), Profile(profile_2).split()
    parts = {name: second[name] - first[name] for name in NAMES}
    print(f"{cycles} cycles, {steps} steps, {updates} cell-updates; instructions:")
    print(f"{'':>10}{'a cycle':>14}{'a step':>10}{'a cell-update':>15}{'share':>8}")
    whole = sum(parts.values())
    for name, count in [*parts.items(), ("all", whole)]:
        print(f"{name:>10}{count / cycles:>14.0f}{count / steps:>10.0f}{count / updates:>15.1f}{100 * count / whole:>7.1f}%")


if __name__ == "__main__":
    main()
