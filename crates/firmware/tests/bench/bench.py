# The same sequence of readings for a tactic in MicroPython: seed and blocks are its arguments.
import sys

sys.path.insert(0, sys.argv[1])
import tactic

MASK = 0xFFFFFFFF


class Bench:
    def __init__(self, seed):
        self.dice = seed
        self.fold = 2166136261

    def thrown(self):
        x = self.dice
        x ^= (x << 13) & MASK
        x ^= x >> 17
        x ^= (x << 5) & MASK
        self.dice = x
        return x

    def folded(self, x):
        self.fold = ((self.fold ^ (x & 0xFFFF)) * 16777619) & MASK

    def reading(self, before):
        x = self.thrown()
        if x & 7 != 0:
            return before
        kind = x >> 3 & 3
        if kind == 0:
            return 0
        if kind == 1:
            return 32767
        if kind == 2:
            return (x >> 16) - 32768
        return (x >> 16) % 1000


def run(seed, blocks):
    bench = Bench(seed)
    t = tactic.Tactic()
    readings = [0] * INPUTS
    now = 0
    for _ in range(blocks):
        start = bench.thrown()
        t.start(tactic.SWITCH.get(start & 7, 0), start >> 16)
        for _ in range(256):
            for k in range(INPUTS):
                readings[k] = bench.reading(readings[k])
            pause = bench.thrown()
            now = (now + (pause >> 16 if pause & 15 == 0 else 10)) & 0xFFFF
            t.tick(readings, now)
            bench.folded(t.left)
            bench.folded(t.right)
            for g in t.gadget:
                bench.folded(g)
            bench.folded(t.state)
            bench.folded(t.step)
            bench.folded(t.reflex)
        print("%08x" % bench.fold)


INPUTS = int(sys.argv[4])
run(int(sys.argv[2]), int(sys.argv[3]))
