# From the start signal to the stop.
import board
import motors
import sensors
import tactic
from bench import Bench
from robot import (
    BATTERY_LOW_MV,
    GADGET_LINES,
    HAS_LAMP,
    BATTERY_PARTS,
    LINE_BATTERY,
    LINE_LAMP,
    NAME,
    SWITCH_LINES,
    TICK_MS,
    TRACE_HEAD,
    STATES,
    REFLEXES,
    OPENINGS,
)
from start import Start

# READY: it stands, and the bench may try it. WAITING: the start has been given, and it stands as the class
# asks. RUNNING: the tactic drives. STOPPED: it stands until the start says otherwise.
READY, WAITING, RUNNING, STOPPED = range(4)

# A battery that has been read low for so long is low; motors pull it down for moments.
LOW_FOR_MS = 1000


def position():
    at = 0
    for k, line in enumerate(SWITCH_LINES):
        if not board.is_high(line):
            at |= 1 << k
    return at


class Run:
    def __init__(self):
        now = board.ms()
        self.mode = READY
        self.start = Start(board.began_by_hand())
        self.bench = Bench()
        self.tactic = tactic.Tactic()
        self.next = now
        self.not_low = now
        self.late = 0
        self.longest_us = 0
        self.elapsed = 0
        self.last = now
        self.stand()
        print("#", NAME, "- h for help")

    def stand(self):
        motors.off()
        for line in GADGET_LINES:
            board.servo(line, 0)

    def battery_mv(self):
        return board.measured_mv(LINE_BATTERY) * BATTERY_PARTS if BATTERY_PARTS else 0

    # The lamp: slowly while it is ready, quickly while the battery is low, on while it waits, off else.
    def lamp(self, now):
        if HAS_LAMP:
            low = BATTERY_PARTS and board.since(now, self.not_low) >= LOW_FOR_MS
            blinks = (now // (64 if low else 512)) & 1
            board.put(LINE_LAMP, self.mode == WAITING or ((self.mode == READY or low) and blinks))

    def begin(self, now):
        opening = tactic.SWITCH.get(position(), 0)
        noise = board.us() & 0xFFFF
        self.tactic.start(opening, noise)
        sensors.start()
        self.last = now
        self.elapsed = 0
        self.late = self.longest_us = 0
        self.mode = RUNNING
        board.watch()
        if self.bench.traces:
            print("# opening", OPENINGS[opening])
            print("# noise", noise)

    def decide(self, now):
        # The board's own clock wraps where it likes.
        self.elapsed += board.since(now, self.last)
        self.last = now
        began = board.us()
        readings = sensors.read_all()
        t = self.tactic
        t.tick(readings, self.elapsed & 0xFFFF)
        motors.drive(t.left, t.right)
        for k, line in enumerate(GADGET_LINES):
            board.servo(line, sensors.gadget_us(k, t.gadget[k]))
        self.longest_us = max(self.longest_us, board.since(board.us(), began))
        if self.bench.traces:
            reflex = "" if t.reflex == tactic.NONE else REFLEXES[t.reflex]
            row = [self.elapsed] + list(readings) + [t.left, t.right, STATES[t.state], reflex]
            print(",".join(str(x) for x in row))

    def look(self, now):
        start = self.start
        if not BATTERY_PARTS or self.battery_mv() >= BATTERY_LOW_MV:
            self.not_low = now
        start.look(now)
        if self.mode == READY:
            if start.given:
                self.bench.end()
                self.stand()
                self.mode = WAITING
                if self.bench.traces:
                    print(TRACE_HEAD)
                if start.is_due(now):
                    self.begin(now)
            else:
                self.bench.look(now, self.battery_mv())
        elif self.mode == WAITING:
            if start.is_taken_back():
                self.mode = READY
            elif start.is_due(now):
                self.begin(now)
        elif self.mode == RUNNING:
            if start.is_stop():
                self.stand()
                self.mode = STOPPED
                start.stopped()
                print("# stopped, late looks:", self.late, "longest look:", self.longest_us, "us")
        elif start.is_over():
            self.mode = READY
        if self.mode == RUNNING:
            self.decide(now)
        elif self.mode != READY:
            self.stand()
        self.lamp(now)

    # Again and again: does nothing until the next look at the sensors is due.
    def once(self):
        now = board.ms()
        if board.since(now, self.next) < 0:
            return
        self.next += TICK_MS
        if board.since(now, self.next) >= 0:
            # A whole look too late: it is left out rather than made up for.
            self.next = now + TICK_MS
            self.late += 1
        # Here and nowhere else: if a look hangs, the chip resets itself.
        board.feed()
        self.look(now)
