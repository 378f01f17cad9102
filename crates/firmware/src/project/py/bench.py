# What can be tried on the bench, over the serial line, before the start.
import board
import motors
import sensors
from robot import BORDER_LEVEL, GADGETS, GADGET_LINES, SENSORS

# Wheels up: so much, for so long, and a rest between.
TRY_EFFORT = 300
TRY_MS = 500
REST_MS = 300
# Readings on the screen.
SHOW_MS = 250
# Black and white nearer than this to what is asked of the border are too near: a ring's light, dust and a
# robot's wobble take that much.
LEAST_MARGIN = 150


class Bench:
    def __init__(self):
        self.traces = False
        self.doing = None
        self.at = 0
        self.since = 0
        self.found = {}

    # The start has been given: whatever is being tried ends.
    def end(self):
        if self.doing == "t":
            motors.off()
            for line in GADGET_LINES:
                board.servo(line, 0)
        self.doing = None

    def help(self, battery_mv):
        print("# s sensors, b border aid, t wheels-up test, r trace", "off" if self.traces else "on", end="")
        if battery_mv:
            print(", battery", battery_mv, "mV", end="")
        print("; any key ends")

    def say_readings(self):
        for name, reading in zip(SENSORS, sensors.read_all()):
            print("#", name, reading, "(sees nothing)" if reading == 32767 else "")

    def say_border(self):
        for k, raw, black, white in sensors.border():
            least, most = self.found.get(k, (raw, raw))
            least, most = min(least, raw), max(most, raw)
            self.found[k] = (least, most)
            at_black, at_white = (most, least) if black > white else (least, most)
            above = sensors.brightness(at_white, black, white) - BORDER_LEVEL
            below = BORDER_LEVEL - sensors.brightness(at_black, black, white)
            margin = min(above, below)
            small = "TOO SMALL" if margin < LEAST_MARGIN else ""
            print("#", SENSORS[k], "now", raw, "black", at_black, "white", at_white, "margin", margin, small)

    # Each motor forward and backward, each gadget to its second end and back, each sensor once.
    def try_on(self, now):
        ms = board.since(now, self.since)
        if self.at < 4:
            if ms == 0:
                way = "backward" if self.at % 2 else "forward"
                print("# motors", "left" if self.at < 2 else "right", way)
            effort = 0 if ms >= TRY_MS else -TRY_EFFORT if self.at % 2 else TRY_EFFORT
            motors.drive(effort if self.at < 2 else 0, 0 if self.at < 2 else effort)
        elif self.at < 4 + 2 * len(GADGET_LINES):
            k = (self.at - 4) // 2
            if ms == 0:
                print("# gadget", GADGETS[k])
            board.servo(GADGET_LINES[k], sensors.gadget_us(k, 0 if self.at % 2 else 1000))
        else:
            self.say_readings()
            print("# done")
            self.end()
            return
        if ms >= TRY_MS + REST_MS:
            self.at += 1
            self.since = now

    def hear(self, key, now, battery_mv):
        if self.doing == "asks" and key == "y":
            self.doing = "t"
            self.at = 0
            self.since = now
            return
        if self.doing:
            self.end()
            print("# ended")
            return
        self.since = now
        if key == "s":
            self.doing = "s"
        elif key == "b":
            print("# move each border sensor over black and over white")
            self.found = {}
            self.doing = "b"
        elif key == "t":
            print("# WHEELS UP, fingers and hair away, eye protection on? y")
            self.doing = "asks"
        elif key == "r":
            self.traces = not self.traces
            self.help(battery_mv)
        elif key not in "\r\n":
            self.help(battery_mv)

    # At every look while it is ready.
    def look(self, now, battery_mv):
        key = board.heard()
        if key:
            self.hear(key, now, battery_mv)
        if self.doing == "t":
            self.try_on(now)
            return
        motors.off()
        if self.doing in ("s", "b") and board.since(now, self.since) >= SHOW_MS:
            self.since = now
            if self.doing == "s":
                self.say_readings()
            else:
                self.say_border()
