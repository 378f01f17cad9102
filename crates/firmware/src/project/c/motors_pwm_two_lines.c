/* A driver with pulses on one line and two lines for the direction.
 * If a side turns the wrong way in the wheels-up test, swap that motor's two wires. */
#include "board.h"
#include "motors.h"
#include "robot.h"

static void side(uint8_t pulses, uint8_t forward, uint8_t backward, int16_t effort)
{
    board_put(forward, effort > 0);
    board_put(backward, effort < 0);
    board_pulses(pulses, (uint16_t)(effort < 0 ? -effort : effort));
}
