# A driver with pulses on one line and the direction on another.
# If a side turns the wrong way in the wheels-up test, swap that motor's two wires.
def _side(pulses, direction, effort):
    board.put(direction, effort > 0)
    board.pulses(pulses, abs(effort))
