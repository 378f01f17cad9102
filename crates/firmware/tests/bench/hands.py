# A project in MicroPython with made-up pins and a made-up clock: hands press its buttons and hold voltages to
# its pins at given times, and eyes watch what its pins do. Arguments: folder, cause of the reset (hand or
# watchdog), how long in ms, then MS=PIN=VALUE, a level or, at a measuring pin, what it reads of 65535, or
# MS=key=CODE. It prints "MS PIN SHARE" whenever a pin changes (per mille of the time it is high).
import sys

folder, cause, until = sys.argv[1], sys.argv[2], int(sys.argv[3])
events = []
for text in sys.argv[4:]:
    at, pin, value = text.split("=")
    events.append((int(at), pin, int(value)))

now = 0
levels = {}
keys = []


def changed(pin, share):
    print(now, pin, share)


class Pin:
    IN, OUT, OPEN_DRAIN = 0, 1, 2
    PULL_UP, PULL_DOWN = 1, 2
    IRQ_RISING, IRQ_FALLING = 1, 2

    def __init__(self, number, mode=0, pull=0, value=None):
        self.number = number
        if mode == Pin.OUT:
            changed(number, 1000 * value)
        elif number not in levels:
            levels[number] = 1 if pull == Pin.PULL_UP else 0

    def value(self, x=None):
        if x is None:
            return levels.get(self.number, 0)
        if levels.get(self.number) != x:
            levels[self.number] = x
            changed(self.number, 1000 * x)

    def irq(self, what, edges):
        pass


class ADC:
    def __init__(self, pin):
        self.number = pin.number

    def read_u16(self):
        return levels.get(self.number, 0)


class PWM:
    def __init__(self, pin):
        self.number = pin.number
        self.was = 0

    def freq(self, hz):
        pass

    def duty_u16(self, x):
        if x != self.was:
            self.was = x
            changed(self.number, x * 1000 // 65535)


class WDT:
    def __init__(self, timeout):
        changed("watchdog", timeout)

    def feed(self):
        pass


# A bus with nobody on it.
class SoftI2C:
    def __init__(self, sda, scl, freq, timeout):
        pass

    def writeto_mem(self, address, at, what):
        raise OSError

    readfrom_mem = writeto_mem


class Machine:
    Pin, ADC, PWM, WDT, SoftI2C = Pin, ADC, PWM, WDT, SoftI2C
    PWRON_RESET, WDT_RESET = 1, 3

    @staticmethod
    def reset_cause():
        return Machine.PWRON_RESET if cause == "hand" else Machine.WDT_RESET


class Time:
    @staticmethod
    def ticks_ms():
        return now

    @staticmethod
    def ticks_us():
        return now * 1000

    @staticmethod
    def ticks_diff(a, b):
        return a - b

    @staticmethod
    def sleep_ms(ms):
        pass

    @staticmethod
    def sleep_us(us):
        pass


class Select:
    POLLIN = 1

    class poll:
        def register(self, what, how):
            pass

        def poll(self, ms):
            return keys


class Stdin:
    def read(self, n):
        return keys.pop(0)


sys.modules["machine"] = Machine
sys.modules["time"] = Time
sys.modules["select"] = Select
sys.path.insert(0, folder)
for at, pin, value in events:
    if at == 0 and pin != "key":
        levels[int(pin)] = value

import board

board.sys = type("Sys", (), {"stdin": Stdin()})
board.begin()
import motors

motors.off()
import sensors
from run import Run

sensors.begin()
run = Run()
while now < until:
    for at, pin, value in events:
        if at == now and pin == "key":
            keys.append(chr(value))
        elif at == now:
            levels[int(pin)] = value
    run.once()
    now += 1
print(now, "end", 0)
