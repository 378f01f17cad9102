# A driver with pulses on either of two lines.
# If a side turns the wrong way in the wheels-up test, swap that motor's two wires.
def _side(forward, backward, effort):
    # The line that rests goes first: both at once would brake or worse.
    if effort < 0:
        board.pulses(forward, 0)
        board.pulses(backward, -effort)
    else:
        board.pulses(backward, 0)
        board.pulses(forward, effort)
