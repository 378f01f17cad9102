/* A driver with pulses on either of two lines.
 * If a side turns the wrong way in the wheels-up test, swap that motor's two wires. */
#include "board.h"
#include "motors.h"
#include "robot.h"

static void side(uint8_t forward, uint8_t backward, int16_t effort)
{
    /* The line that rests goes first: both at once would brake or worse. */
    if (effort < 0) {
        board_pulses(forward, 0);
        board_pulses(backward, (uint16_t)-effort);
    } else {
        board_pulses(backward, 0);
        board_pulses(forward, (uint16_t)effort);
    }
}
