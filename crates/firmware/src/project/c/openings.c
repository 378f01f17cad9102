/* The switches to ground that select the opening. */
#include "robot.h"
#include "start.h"

uint8_t start_position(void)
{
    uint8_t position = 0;
#if ROBOT_SWITCHES > 0
    static const uint8_t switches[ROBOT_SWITCHES] = ROBOT_SWITCH_LINES;
    for (uint8_t k = 0; k < ROBOT_SWITCHES; k++) {
        if (!board_is_high(switches[k])) {
            position = (uint8_t)(position | 1u << k);
        }
    }
#endif
    return position;
}
