# A driver with pulses on one line and two lines for the direction.
# If a side turns the wrong way in the wheels-up test, swap that motor's two wires.
def _side(pulses, forward, backward, effort):
    board.put(forward, effort > 0)
    board.put(backward, effort < 0)
    board.pulses(pulses, abs(effort))
