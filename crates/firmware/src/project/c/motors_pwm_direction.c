/* A driver with pulses on one line and the direction on another.
 * If a side turns the wrong way in the wheels-up test, swap that motor's two wires. */
#include "board.h"
#include "motors.h"
#include "robot.h"

static void side(uint8_t pulses, uint8_t direction, int16_t effort)
{
    board_put(direction, effort > 0);
    board_pulses(pulses, (uint16_t)(effort < 0 ? -effort : effort));
}
