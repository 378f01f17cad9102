# Start by the judge's remote: the start module's line is high from start to stop. After a stop it stands
# until it is switched off. A line that is high when it is switched on counts only once it has been low;
# after a brown-out or the watchdog in a bout that the judge has not stopped it goes on.
import board
from robot import LINE_START

# So many looks in a row, against a single disturbance.
LOOKS = 2


class Start:
    def __init__(self, by_hand):
        self.high_for = self.low_for = 0
        self.armed = not by_hand
        self.is_stopped = False

    # At every look, before the questions below.
    def look(self, now):
        if board.is_high(LINE_START):
            self.low_for = 0
            self.high_for = min(self.high_for + 1, LOOKS)
        else:
            self.high_for = 0
            self.low_for = min(self.low_for + 1, LOOKS)
        if self.low_for == LOOKS:
            self.armed = True

    @property
    def given(self):
        return self.armed and not self.is_stopped and self.high_for == LOOKS

    def is_taken_back(self):
        return self.low_for == LOOKS

    def is_due(self, now):
        return True

    def is_stop(self):
        return self.low_for == LOOKS

    def stopped(self):
        self.is_stopped = True

    def is_over(self):
        return False
