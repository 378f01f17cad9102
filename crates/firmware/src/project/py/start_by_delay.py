# Start by a button, pressed at the judge's signal: it stands for WAIT_MS and moves. Pressed again, it
# stops. A button held while the program begins counts only once it has been let go of.
import board
from robot import LINE_START, WAIT_MS

# A button bounces for some milliseconds.
STEADY_MS = 20


class Start:
    def __init__(self, by_hand):
        self.changed = board.ms()
        self.pressed_at = self.changed
        self.seen = self.pressed = True
        self.armed = self.given = False

    # At every look, before the questions below.
    def look(self, now):
        down = not board.is_high(LINE_START)
        self.given = False
        if down != self.seen:
            self.seen = down
            self.changed = now
        if self.pressed != self.seen and board.since(now, self.changed) >= STEADY_MS:
            self.pressed = self.seen
            if not self.pressed:
                self.armed = True
            elif self.armed:
                self.given = True
                self.pressed_at = self.changed

    def is_taken_back(self):
        return self.given

    # The time runs from the press; it does not drive into a hand that is still on the button.
    def is_due(self, now):
        return not self.pressed and board.since(now, self.pressed_at) >= WAIT_MS

    def is_stop(self):
        return self.given

    def stopped(self):
        pass

    def is_over(self):
        return not self.pressed
