# Sensors on the I2C bus, and those that are timed or counted. The registers are those of the VL53L0X
# (distance) and the MPU-6050 (tilt and turning), from memory: with another chip, change them here. All say
# nothing rather than something wrong when the bus does not answer.
import math
import time

import board
from machine import Pin, SoftI2C
from robot import LINES

NOTHING = 32767
EYE = 0x29
MOVER = 0x68

_buses = {}


def bus(data, clock):
    at = (LINES[data][0], LINES[clock][0])
    if at not in _buses:
        _buses[at] = SoftI2C(sda=Pin(at[0]), scl=Pin(at[1]), freq=400000, timeout=1000)
    return _buses[at]


def _signed(two):
    x = two[0] << 8 | two[1]
    return x - 65536 if x > 32767 else x


class Eye:
    # It must be the only one awake that still has the first address.
    def __init__(self, data, clock, wake, address):
        self.bus = bus(data, clock)
        self.address = address
        self.mm = NOTHING
        self.works = True
        if wake is not None:
            board.put(wake, True)
        time.sleep_ms(2)
        try:
            self.bus.writeto_mem(EYE, 0x8A, bytes((address,)))
            self.bus.writeto_mem(address, 0x00, b"\x02")
        except OSError:
            self.works = False

    def read(self, nearest, farthest):
        if not self.works:
            return NOTHING
        try:
            if self.bus.readfrom_mem(self.address, 0x13, 1)[0] & 7:
                two = self.bus.readfrom_mem(self.address, 0x1E, 2)
                self.bus.writeto_mem(self.address, 0x0B, b"\x01")
                self.mm = two[0] << 8 | two[1]
        except OSError:
            return NOTHING
        if self.mm > farthest:
            return NOTHING
        return max(self.mm, nearest)


class Mover:
    def __init__(self, data, clock):
        self.bus = bus(data, clock)
        try:
            self.bus.writeto_mem(MOVER, 0x6B, b"\x00")
            self.bus.writeto_mem(MOVER, 0x1B, b"\x18")
        except OSError:
            pass

    # Nose up, in tenths of a degree; the chip's x forward, its z up.
    def tilt(self):
        try:
            x = _signed(self.bus.readfrom_mem(MOVER, 0x3B, 2))
            z = _signed(self.bus.readfrom_mem(MOVER, 0x3F, 2))
        except OSError:
            return 0
        return int(math.degrees(math.atan2(x, max(z, 0))) * 10) if x or z > 0 else 0

    # Turning to the left, in tenths of a degree a second; 16.4 counts for a degree a second.
    def turn(self):
        try:
            return int(_signed(self.bus.readfrom_mem(MOVER, 0x47, 2)) * 100 / 164)
        except OSError:
            return 0


# Each edge of either track counts one; both at once tell nothing.
class Encoder:
    STEADY_MS = 20

    def __init__(self, a, b):
        self.a, self.b = a, b
        self.edges = self.stands = 0
        self.speed = 0
        self.from_edges, self.from_ms = 0, board.ms()
        board.called_at_changes(a, self.changed)
        board.called_at_changes(b, self.changed)

    def changed(self, _pin):
        a, b = board.is_high(self.a), board.is_high(self.b)
        stands = (2 if b else 0) | (1 if a != b else 0)
        step = (stands - self.stands) & 3
        self.stands = stands
        if step == 1:
            self.edges += 1
        elif step == 3:
            self.edges -= 1

    def start(self):
        self.from_edges, self.from_ms, self.speed = self.edges, board.ms(), 0

    # Speed in mm/s from edges over at least this long: shorter would count too few.
    def read(self, um_per_edge):
        now = board.ms()
        ms = board.since(now, self.from_ms)
        if ms >= self.STEADY_MS:
            self.speed = int((self.edges - self.from_edges) * um_per_edge / ms)
            self.from_edges, self.from_ms = self.edges, now
        return self.speed


class Echo:
    PAUSE_MS = 50

    def __init__(self, trigger, echo):
        self.trigger, self.echo = trigger, echo
        self.rose, self.took, self.answered = 0, None, False
        self.called = board.ms() - self.PAUSE_MS
        board.called_at_changes(echo, self.changed)

    def changed(self, _pin):
        now = board.us()
        if board.is_high(self.echo):
            self.rose = now
        else:
            self.took = board.since(now, self.rose)
            self.answered = True

    def read(self, half_um_per_us, nearest, farthest):
        now = board.ms()
        if board.since(now, self.called) >= self.PAUSE_MS:
            if not self.answered:
                self.took = None
            self.answered = False
            self.called = now
            board.put(self.trigger, True)
            time.sleep_us(12)
            board.put(self.trigger, False)
        if self.took is None:
            return NOTHING
        mm = self.took * half_um_per_us // 1000
        return NOTHING if mm > farthest else max(mm, nearest)
