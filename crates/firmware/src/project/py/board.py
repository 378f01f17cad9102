# The hardware, as the rest of the program knows it.
import sys
import time

import machine
from machine import ADC, PWM, WDT, Pin

try:
    import select
except ImportError:
    select = None

from robot import LINES, MEASURED_TO, FULL_MV

OUT_LOW, IN, PULLED_UP, PULLED_DOWN, MEASURES, BUS = range(6)
SERVO_HZ = 50
PULSES_HZ = 20000

_pins = []
_pulses = {}
_adcs = {}
_watch = None
_poll = None


# First of all the motors' lines, so that nothing turns. Called once.
def begin():
    global _poll
    for pin, begins in LINES:
        if begins == OUT_LOW:
            _pins.append(Pin(pin, Pin.OUT, value=0))
        elif begins == PULLED_UP:
            _pins.append(Pin(pin, Pin.IN, Pin.PULL_UP))
        elif begins == PULLED_DOWN:
            _pins.append(Pin(pin, Pin.IN, Pin.PULL_DOWN))
        elif begins == BUS:
            _pins.append(Pin(pin, Pin.OPEN_DRAIN, Pin.PULL_UP, value=1))
        else:
            _pins.append(Pin(pin, Pin.IN))
    for line, (pin, begins) in enumerate(LINES):
        if begins == MEASURES:
            _adcs[line] = ADC(_pins[line])
    if select:
        _poll = select.poll()
        _poll.register(sys.stdin, select.POLLIN)


# Whether it has just been switched on, or reset by hand, rather than by itself in a bout.
def began_by_hand():
    cause = machine.reset_cause()
    return cause != getattr(machine, "WDT_RESET", -1) and cause != getattr(machine, "BROWNOUT_RESET", -1)


def ms():
    return time.ticks_ms()


def us():
    return time.ticks_us()


# From `then` to `now`, either of them of ms() or us().
def since(now, then):
    return time.ticks_diff(now, then)


def is_high(line):
    return _pins[line].value() == 1


def put(line, high):
    _pins[line].value(1 if high else 0)


def called_at_changes(line, what):
    _pins[line].irq(what, Pin.IRQ_RISING | Pin.IRQ_FALLING)


def _timer(line, hz):
    if line not in _pulses:
        _pulses[line] = PWM(_pins[line])
        _pulses[line].freq(hz)
    return _pulses[line]


# Share of the time a line is high, in per mille.
def pulses(line, per_mille):
    _timer(line, PULSES_HZ).duty_u16(per_mille * 65535 // 1000)


# A pulse of so many microseconds fifty times a second; 0: none.
def servo(line, us):
    _timer(line, SERVO_HZ).duty_u16(us * SERVO_HZ * 65535 // 1000000)


def measured_mv(line):
    return _adcs[line].read_u16() * FULL_MV // MEASURED_TO


def measured_share(line):
    return _adcs[line].read_u16() * 1000 // MEASURED_TO


# From now on the chip resets itself unless it is fed. It cannot be taken back: a program that is stopped
# with Ctrl-C after this resets too, which switches the motors off.
def watch():
    global _watch
    if _watch is None:
        _watch = WDT(timeout=1000)


def feed():
    if _watch is not None:
        _watch.feed()


# The next character that was typed, or None.
def heard():
    if _poll is not None and _poll.poll(0):
        return sys.stdin.read(1)
    return None
