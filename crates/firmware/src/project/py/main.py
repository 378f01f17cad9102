# Runs by itself at switching on. First of all the motors' lines.
import board

board.begin()

import motors

motors.off()

import sensors
from run import Run

sensors.begin()
run = Run()
try:
    while True:
        run.once()
finally:
    # Whatever goes wrong, and Ctrl-C.
    motors.off()
